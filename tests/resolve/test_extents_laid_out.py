"""Where each form of extent puts a part, in the piece's millimetres."""

from __future__ import annotations

from fractions import Fraction

import pytest
from compiling import design_of, errors, marked, span, told

HEAD = """\
build123: 1
piece: Case
sizes: {width: 500, depth: 200, height: 300}
stock:
  ply: {sheet: birch plywood, thickness: 18}
  thin: {sheet: birch plywood, thickness: 6}
parts:
  side: {pair: left and right, stock: ply, x: from 0, y: 0 to depth, z: 0 to height}
"""


def laid(*parts: str) -> str:
    return HEAD + "".join(f"  {p}\n" for p in parts)


@pytest.mark.parametrize(
    ("extent", "low", "high"),
    [
        ("100 to 118", 100, 118),  # never said for a thickness, but it is one when it is hardware
        ("from 100 for 18", 100, 118),
        ("up to 118 for 18", 100, 118),
        ("centred on 109 for 18", 100, 118),
        ("from floor + 100 for 18", 100, 118),
        ("from level 100 for 18", 100, 118),
        ("from (height - 100) / 2 for ply.thickness", 100, 118),
        ("from 10 cm for 1.8 cm", 100, 118),
        ("from 4 in for 3/4 in", 101.6, 120.65),
        ("centred on height / 2 for 2 * 9", 141, 159),
    ],
)
def test_forms_with_both_ends_said(extent: str, low: float, high: float) -> None:
    text = laid(f"bar: {{hardware: bar, x: left side to right side, y: 0 to 10, z: {extent}}}")
    (bar,) = design_of(text).hardware
    z = bar.placement.origin[2]
    assert (z, z + bar.solid.size_mm[2]) == pytest.approx((low, high), abs=1e-9)  # type: ignore[union-attr]


@pytest.mark.parametrize(
    ("extent", "low", "high"),
    [
        ("from 100", 100, 118),
        ("up to height", 282, 300),
        ("centred on height / 2", 141, 159),
        ("from level 40 + 2", 42, 60),
        ("up to top of left side - 10", 272, 290),
        ("from bottom of left side", 0, 18),
    ],
)
def test_the_thickness_decides_where_one_face_is_said(extent: str, low: float, high: float) -> None:
    made = design_of(laid(f"shelf: {{stock: ply, x: left side to right side, y: 0 to depth, z: {extent}}}"))
    assert span(made, "shelf")[2] == (low, high)


@pytest.mark.parametrize(
    ("extent", "low", "high"),
    [
        ("left side to right side", 18, 482),  # the faces that look at the extent
        ("outside left side to outside right side", 0, 500),  # the other ones
        ("left of left side to left of right side", 0, 482),  # a named one
        ("right of left side to right of right side", 18, 500),
        ("left side + 5 to right side - 5", 23, 477),
        ("outside left side - 20 to outside right side + 20", -20, 520),
        ("from left side for 100", 18, 118),
        ("up to right side for 100", 382, 482),
        ("centred on left side for 100", -41, 59),  # on the middle of its thickness
        ("0 to width", 0, 500),
    ],
)
def test_faces_of_other_parts(extent: str, low: float, high: float) -> None:
    made = design_of(laid(f"shelf: {{stock: ply, x: {extent}, y: 0 to depth, z: from 100}}"))
    assert span(made, "shelf")[0] == (low, high)


def test_a_run_by_a_list() -> None:
    made = design_of(laid("shelf: {stock: ply, x: left side to right side, y: 0 to depth, z: [from 50, from 150, up to height]}"))
    assert [span(made, f"shelf {n}")[2] for n in (1, 2, 3)] == [(50, 68), (150, 168), (282, 300)]


def test_a_run_with_equal_clear_gaps() -> None:
    made = design_of(laid("shelf: {stock: ply, x: left side to right side, y: 0 to depth, z: 2 evenly 0 to height}"))
    gap = Fraction(300 - 2 * 18, 3)
    assert span(made, "shelf 1")[2] == (gap, gap + 18) == (88, 106)
    assert span(made, "shelf 2")[2] == (2 * gap + 18, 2 * gap + 36) == (194, 212)


def test_a_run_of_slats_with_a_length() -> None:
    made = design_of(laid("slat: {stock: ply, x: left side to right side, y: 3 evenly 0 to depth for 40, z: from 0}"))
    gap = (200 - 3 * 40) / 4
    assert [span(made, f"slat {n}")[1] for n in (1, 2, 3)] == [(gap, gap + 40), (2 * gap + 40, 2 * gap + 80), (3 * gap + 80, 3 * gap + 120)]


