"""Equal parts are equal whichever way they are written; equal only in reflection they are of opposite hand."""

from __future__ import annotations

import pytest
from compiling import design_of, part, span
from hypothesis import given, settings
from hypothesis import strategies as st

from build123.model.design import Design


def case(sides: str, units: str = "mm", shelf: str = "z: from 100", joint: str = "depth: 6, stop: 10 from front", of: str = "side") -> str:
    return f"""\
build123: 1
piece: Case
units: {units}
sizes: {{width: 500 mm, depth: 200 mm, height: 300 mm}}
stock: {{ply: {{sheet: birch plywood, thickness: 18 mm}}}}
parts:
{sides}  shelf: {{stock: ply, x: left side to right side, y: 0 to depth, {shelf}}}
joints:
  - dado: {{of: shelf, in: {of}, {joint}}}
"""


PAIR = "  side: {pair: left and right, stock: ply, x: from 0, y: 0 to depth, z: 0 to height}\n"
WAYS = {
    "two parts": "  left side: {stock: ply, x: from 0, y: 0 to depth, z: 0 to height}\n  right side: {stock: ply, x: up to width, y: 0 to depth, z: 0 to height}\n",
    "by lengths": "  left side: {stock: ply, x: from 0, y: from 0 for 200 mm, z: up to 300 mm for 300 mm}\n  right side: {stock: ply, x: from width - ply.thickness, y: up to 20 cm for depth, z: from floor for height}\n",
    "in inches": "  left side: {stock: ply, x: from 0, y: 0 to 200 / 25.4 * 1 in, z: 0 to 300 / 25.4 * 1 in}\n  right side: {stock: ply, x: centred on 491 mm, y: 0 to depth, z: 0 to height}\n",
    "right to left": "  right side: {stock: ply, x: up to width, y: 0 to depth, z: 0 to height}\n  left side: {stock: ply, x: from 0, y: 0 to depth, z: 0 to height}\n",
}  # fmt: skip


def keys(made: Design) -> dict[str, tuple[str, str]]:
    return {p.name: (p.shape_key, p.hand_key) for p in made.parts}


@pytest.mark.parametrize("way", WAYS)
def test_a_pair_or_two_parts_written_out(way: str) -> None:
    written = design_of(case(WAYS[way], of="[left side, right side]"))
    pair = design_of(case(PAIR))
    assert keys(written) == keys(pair)
    assert span(written, "right side") == span(pair, "right side")


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("z: from 100", "z: up to 118"),
        ("z: from 100", "z: centred on 109"),
        ("z: 1 evenly 0 to height", "z: centred on height / 2"),
    ],
)
def test_from_up_to_centred_and_evenly(one: str, other: str) -> None:
    a, b = (keys(design_of(case(PAIR, shelf=z).replace("shelf 1", "shelf"))) for z in (one, other))
    assert set(a.values()) == set(b.values())


@pytest.mark.parametrize(("inch", "mm"), [("1 in", "25.4"), ("3/4 in", "19.05"), ("1' 2 1/2\"", "368.3")])
def test_inches_and_millimetres(inch: str, mm: str) -> None:
    def board(length: str) -> Design:
        return design_of(
            "build123: 1\npiece: Board\nstock: {ply: {sheet: ply, thickness: 18}}\n"
            f"parts:\n  board: {{stock: ply, x: 0 to {length}, y: 0 to 10, z: from 0}}\n"
        )

    assert keys(board(inch)) == keys(board(mm))


def test_equal_only_in_reflection_is_the_opposite_hand() -> None:
    left, right = (part(design_of(case(PAIR)), f"{hand} side") for hand in ("left", "right"))
    assert left.shape_key != right.shape_key
    assert left.hand_key == right.shape_key and right.hand_key == left.shape_key


def test_a_dado_right_across_in_the_middle_makes_the_hands_equal() -> None:
    """Turned end for end a side with its dado half way up is the other side."""
    made = design_of(case(PAIR, shelf="z: centred on height / 2", joint="depth: 6"))
    left, right = part(made, "left side"), part(made, "right side")
    assert left.shape_key == right.shape_key == left.hand_key


def test_upside_down_is_the_same_part() -> None:
    """A notch at the front left is, on a board turned over, one at the front right."""
    text = """\
build123: 1
piece: Two strips
sizes: {width: 400}
stock: {ply: {sheet: birch plywood, thickness: 18}}
parts:
  one: {stock: ply, x: 0 to 300, y: 0 to 100, z: from 0}
  post: {stock: ply, x: from 50, y: 0 to 100, z: one to 200}
  other: {stock: ply, x: 0 to 300, y: 0 to 100, z: from 200}
joints:
  - dado: {of: post, in: [one, other], depth: 5, stop: 20 from front}
"""
    made = design_of(text)
    one, other = part(made, "one"), part(made, "other")
    # the floor has its dado on top, the ceiling below it: the ceiling is the floor's opposite hand
    assert one.hand_key == other.shape_key != one.shape_key
    # without the stop the two are one part, turned over
    made = design_of(text.replace(", stop: 20 from front", ""))
    assert part(made, "one").shape_key == part(made, "other").shape_key


def test_names_places_and_stock_do_not_count_but_sizes_do() -> None:
    text = """\
build123: 1
piece: Boards
stock: {ply: {sheet: birch plywood, thickness: 18}, larch: {board: larch, thickness: 18}}
parts:
  a: {stock: ply, x: 0 to 300, y: 0 to 100, z: from 0}
  b: {stock: larch, x: 500 to 800, y: from 40, z: 0 to 100}
  c: {stock: ply, x: 0 to 300.001, y: 0 to 100, z: from 100}
"""
    made = design_of(text)
    assert part(made, "a").shape_key == part(made, "b").shape_key != part(made, "c").shape_key
    # but another stock is another kind of part to cut
    assert len(made.kinds) == 3


def test_equal_parts_lie_alike_on_the_bench() -> None:
    made = design_of(case(PAIR, shelf="z: [from 50, from 200]"))
    one, two = part(made, "shelf 1"), part(made, "shelf 2")
    assert one.shape_key == two.shape_key
    assert sorted(repr(f.geometry) for f in one.features) == sorted(repr(f.geometry) for f in two.features)


@settings(max_examples=25, deadline=None)
@given(st.integers(20, 260), st.integers(0, 90), st.booleans(), st.booleans())
def test_a_side_and_its_twin_however_the_dado_lies(at: int, stop: int, from_back: bool, across: bool) -> None:
    joint = "depth: 6" + ("" if across or not stop else f", stop: {stop} from {'back' if from_back else 'front'}")
    written = design_of(case(WAYS["by lengths"], shelf=f"z: from {at}", joint=joint, of="[left side, right side]"))
    pair = design_of(case(PAIR, shelf=f"z: up to {at} + ply.thickness", joint=joint))
    assert keys(written) == keys(pair)
    left, right = part(pair, "left side"), part(pair, "right side")
    assert left.hand_key == right.shape_key and right.hand_key == left.shape_key
