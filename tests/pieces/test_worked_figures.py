"""Whole pieces with figures worked by hand; the arithmetic stands in the test."""

from fractions import Fraction
from math import cos, radians, tan

import pytest

from build123.model.part import Part
from build123.pipeline import Compiled, compile_text

INCH = 25.4

SEED = """\
build123: 1
piece: Seed cabinet
units: in
sizes: {width: 34, height: 42, depth: 11 1/4, over: 3/4}
stock:
  ply: {sheet: birch plywood, thickness: 0.715, spread: 0.006}
  thin: {sheet: birch plywood, thickness: 0.205, spread: 0.004}
  oak: {board: white oak, thickness: 0.8}
parts:
  side: {pair: left and right, stock: ply, x: from 0, y: 0 to depth, z: 0 to top}
  top:
    stock: oak
    x: outside left side - over to outside right side + over
    y: front of left side - over to back of left side + over
    z: up to height
  bottom: {stock: ply, x: left side to right side, y: 0 to back, z: from 3}
  shelf: {stock: ply, x: left side to right side, y: 0 to back, z: 2 evenly bottom to top}
  divider: {stock: ply, x: centred on width / 2, y: 1/2 to back, z: shelf 1 to shelf 2}
  front rail: {stock: ply, x: left side to right side, y: from 1/2 for 3, z: up to top}
  back rail: {stock: ply, x: left side to right side, y: up to back for 3, z: up to top}
  back: {stock: thin, x: left side to right side, y: up to depth, z: bottom of bottom to top}
joints:
  - dado: {of: [bottom, front rail, back rail], in: side, depth: 1/4}
  - dado: {of: shelf, in: side, depth: 1/4, stop: 3/8 from front}
  - dado: {of: divider, in: shelf, depth: 1/4}
  - rabbet: {of: back, in: side, depth: 3/8, gap: 1/32, run: through}
  - glued: {of: back, to: [bottom, shelf, divider, back rail]}
  - glued: {of: front rail, to: top}
  - rests: {of: top, upon: [side, back, back rail]}
"""

LEANING = """\
build123: 1
piece: Leaning shelf
units: mm
sizes: {width: 600, height: 1800}
frames: {lean: {turn: -10 deg, about: x, through: [0, 0, 0]}}
stock: {pine: {board: pine, thickness: 20}}
parts:
  side: {pair: left and right, frame: lean, stock: pine, x: from 0, y: 0 to 120, z: floor to level height}
  shelf: {stock: pine, x: left side to right side, y: front of left side to back of left side, z: [from 300, from 700, from 1100], edges: follow}
joints:
  - dado: {of: shelf, in: side, depth: 8}
"""


def part(made: Compiled, name: str) -> Part:
    assert made.design is not None, [f.message for f in made.findings]
    return made.design.by_name[name]


@pytest.fixture(scope="module")
def seed() -> Compiled:
    return compile_text(SEED)


def test_the_seed_cabinet_goes_together(seed: Compiled) -> None:
    assert not seed.failed, [(f.id, f.message) for f in seed.findings]
    assert seed.fit is not None and not seed.fit.overlaps


@pytest.mark.parametrize(
    ("name", "size", "inches"),
    [
        # 34 - 2 x 0.715 between the sides, and 1/4 into a dado at each end
        ("bottom", "length", Fraction(34) - 2 * Fraction("0.715") + 2 * Fraction(1, 4)),
        # 11 1/4 less the back
        ("bottom", "width", Fraction(45, 4) - Fraction("0.205")),
        # 3/8 rabbets less 1/32 of air at each end
        ("back", "width", Fraction(34) - 2 * Fraction("0.715") + 2 * (Fraction(3, 8) - Fraction(1, 32))),
        ("top", "length", Fraction(34) + 2 * Fraction(3, 4)),
        ("left side", "length", Fraction(42) - Fraction("0.8")),
        # a third of the clear height: from the bottom (3 + 0.715) to the top (41.2), less two shelves, and 1/4 into each shelf
        ("divider", "length", (Fraction("41.2") - Fraction("3.715") - 2 * Fraction("0.715")) / 3 + 2 * Fraction(1, 4)),
    ],
)  # fmt: skip
def test_sizes_of_the_seed_cabinet(seed: Compiled, name: str, size: str, inches: Fraction) -> None:
    found = getattr(part(seed, name), f"{size}_mm")
    assert found == pytest.approx(float(inches * Fraction(127, 5)), abs=1e-8)


def test_the_bottom_is_33_07_in(seed: Compiled) -> None:
    assert part(seed, "bottom").length_mm / INCH == pytest.approx(33.07, abs=1e-9)


def test_every_size_follows_the_measured_thickness() -> None:
    thinner = compile_text(SEED.replace("thickness: 0.715", "thickness: 0.700"))
    assert not thinner.failed
    assert part(thinner, "bottom").length_mm / INCH == pytest.approx(34 - 2 * 0.700 + 0.5, abs=1e-9)
    assert part(thinner, "back").length_mm / INCH == pytest.approx(41.2 - 3, abs=1e-9)


def test_the_leaning_shelf_by_trigonometry() -> None:
    made = compile_text(LEANING)
    assert not made.failed, [(f.id, f.message) for f in made.findings]
    lean = radians(10)
    side, shelf = part(made, "left side"), part(made, "shelf 2")
    assert side.length_mm == pytest.approx(1800 / cos(lean) + 120 * tan(lean), abs=1e-6)  # 1848.93
    assert (side.width_mm, side.thickness_mm) == pytest.approx((120, 20), abs=1e-9)
    assert shelf.length_mm == pytest.approx(600 - 2 * 20 + 2 * 8, abs=1e-9)  # 576
    assert shelf.width_mm == pytest.approx(120 / cos(lean) + 20 * tan(lean), abs=1e-6)  # 125.38


def test_opposite_hands_and_equal_parts(seed: Compiled) -> None:
    left, right = part(seed, "left side"), part(seed, "right side")
    assert left.shape_key == right.hand_key != right.shape_key == left.hand_key
    assert part(seed, "shelf 1").shape_key == part(seed, "shelf 2").shape_key  # one is the other turned over
    assert part(seed, "front rail").shape_key == part(seed, "back rail").shape_key


def test_a_part_is_one_part_however_it_is_written() -> None:
    pair = compile_text(SEED)
    alone = SEED.replace(
        "  side: {pair: left and right, stock: ply, x: from 0, y: 0 to depth, z: 0 to top}\n",
        "  left side: {stock: ply, x: 0 mm to thick, y: from 0 for depth, z: 0 to top, grain: z}\n"
        "  right side: {stock: ply, x: up to 863.6 mm, y: 0 to 11.25, z: up to top for 1046.48 mm}\n",
    )
    alone = (
        alone.replace("x: 0 mm to thick", "x: from 0 mm")
        .replace("in: side", "in: [left side, right side]")
        .replace("upon: [side,", "upon: [left side, right side,")
    )
    written = compile_text(alone)
    assert not written.failed, [(f.id, f.message) for f in written.findings]
    for name in ("left side", "right side", "bottom"):
        assert part(pair, name).shape_key == part(written, name).shape_key