def test_a_count_by_a_name() -> None:
    text = laid("shelf: {stock: ply, x: left side to right side, y: 0 to depth, z: how many evenly 0 to height}")
    made = design_of(text.replace("height: 300}", "height: 300, how many: 4}"))
    assert len(made.groups["shelf"]) == 4


def test_each_gap_of_an_even_run_counts_the_outer_gaps_too() -> None:
    made = design_of(
        laid(
            "shelf: {stock: ply, x: left side to right side, y: 0 to depth, z: 2 evenly 0 to height}",
            "post: {stock: ply, x: centred on width / 2, y: 0 to depth, z: each gap of shelf}",
        )
    )
    assert [span(made, f"post {n}")[2] for n in (1, 2, 3)] == [(0, 88), (106, 194), (212, 300)]


def test_each_gap_of_a_listed_run_lies_between_its_members() -> None:
    made = design_of(
        laid(
            "shelf: {stock: ply, x: left side to right side, y: 0 to depth, z: [from 0, from 100, from 250]}",
            "post: {stock: ply, x: centred on width / 2, y: 0 to depth, z: each gap of shelf}",
        )
    )
    assert [span(made, f"post {n}")[2] for n in (1, 2)] == [(18, 100), (118, 250)]


def test_same_as_follows_a_run_member_by_member() -> None:
    made = design_of(
        laid(
            "shelf: {stock: ply, x: left side to right side, y: 18 to depth, z: [from 50, from 150]}",
            "lipping: {stock: ply, x: left side to right side, y: up to front of shelf 1, z: same as shelf}",
        )
    )
    assert [span(made, f"lipping {n}")[2] for n in (1, 2)] == [(50, 68), (150, 168)]
    assert span(made, "lipping 1")[1] == (0, 18)


def test_same_as_takes_both_ends_and_the_joint_does_not_show() -> None:
    made = design_of(
        laid(
            "shelf: {stock: ply, x: left side to right side, y: 0 to depth, z: from 50}",
            "upper: {stock: ply, x: same as shelf, y: same as shelf, z: from 150}",
        )
        + "joints:\n  - dado: {of: shelf, in: side, depth: 6}\n"
    )
    # joints move ends of blanks, never a sight face
    assert span(made, "shelf")[0] == (12, 488)
    assert span(made, "upper")[0] == (18, 482)


def test_parts_are_found_in_any_order_and_a_part_may_be_called_top() -> None:
    made = design_of(
        """\
build123: 1
piece: Case
sizes: {width: 500, depth: 200, height: 300}
stock: {ply: {sheet: birch plywood, thickness: 18}}
parts:
  side: {pair: left and right, stock: ply, x: from 0, y: 0 to depth, z: 0 to top}
  top: {stock: ply, x: outside left side to outside right side, y: 0 to depth, z: up to height}
"""
    )
    # by parts this is a ring (sides end under the top, the top goes over the sides); by end planes it is none
    assert span(made, "left side")[2] == (0, 282)
    assert span(made, "top") == ((0, 500), (0, 200), (282, 300))


def test_thirds_of_34_inches_are_exact() -> None:
    text = """\
build123: 1
piece: Thirds
units: in
sizes: {width: 34, third: width / 3}
stock: {ply: {sheet: birch plywood, thickness: 23/32}}
parts:
  left board: {stock: ply, x: 0 to third, y: 0 to 7 1/16, z: from 0}
  right board: {stock: ply, x: left board to 2 * third, y: 0 to 7 1/16, z: from 0}
  last board: {stock: ply, x: right board to 3 * third, y: 0 to 7 1/16, z: from 0}
"""
    made = design_of(text)
    third = Fraction(34, 3) * Fraction(127, 5)  # 287.8666...
    assert [made.by_name[f"{n} board"].length_mm for n in ("left", "right", "last")] == [pytest.approx(float(third), abs=1e-9)] * 3
    assert made.by_name["last board"].box.high[0] == float(34 * Fraction(127, 5)) == 863.6
    assert len({p.shape_key for p in made.parts}) == 1


