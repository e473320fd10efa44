"""A board with one blind hole, made by hand."""

from __future__ import annotations

from build123.model.feature import About, Datum, Feature, Hole, HoleStep, Purpose
from build123.model.frame import WORLD, Frame
from build123.model.part import Part, Stock


def drilled_board(x: float, y: float) -> Part:
    """300 x 100 x 24 mm, with a hole 8 wide and 21 deep in its upper face."""
    hole = Hole(Datum(Frame((0, 0, 24.0)), "+z"), (x, y), (HoleStep(8.0, 21.0),))
    feature = Feature(hole, About("hole", "hole", Purpose.housing))
    stock = Stock("oak", "board", "oak", 24.0)
    return Part("board", stock, WORLD, 300.0, 100.0, 24.0, (feature,), {}, "+z", f"board drilled at {x} {y}", "")
