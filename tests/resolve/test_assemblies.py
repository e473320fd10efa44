"""Assemblies: placed once, in a row, turned, in one another, with other sizes; names across them; made-up parts."""

from __future__ import annotations

import pytest
from compiling import design_of, errors, goes_together, marked, part, size, span, told

from build123.kernel import Store

ROW = """\
build123: 1
piece: Boxes
sizes: {boxes: 3, wide: 300}
stock: {ply: {sheet: birch plywood, thickness: 10}}
assemblies:
  box:
    sizes: {width: 250, depth: 200}
    parts:
      wall: {pair: left and right, stock: ply, x: from 0, y: 0 to depth, z: 0 to 150}
      floor board: {stock: ply, x: left wall to right wall, y: 0 to depth, z: from 0}
    joints:
      - rabbet: {of: floor board, in: wall, depth: 5}
place:
"""


def row(*places: str, joints: str = "") -> str:
    return ROW + "".join(f"  {p}\n" for p in places) + (f"joints:\n{joints}" if joints else "")


def test_placed_once() -> None:
    made = design_of(row("box: {assembly: box, at: [100, 20, 5]}"))
    assert set(made.by_name) == {"left wall of box", "right wall of box", "floor board of box"}
    assert span(made, "left wall of box") == ((100, 110), (20, 220), (5, 155))
    assert span(made, "right wall of box")[0] == (340, 350)
    assert part(made, "left wall of box").path == ("box",)


def test_placed_in_a_row() -> None:
    made = design_of(row("box: {assembly: box, at: [0, 0, 0], count: boxes, every: [250, 0, 0]}"))
    assert [span(made, f"left wall of box {n}")[0][0] for n in (1, 2, 3)] == [0, 250, 500]
    # nine parts of two shapes: a right wall is a left one turned end for end
    assert len(made.parts) == 9 and len({p.shape_key for p in made.parts}) == 2


def test_other_sizes_for_one_place() -> None:
    made = design_of(row("box: {assembly: box, at: [0, 0, 0], sizes: {width: wide}}", "small: {assembly: box, at: [500, 0, 0]}"))
    assert size(made, "floor board of box")[0] == 300 - 2 * 10 + 2 * 5
    assert span(made, "right wall of box")[0] == (290, 300)  # the middle follows too
    assert span(made, "right wall of small")[0] == (740, 750)


@pytest.mark.parametrize(
    ("turn", "x", "y"),
    [("90 deg", (-200, 0), (0, 10)), ("180 deg", (-10, 0), (-200, 0)), ("270 deg", (0, 200), (-10, 0)), ("-90 deg", (0, 200), (-10, 0))],
)
def test_turned_about_its_upright_axis(turn: str, x: tuple[float, float], y: tuple[float, float]) -> None:
    made = design_of(row(f"box: {{assembly: box, at: [0, 0, 0], turn: {turn}}}"))
    assert span(made, "left wall of box")[:2] == (x, y)


def test_placed_against_a_part_of_the_piece() -> None:
    text = row("box: {assembly: box, at: [left cheek, 0, shelf]}").replace(
        "place:", "parts:\n  left cheek: {stock: ply, x: from 30, y: 0 to 200, z: 0 to 500}\n"
        "  shelf: {stock: ply, x: left cheek to 400, y: 0 to 200, z: from 100}\nplace:",
    )  # fmt: skip
    made = design_of(text)
    assert span(made, "left wall of box") == ((40, 50), (0, 200), (110, 260))


def test_joints_between_assemblies_and_of_a_whole_row(store: Store) -> None:
    made = goes_together(
        row(
            "box: {assembly: box, at: [0, 0, 0], count: 3, every: [250, 0, 0]}",
            joints="  - glued: {of: right wall of box, to: left wall of box}\n",
        ),
        store,
    )
    assert made.design is not None
    glued = {(j.member, j.receiver) for j in made.design.joints if j.kind == "glued"}
    # only neighbours touch; the ends of the row have none, which is no error
    assert glued == {("right wall of box 1", "left wall of box 2"), ("right wall of box 2", "left wall of box 3")}