@pytest.mark.parametrize("count", [3, 7, 11, 23])
def test_even_gaps_against_rationals(count: int) -> None:
    text = f"""\
build123: 1
piece: Rack
units: in
sizes: {{height: 71 5/16}}
stock: {{ply: {{sheet: birch plywood, thickness: 23/32}}}}
parts:
  shelf: {{stock: ply, x: 0 to 30, y: 0 to 10, z: {count} evenly 0 to height}}
"""
    made = design_of(text)
    inch, thick, high = Fraction(127, 5), Fraction(23, 32), Fraction(71) + Fraction(5, 16)
    gap = (high - count * thick) / (count + 1)
    for n in range(count):
        low = (n + 1) * gap + n * thick
        assert made.by_name[f"shelf {n + 1}"].box.low[2] == pytest.approx(float(low * inch), abs=1e-9)


SLIPS = {
    "a run of two lengths": ("shelf: {stock: ply, x: [0 to 10, 20 to 30], y: 0 to depth, z: 3 evenly 0 to height}", "bad-extent", "3 evenly 0 to height"),
    "gaps of one part": ("shelf: {stock: ply, x: left side to right side, y: 0 to depth, z: each gap of side}", "bad-extent", "each gap of side"),
    "gaps of nothing": ("shelf: {stock: ply, x: left side to right side, y: 0 to depth, z: each gap of shlf}", "unknown-name", "shlf"),
    "same as each other": ("a1: {stock: ply, x: from 0, y: same as a2, z: 0 to 10}\n  a2: {stock: ply, x: from 40, y: same as a1, z: 0 to 10}", "cycle", "same as a"),
    "too many for the height": ("shelf: {stock: ply, x: left side to right side, y: 0 to depth, z: 20 evenly 0 to height}", "negative-size", "20 evenly 0 to height"),
    "half a shelf": ("shelf: {stock: ply, x: left side to right side, y: 0 to depth, z: 1.5 evenly 0 to height}", "bad-count", "1.5"),
    "no shelf": ("shelf: {stock: ply, x: left side to right side, y: 0 to depth, z: 0 evenly 0 to height}", "bad-count", "0"),
    "nothing left": ("shelf: {stock: ply, x: right side to left side, y: 0 to depth, z: from 10}", "negative-size", "right side to left side"),
    "negative length": ("shelf: {stock: ply, x: from left side for 10 - 20, y: 0 to depth, z: from 10}", "negative-size", "10 - 20"),
    "a face where a length is wanted": ("shelf: {stock: ply, x: from 0 for left side, y: 0 to depth, z: from 10}", "bad-length", "left side"),
    "a face scaled": ("shelf: {stock: ply, x: 0 to right side * 2, y: 0 to depth, z: from 10}", "bad-position", "right side * 2"),
    "a face that does not cross": ("shelf: {stock: ply, x: 0 to front of left side, y: 0 to depth, z: from 10}", "bad-extent", "front of left side"),
    "a level across": ("shelf: {stock: ply, x: 0 to level 100, y: 0 to depth, z: from 10}", "bad-extent", "level 100"),
    "neither stock nor hardware": ("shelf: {x: 0 to 100, y: 0 to depth, z: 10 to 20}", "key-missing", "shelf"),
    "both stock and hardware": ("shelf: {stock: ply, hardware: bar, x: 0 to 100, y: 0 to depth, z: from 10}", "bad-value", "bar"),
    "a round board": ("shelf: {stock: ply, round: x, x: 0 to 100, y: 0 to depth, z: from 10}", "bad-value", "x"),
    "hardware without a length": ("bar: {hardware: bar, x: 0 to 100, y: 0 to depth, z: from 10}", "no-thickness", "bar"),
    "no stock": ("shelf: {x: 0 to 100, y: 0 to depth, z: from 10}", "key-missing", "shelf"),
    "as thick as another stock": ("shelf: {stock: ply, x: left side to right side, y: 0 to depth, z: from 10}\n  strip: {stock: thin, x: 0 to 10, y: 0 to 10, z: same as shelf}", "no-thickness", "same as shelf"),
    "three thicknesses": ("shelf: {stock: ply, x: from 0, y: from 0, z: from 0}", "two-thicknesses", "from 0"),
}  # fmt: skip


@pytest.mark.parametrize("slip", SLIPS)
def test_slips_in_extents(slip: str) -> None:
    part, id, under = SLIPS[slip]
    found = errors(told(laid(part))[1])
    assert {f.id for f in found} == {id}, [(f.id, f.message) for f in found]
    assert under in marked(found[0]), marked(found[0])
