"""Parts made by hand for the tests of kernel and exporters."""

from __future__ import annotations

from build123.model.feature import About, Datum, Feature, Geometry, Hole, HoleStep, Outline, Purpose, Trench, TrenchEnd, Vertex
from build123.model.frame import WORLD, Frame
from build123.model.part import Part, Stock

PLY = Stock("ply", "sheet", "birch plywood", 18.0)
OPEN = TrenchEnd()


def board(
    length: float, width: float, thickness: float, *geometry: Geometry, name: str = "board", placement: Frame = WORLD, **more
) -> Part:
    features = tuple(Feature(g, About(f"{type(g).__name__.lower()} {n}", "cut", Purpose.shape)) for n, g in enumerate(geometry))
    key = repr((length, width, thickness, geometry))
    return Part(name, more.pop("stock", PLY), placement, length, width, thickness, features, {}, "+z", key, key, **more)


def top(thickness: float) -> Datum:
    """The worked face: x and y as on the bench."""
    return Datum(Frame((0.0, 0.0, thickness)), "+z")


def under() -> Datum:
    """The face on the bench: x as on the bench, y against it."""
    return Datum(Frame((0, 0, 0), (1, 0, 0), (0, -1, 0), (0, 0, -1)), "-z")


def far_end(length: float) -> Datum:
    """The end at x = length: its x is the bench's y, its y the bench's z."""
    return Datum(Frame((length, 0, 0), (0, 1, 0), (0, 0, 1), (1, 0, 0)), "+x")


def near_edge() -> Datum:
    """The edge at y = 0: its x is the bench's x, its y the bench's z."""
    return Datum(Frame((0, 0, 0), (1, 0, 0), (0, 0, 1), (0, -1, 0)), "-y")


def across(datum: Datum, x: float, width: float, board_mm: float, depth: float, **more) -> Trench:
    """A dado from edge to edge, its centre line at x."""
    return Trench(datum, (x, 0.0), (x, board_mm), width, depth, **more)


def drilled(datum: Datum, x: float, y: float, diameter: float, depth: float, **more) -> Hole:
    return Hole(datum, (x, y), (HoleStep(diameter, depth),), **more)


def rectangle(x0: float, y0: float, x1: float, y1: float) -> Outline:
    return (Vertex(x0, y0), Vertex(x1, y0), Vertex(x1, y1), Vertex(x0, y1))