def test_assemblies_in_one_another() -> None:
    text = """\
build123: 1
piece: Crates
sizes: {gap: 20}
stock: {ply: {sheet: birch plywood, thickness: 10}}
assemblies:
  tray:
    sizes: {width: 100}
    parts:
      board: {stock: ply, x: 0 to width, y: 0 to 80, z: from 0}
  stack:
    sizes: {width: 120}
    place:
      tray: {assembly: tray, at: [5, 0, 0], sizes: {width: width - 10}, count: 2, every: [0, 0, 30]}
place:
  stack: {assembly: stack, at: [0, 0, 0], count: 2, every: [width, 0, 0]}
"""
    made = design_of(text.replace("sizes: {gap: 20}", "sizes: {width: 200}"))
    assert set(made.by_name) == {f"board of tray {t} of stack {s}" for t in (1, 2) for s in (1, 2)}
    # the tray is as wide as its stack says (120 - 10), and the second stack stands at the piece's own width
    assert span(made, "board of tray 2 of stack 2") == ((205, 315), (0, 80), (30, 40))
    assert part(made, "board of tray 2 of stack 2").path == ("stack 2", "tray 2")


def test_an_assembly_that_holds_itself_is_bounded() -> None:
    text = row("box: {assembly: box, at: [0, 0, 0]}").replace(
        "    joints:", "    place: {box: {assembly: box, at: [0, 0, 10]}}\n    joints:"
    )
    found = errors(told(text)[1])
    assert {f.id for f in found} == {"too-deep"}


def test_a_made_up_part_is_a_name_for_joints(store: Store) -> None:
    text = """\
build123: 1
piece: Lipped shelf
sizes: {width: 500}
stock:
  ply: {sheet: birch plywood, thickness: 18}
  ash: {board: ash, thickness: 8}
parts:
  side: {pair: left and right, stock: ply, x: from 0, y: 0 to 200, z: 0 to 300}
  board: {stock: ply, x: left side to right side, y: lipping to 200, z: from 100}
  lipping: {stock: ash, x: left side to right side, y: from 0, z: same as board}
made up:
  shelf: [board, lipping]
joints:
  - glued: {of: lipping, to: board}
  - dado: {of: shelf, in: side, depth: 6}
"""
    made = goes_together(text, store)
    assert {part(made, n).made_up for n in ("board", "lipping")} == {"shelf"}
    assert size(made, "lipping")[0] == size(made, "board")[0] == 464 + 12


SLIPS = {
    "no such assembly": ("box: {assembly: bix, at: [0, 0, 0]}", "unknown-name", "bix"),
    "count without every": ("box: {assembly: box, at: [0, 0, 0], count: 3}", "bad-value", "box"),
    "every without count": ("box: {assembly: box, at: [0, 0, 0], every: [1, 0, 0]}", "bad-value", "box"),
    "no such size": ("box: {assembly: box, at: [0, 0, 0], sizes: {widht: 3}}", "unknown-name", "widht"),
    "two numbers": ("box: {assembly: box, at: [0, 0]}", "bad-value", "[0, 0]"),
    "too many": ("box: {assembly: box, at: [0, 0, 0], count: 1000, every: [250, 0, 0]}", "bad-count", "1000"),
    "four numbers": ("box: {assembly: box, at: [0, 0, 0, 0]}", "bad-value", "[0, 0, 0, 0]"),
    "no thing at all": ("box: {assembly: box}", "key-missing", "box"),
    "turned by a length": ("box: {assembly: box, at: [0, 0, 0], turn: 90 mm}", "wrong-dimension", "90 mm"),
}


@pytest.mark.parametrize("slip", SLIPS)
def test_slips_in_places(slip: str) -> None:
    place, id, under = SLIPS[slip]
    found = errors(told(row(place))[1])
    assert [f.id for f in found] == [id], [(f.id, f.message, marked(f)) for f in found]
    assert marked(found[0]) == under


def test_two_thousand_parts_are_the_most() -> None:
    text = row(*(f"row {'abcd'[n]}: {{assembly: box, at: [0, {n} * 300, 0], count: 200, every: [250, 0, 0]}}" for n in range(4)))
    found = errors(told(text)[1])
    assert {f.id for f in found} == {"too-many-parts"}
