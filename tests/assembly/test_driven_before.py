"""What was screwed together before it is brought in is not screwed again where it then stands."""

from __future__ import annotations

from build123.kernel import Store
from build123.pipeline import compile_text

BOXES = """\
build123: 1
piece: Two boxes
stock: {ply: {sheet: birch plywood, thickness: 18}}
assemblies:
  box:
    sizes: {width: 300, depth: 250}
    parts:
      wall: {pair: left and right, stock: ply, x: from 0, y: 0 to depth, z: 0 to 250}
      floor board: {stock: ply, x: left wall to right wall, y: 0 to depth, z: from 20}
    joints:
      - dado: {of: floor board, in: wall, depth: 6}
      - screws: {through: wall, into: floor board, size: 4 x 45, count: 2}
place:
  box: {assembly: box, at: [0, 0, 0], count: 2, every: [300, 0, 0]}
joints:
"""


def test_boxes_screwed_and_then_glued_side_by_side_are_silent(store: Store) -> None:
    made = compile_text(BOXES + "  - glued: {of: right wall of box, to: left wall of box}\n", store)
    assert [f.message for f in made.findings] == []


def test_each_screw_out_of_reach_counts_once(store: Store) -> None:
    narrow = BOXES.replace("300", "240")
    made = compile_text(narrow + "  - screws: {through: right wall of box, into: left wall of box, size: 4 x 30, count: 3}\n", store)
    (one,) = (f for f in made.findings if f.id == "screw-out-of-reach")
    assert (one.numbers["screws"], one.numbers["of"]) == (3.0, 3.0)
