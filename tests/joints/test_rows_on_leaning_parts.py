"""A row runs along the part that it is for, also where the other one leans."""

from __future__ import annotations

import pytest
from compiling import design_of

from build123.kernel import Store
from build123.pipeline import compile_text

RACK = """\
build123: 1
piece: Leaning rack
sizes: {width: 500, height: 900}
frames: {lean: {turn: -10 deg, about: x}}
stock: {pine: {board: pine, thickness: 20}}
parts:
  side: {pair: left and right, frame: lean, stock: pine, x: from 0, y: 0 to 100, z: floor to level height}
  shelf: {stock: pine, x: left side to right side, y: front of left side to back of left side, z: [from 300, from 700], edges: follow}
joints:
  - dado: {of: shelf, in: side, depth: 6}
  - screws: {through: side, into: shelf, size: 4 x 50, count: 2}
"""


def test_screws_through_leaning_sides_stand_in_the_middle_of_a_level_shelf(store: Store) -> None:
    made = compile_text(RACK, store)
    assert [f.message for f in made.findings] == [] and made.design is not None
    places = {(thing.name, round(thing.placement.origin[2], 6)) for thing in made.design.hardware}
    assert {z for name, z in places if "shelf 1" in name} == {310.0} and {z for name, z in places if "shelf 2" in name} == {710.0}
    assert len(made.design.hardware) == 8


def test_ends_are_measured_along_the_middle_of_the_shelf() -> None:
    # by hand: level across sides 100 wide that lean by 10 degrees a shelf is 100 / cos 10 = 101.543 deep
    made = design_of(RACK.replace("count: 2", "count: 2, ends: 20"))
    ys = sorted(thing.placement.origin[1] for thing in made.hardware if "of left side into shelf 1" in thing.name)
    assert ys[1] - ys[0] == pytest.approx(101.5427 - 40, abs=1e-3)
