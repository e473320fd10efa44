"""Front, left, top and so on are meant as the assembly that says them stands: turned with it, it comes out the same."""

from __future__ import annotations

import pytest
from compiling import design_of, told

TURNED = """\
build123: 1
piece: Boxes
stock: {{ply: {{sheet: birch plywood, thickness: 18}}, oak: {{board: white oak, thickness: 20}}}}
assemblies:
  box:
    sizes: {{width: 400, depth: 300}}
    parts:
      wall: {{pair: left and right, stock: ply, x: from 0, y: 0 to depth, z: 0 to 500, show: right}}
      shelf: {{stock: ply, x: left wall to right wall, y: front of left wall to back of left wall, z: from 20}}
      rail: {{pair: front and back, stock: ply, x: left wall to right wall, y: from 10 for 60, z: up to 500}}
      rib: {{stock: ply, x: left wall to right wall, y: from 100, z: 100 to 300}}
      post: {{stock: oak, x: from left wall, y: from 20 for 60, z: shelf to 300, grain: z}}
      top: {{stock: oak, x: 0 to width, y: 0 to depth, z: from 500, grain: x}}
    joints:
      - dado: {{of: shelf, in: wall, depth: 6, stop: 10 from front}}
      - dado: {{of: rail, in: wall, depth: 6}}
      - tongue: {{of: rib, in: wall, depth: 6, flush: front}}
      - rests: {{of: top, upon: wall}}
      - screws: {{through: rail, into: top, size: 4 x 30, positions: [40, 300], fixed: front}}
      - pins: {{of: post, to: left wall, positions: [30]}}
      - glued: {{of: post, to: shelf}}
    shapes:
      - chamfer: {{of: wall, along: front top, size: 5}}
      - holes: {{of: wall, face: inner, columns: [200 from front], first: 350 from bottom, count: 3}}
      - taper: {{of: post, faces: right, from: 100 below top, to: 12}}
place:
  box: {{assembly: box, at: [0, 0, 0]}}
  turned: {{assembly: box, at: [2000, 0, 0], turn: {turn}}}
"""


@pytest.mark.parametrize("turn", ["90 deg", "180 deg", "270 deg", "45 deg", "30 deg", "-100 deg"])
def test_a_turned_box_has_the_parts_of_the_straight_one(turn: str) -> None:
    made = design_of(TURNED.format(turn=turn))
    straight = {p.name.removesuffix(" of box"): p for p in made.parts if p.name.endswith(" of box")}
    turned = {p.name.removesuffix(" of turned"): p for p in made.parts if p.name.endswith(" of turned")}
    assert len(straight) == 8 and straight.keys() == turned.keys()
    assert {name: part.shape_key for name, part in turned.items()} == {name: part.shape_key for name, part in straight.items()}
    assert {name: part.show for name, part in turned.items()} == {name: part.show for name, part in straight.items()}


def test_a_message_says_the_words_as_the_assembly_means_them() -> None:
    _, found = told(TURNED.format(turn="90 deg").replace("fixed: front", "fixed: left"))
    assert [f.message for f in found] == ["the wood moves from front to back; it cannot be held at the left"]


def test_what_the_piece_says_is_meant_as_the_piece_stands() -> None:
    whole = TURNED.format(turn="180 deg") + "shapes:\n  - chamfer: {of: top of turned, along: front top, size: 3}\n"
    made = design_of(whole)
    (trim,) = (f.geometry for f in made.by_name["top of turned"].features if f.about.label == "chamfer")
    normal = made.by_name["top of turned"].placement.vector(trim.plane.normal)
    assert normal == pytest.approx((0.0, -(0.5**0.5), 0.5**0.5))
