"""The potting table and the wall case, whose joints that are still to come are replaced by dowels and glue."""

from __future__ import annotations

from math import atan2, degrees, pi

import pytest
from compiling import goes_together, part, size, span, trims, volume

from build123.kernel import Store
from build123.pipeline import Compiled

POTTING = """\
build123: 1
piece: Potting table
units: mm
sizes: {length: 500, depth: 380, height: 620, over: 25, leg width: 44}
stock: {leg wood: {board: ash, thickness: 44}, board: {board: ash, thickness: 20}}
parts:
  leg: {pair: both, stock: leg wood, x: from over, y: from over for leg width, z: 0 to top}
  long apron: {pair: front and back, stock: board, x: front left leg to front right leg, y: from front of front left leg + 5, z: up to top for 90}
  short apron: {pair: left and right, stock: board, x: from left of front left leg + 5, y: front left leg to back left leg, z: up to top for 90}
  top: {stock: board, x: 0 to length, y: 0 to depth, z: up to height}
shapes:
  - taper: {of: leg, faces: inner, from: 110 below top, to: 28}
joints:
  - dowels: {of: [long apron, short apron], to: leg, count: 2, diameter: 8, length: 30, into: 14}
  - rests: {of: top, upon: [leg, long apron, short apron]}
"""

WALL = """\
build123: 1
piece: Wall case
units: in
sizes: {width: 30, depth: 11, height: 40}
stock: {ply: {sheet: birch plywood, thickness: 0.715}, pine: {board: pine, thickness: 3/4}}
parts:
  side: {pair: left and right, stock: ply, x: from 0, y: 0 to depth, z: 0 to height}
  cap: {stock: ply, x: left side to right side, y: 0 to depth, z: up to height}
  base: {stock: ply, x: left side to right side, y: 0 to depth, z: from 3}
  stile: {pair: left and right, stock: pine, x: from left of left side for 1 3/4, y: up to front of left side, z: 0 to height}
  rail: {stock: pine, x: left stile to right stile, y: up to front of left side, z: [up to height for 2 1/2, up to top of base for 1 3/4]}
  front cornice:
    stock: pine
    x: outside left side - pine.thickness to outside right side + pine.thickness
    y: up to front of left stile
    z: up to height for 1 1/2
  side cornice: {pair: left and right, stock: pine, x: up to left of left side, y: back of front cornice to depth, z: same as front cornice}
joints:
  - dado: {of: base, in: side, depth: 1/4}
  - rabbet: {of: cap, in: side, depth: 3/8}
  - dowels: {of: rail, to: stile, count: 2, length: 1 1/4}
  - glued: {of: [stile, rail], to: [side, cap, base]}
  - glued: {of: [front cornice, side cornice], to: [side, stile, rail 1, side cornice]}
"""


@pytest.fixture(scope="module")
def table(store: Store) -> Compiled:
    return goes_together(POTTING, store)


@pytest.fixture(scope="module")
def wall(store: Store) -> Compiled:
    return goes_together(WALL, store)


def test_the_legs_of_the_table(table: Compiled) -> None:
    assert size(table, "front left leg") == pytest.approx((620 - 20, 44, 44))
    assert span(table, "front left leg") == ((25, 69), (25, 69), (0, 600))
    assert span(table, "back right leg") == ((500 - 69, 500 - 25), (380 - 69, 380 - 25), (0, 600))


def test_the_taper_of_the_legs(table: Compiled) -> None:
    leg = part(table, "front left leg")
    # 16 mm over 490 mm on the two inner faces
    slant = degrees(atan2(44 - 28, 600 - 110))
    assert len(trims(table, leg.name)) == 2
    for one in leg.features:
        if one.about.label == "taper":
            assert one.about.why["angle"].value == pytest.approx(slant)
    # square down to the line, a frustum below; two holes of 8 mm, 14 + 1 deep, from each of two aprons
    whole = 44 * 44 * 110 + 490 / 3 * (44**2 + 44 * 28 + 28**2)
    assert volume(table, leg.name) == pytest.approx(whole - 4 * pi * 4**2 * 15, rel=1e-6)


def test_four_legs_are_two_hands(table: Compiled) -> None:
    """A square leg tapered on two neighbouring inner faces is its own mirror image but for its holes."""
    keys = [part(table, f"{a} {b} leg").shape_key for a in ("front", "back") for b in ("left", "right")]
    hands = [part(table, f"{a} {b} leg").hand_key for a in ("front", "back") for b in ("left", "right")]
    assert keys[0] == keys[3] and keys[1] == keys[2]
    assert keys[0] in (hands[1], keys[1])


def test_the_aprons_of_the_table(table: Compiled) -> None:
    assert size(table, "front long apron") == pytest.approx((500 - 2 * 25 - 2 * 44, 90, 20))
    assert size(table, "left short apron") == pytest.approx((380 - 2 * 25 - 2 * 44, 90, 20))
    assert span(table, "front long apron")[1] == (25 + 5, 25 + 5 + 20)
    assert span(table, "right short apron")[0] == (500 - 50, 500 - 30)
    assert span(table, "top")[2] == (600, 620)


def inches(made: Compiled, name: str) -> list[float]:
    return [v / 25.4 for v in size(made, name)]


def test_the_cornice_of_the_wall_case(wall: Compiled) -> None:
    # long points 30 + 2 x 3/4; the side piece behind it runs from the stile's front, 3/4 before the sides, to the back
    assert inches(wall, "front cornice") == pytest.approx([31.5, 1.5, 0.75])
    assert inches(wall, "left side cornice") == pytest.approx([11 + 0.75, 1.5, 0.75])
    assert [v / 25.4 for v in span(wall, "front cornice")[1]] == pytest.approx([-1.5, -0.75])


def test_the_face_frame_of_the_wall_case(wall: Compiled) -> None:
    assert inches(wall, "left stile") == pytest.approx([40, 1.75, 0.75])
    assert inches(wall, "rail 1") == pytest.approx([30 - 2 * 1.75, 2.5, 0.75])
    assert inches(wall, "rail 2") == pytest.approx([26.5, 1.75, 0.75])
    # the lower rail stands flush with the base's top
    assert part(wall, "rail 2").box.high[2] / 25.4 == pytest.approx(3 + 0.715)


def test_the_shelves_of_the_wall_case(wall: Compiled) -> None:
    assert inches(wall, "base")[0] == pytest.approx(30 - 2 * 0.715 + 2 * 1 / 4)
    assert inches(wall, "cap")[0] == pytest.approx(30 - 2 * 0.715 + 2 * 3 / 8)
