"""Screws: the holes they need by hand, heads, plugs, slots from the Wood Handbook's figures, and what cannot be screwed."""

from __future__ import annotations

import math

import pytest

from build123.kernel import Store
from build123.model.feature import Hole, Purpose
from build123.model.part import Rod, Screw
from build123.pipeline import Compiled, compile_text

IN = 25.4
TOP = """
build123: 1
piece: Bench top
units: in
sizes: {width: 30, depth: 14}
stock:
  ply: {sheet: birch plywood, nominal: 3/4, thickness: 0.715}
  oak: {board: white oak, thickness: 0.8}
parts:
  side: {pair: left and right, stock: ply, x: from 0, y: 0 to depth, z: 0 to 18}
  front rail: {stock: ply, x: left side to right side, y: from 1 for 3, z: up to top}
  back rail: {stock: ply, x: left side to right side, y: up to depth - 1 for 3, z: up to top}
  top: {stock: oak, x: -1 to width + 1, y: -1 to depth + 1, z: from 18}
joints:
  - dado: {of: [front rail, back rail], in: side, depth: 1/4}
  - rests: {of: top, upon: side}
  - screws: {through: [front rail, back rail], into: top, SAY}
"""


def top(say: str, store: Store) -> Compiled:
    return compile_text(TOP.replace("SAY", say), store)


def holes(made: Compiled, part: str, purpose: Purpose) -> list[Hole]:
    assert made.design is not None
    features = made.design.by_name[part].features
    return [f.geometry for f in features if f.about.purpose is purpose and isinstance(f.geometry, Hole)]


def test_a_number_8_wants_the_holes_of_its_table(store: Store) -> None:
    # ASME B18.6.1: No. 8 is 0.060 + 8 x 0.013 = 0.164 in thick, its head 0.332 in with 82 degrees; 11/64 in clears it,
    # 3/32 in is its pilot hole in hardwood (reference row WS-8)
    made = top("size: 8 x 1 1/4, count: 3", store)
    assert made.design is not None and not [f for f in made.findings if f.id == "parts-interfere"]
    (cone, shank), *_ = (hole.steps for hole in holes(made, "front rail", Purpose.clearance))
    assert shank.diameter_mm == pytest.approx(11 / 64 * IN)
    assert cone.diameter_mm == pytest.approx(0.332 * IN + 0.2)
    assert cone.depth_mm == pytest.approx((0.332 * IN + 0.2 - 11 / 64 * IN) / 2 / math.tan(math.radians(41)))
    pilots = holes(made, "top", Purpose.pilot)
    assert [hole.steps[0].diameter_mm for hole in pilots] == pytest.approx([3 / 32 * IN] * 6)
    # 1 1/4 in less 0.715 in of rail leaves 0.535 in in the top, which is 0.8 in thick
    assert [round(hole.steps[0].depth_mm / IN, 4) for hole in pilots] == [0.535] * 6


def test_the_thread_bites_and_the_point_stays_in_as_measured_on_the_solids(store: Store) -> None:
    made = top("size: 8 x 1 1/4, count: 3", store)
    assert made.fit is not None
    bites = [one for one in made.fit.driven if one.part == "top"]
    assert len(bites) == 6
    for one in bites:
        assert one.bite_mm / IN == pytest.approx(0.535, abs=0.001)
        assert one.beyond_mm is not None and one.beyond_mm / IN == pytest.approx(0.8 - 0.535, abs=0.001)
    clear = [one for one in made.fit.driven if one.part == "front rail"]
    assert all(one.bite_mm == 0.0 for one in clear)


def test_screws_lie_in_line_with_their_heads_flush(store: Store) -> None:
    made = top("size: 8 x 1 1/4, count: 3", store)
    assert made.design is not None
    screws = [thing for thing in made.design.hardware if isinstance(thing.solid, Screw)]
    assert {thing.label for thing in screws} == {"screw No. 8 x 1 1/4 in"}
    # the underside of the rail lies 18 - 0.715 in up, and the screws are driven upwards from it
    assert {round(thing.placement.origin[2] / IN, 4) for thing in screws} == {round(18 - 0.715, 4)}
    assert {thing.placement.z for thing in screws} == {(0.0, 0.0, 1.0)}


def test_a_slot_is_as_long_as_the_wood_moves(store: Store) -> None:
    # White oak, tangential 0.00365 for each point (FPL-GTR-190 Table 13-5). In a heated house wood goes from 6.2 to 10.1 % of
    # moisture, 3.9 points. The middle lines of the rails lie
    # at 2.5 and 11.5 in, 9 in apart.
    made = top("size: 8 x 1 1/4, count: 3, fixed: front rail", store)
    assert made.design is not None and made.design.climate is not None
    points = made.design.climate.change.value
    assert points == pytest.approx(3.9, abs=0.1)
    ply = 9.0 * IN * made.design.by_name["left side"].stock.moves_along((1.0, 0.0, 0.0), (0.0, 1.0, 0.0))
    move = 9.0 * IN * 0.00365 * points - ply
    assert move == pytest.approx(3.2, abs=0.25)
    slack = (11 / 64 - 0.164) / 2 * IN
    (slot,) = {hole.slot for hole in holes(made, "back rail", Purpose.movement)}
    assert max(map(abs, slot)) == pytest.approx(math.ceil(2 * (move - slack) / 0.5) * 0.5)
    assert len(holes(made, "front rail", Purpose.clearance)) == 3
    assert all(hole.slot == (0.0, 0.0) for hole in holes(made, "front rail", Purpose.clearance))
    heads = {thing.label for thing in made.design.hardware if "back rail" in thing.name}
    assert heads == {"pan-head screw No. 8 x 1 1/4 in with washer"}
    # and the shank has that play both ways along y, as measured on the solids
    assert made.fit is not None
    for one in made.fit.driven:
        if one.part == "back rail":
            along = [side.air_mm - 0.164 * IN / 2 for side in one.beside if abs(side.direction[1]) > 0.999]
            assert len(along) == 2 and min(along) >= move - 0.05


def test_quarter_sawn_boards_move_less(store: Store) -> None:
    flat = top("size: 8 x 1 1/4, count: 3, fixed: front rail", store)
    text = TOP.replace("board: white oak", "board: white oak, rings: quarter-sawn").replace(
        "SAY", "size: 8 x 1 1/4, count: 3, fixed: front rail"
    )
    quarter = compile_text(text, store)
    long, short = (max(max(map(abs, h.slot)) for h in holes(one, "back rail", Purpose.movement)) for one in (flat, quarter))
    # radial 0.00180 against tangential 0.00365 (FPL-GTR-190 Table 13-5)
    assert short < 0.6 * long


def test_a_batten_is_held_in_the_middle() -> None:
    text = """
    build123: 1
    piece: Lid
    stock: {ash: {board: ash, thickness: 20}, ply: {sheet: birch plywood, thickness: 18}}
    parts:
      top: {stock: ash, x: 0 to 700, y: 0 to 500, z: from 18}
      batten: {stock: ply, x: 100 to 140, y: 20 to 480, z: up to top}
    joints:
      - screws: {through: batten, into: top, size: 4 x 30, count: 5, fixed: middle}
    """
    made = compile_text(text, Store())
    assert made.design is not None
    features = [f for f in made.design.by_name["batten"].features if f.about.purpose in (Purpose.movement, Purpose.clearance)]
    assert [f.about.label for f in features] == ["slotted hole", "slotted hole", "countersunk hole", "slotted hole", "slotted hole"]
    lengths = [max(map(abs, f.geometry.slot)) for f in features if isinstance(f.geometry, Hole)]
    assert lengths[0] == lengths[4] > lengths[1] == lengths[3] > lengths[2] == 0.0


@pytest.mark.parametrize("say", ["size: 8 x 1, head: counterbored, sink: 3/8", "size: 8 x 1 1/4, head: plugged, sink: 1/4"])
def test_heads_are_sunk_as_told(say: str, store: Store) -> None:
    made = top(say + ", count: 2", store)
    first = holes(made, "front rail", Purpose.clearance)[0].steps[0]
    sink = 3 / 8 if "counterbored" in say else 1 / 4
    assert first.depth_mm == pytest.approx(sink * IN)
    assert made.fit is not None
    bites = {round(one.bite_mm / IN, 3) for one in made.fit.driven if one.part == "top"}
    length = 1.0 if "counterbored" in say else 1.25
    assert bites == {round(length + sink - 0.715, 3)}


def test_a_plug_lies_over_the_screw_and_is_counted(store: Store) -> None:
    made = top("size: 8 x 1 1/4, head: plugged, count: 2", store)
    assert made.design is not None
    plugs = [thing for thing in made.design.hardware if isinstance(thing.solid, Rod)]
    assert len(plugs) == 4 and {thing.label for thing in plugs} == {"plug 3/8 in x 1/4 in"}
    assert not [f for f in made.findings if f.id in ("parts-interfere", "cannot-be-assembled")]


@pytest.mark.parametrize(
    ("say", "id", "word"),
    [
        ("size: 8.5 x 1 1/4", "bad-screw", "8.5"),
        ("size: 1 1/4", "bad-screw", "no size of screw"),
        ("size: 5 x 1 1/4", "bad-screw", "gauge"),
        ("size: 8 x 1/2", "screw-does-not-reach", "0.715"),
        ("size: 8 x 1 1/4, sink: 1/4", "bad-screw", "not sunk"),
        ("size: 8 x 2, head: plugged, sink: 0.7", "bad-screw", "go through"),
        ("size: 8 x 2, head: plugged, sink: -1/4", "bad-screw", "deeper than the face"),
        ("size: 8 x 2, head: counterbored, sink: 0", "bad-screw", "deeper than the face"),
        ("size: 8 x 1 1/4, fixed: [front rail, back rail]", "bad-screw", "not in one line"),
        ("size: 8 x 1 1/4, fixed: left", "bad-screw", "from front to back"),
        ("size: 8 x 1 1/4, fixed: top", "bad-screw", "from front to back"),
        ("size: 8 x 1 1/4, fixed: left side", "bad-screw", "left side"),
        ("size: 8 x 1 1/4, count: 2, every: 3", "row-spacing", "count"),
        ("size: 8 x 1 1/4, head: flat", "bad-value", "countersunk"),
    ],
)
def test_what_cannot_be_screwed_is_said(say: str, id: str, word: str, store: Store) -> None:
    made = top(say, store)
    found = [f for f in made.findings if f.severity.name == "error"]
    assert {f.id for f in found} == {id} and word in found[0].message, [f.message for f in found]


def test_metric_pieces_take_metric_screws_and_gauges_when_told(store: Store) -> None:
    text = TOP.replace("units: in", "units: mm").replace("SAY", "size: SIZE, count: 2")
    text = text.replace("{width: 30, depth: 14}", "{width: 760, depth: 350}").replace("nominal: 3/4, thickness: 0.715", "thickness: 18")
    text = text.replace("thickness: 0.8", "thickness: 20").replace("z: 0 to 18", "z: 0 to 450").replace("z: from 18", "z: from 450")
    text = (
        text.replace("from 1 for 3", "from 25 for 75")
        .replace("up to depth - 1 for 3", "up to depth - 25 for 75")
        .replace("depth: 1/4", "depth: 6")
    )
    text = text.replace("-1 to width + 1", "-25 to width + 25").replace("-1 to depth + 1", "-25 to depth + 25")
    labels = []
    for size in ("4 x 30", "No. 8 x 32"):
        made = compile_text(text.replace("SIZE", size), store)
        assert made.design is not None, made.findings
        labels.append({thing.label for thing in made.design.hardware})
    assert labels == [{"screw 4 mm x 30 mm"}, {"screw No. 8 x 32 mm"}]


def test_a_batten_named_as_fixed_is_held_at_the_screw_nearest_to_its_middle(store: Store) -> None:
    text = """
build123: 1
piece: Ledged board
stock: {oak: {board: white oak, thickness: 22}}
parts:
  board: {stock: oak, x: 0 to 800, y: 0 to 400, z: from 22, grain: x}
  batten: {stock: oak, x: 100 to 160, y: 20 to 380, z: up to board, grain: y}
joints:
  - screws: {through: batten, into: board, size: 4 x 35, count: 4, fixed: batten}
"""
    made = compile_text(text, store)
    assert [f.message for f in made.findings] == [] and made.design is not None
    purposes = [f.about.purpose for f in made.design.by_name["batten"].features if f.about.label != "pilot hole"]
    assert purposes.count(Purpose.clearance) == 1 and purposes.count(Purpose.movement) == 3


def test_screws_along_a_long_part_are_told_to_come_from_the_other_side(store: Store) -> None:
    made = compile_text(
        TOP.replace("into: top, SAY", "into: top, size: 8 x 1 1/4, fixed: front rail")
        + "  - screws: {through: front rail, into: left side, size: 8 x 2}\n",
        store,
    )
    (told,) = (f for f in made.findings if f.id == "screw-does-not-reach")
    assert told.change == "screw from the other side: `through: left side` and `into: front rail`"


@pytest.mark.parametrize("fixed", ["front rail", "front", "back", "back rail"])
def test_a_top_made_up_of_boards_is_held_at_one_line(fixed: str, store: Store) -> None:
    boards = """
  board 1: {stock: oak, x: -1 to width + 1, y: -1 to depth / 2, z: from 18, grain: x}
  board 2: {stock: oak, x: -1 to width + 1, y: depth / 2 to depth + 1, z: from 18, grain: x}
made up:
  top: [board 1, board 2]
joints:
  - glued: {of: board 1, to: board 2}
"""
    text = TOP.replace("up to top", "up to 18").replace("SAY", f"size: 8 x 1 1/4, count: 3, fixed: {fixed}")
    start, end = text.index("  top: {"), text.index("  - dado")
    made = compile_text(text[:start] + boards.strip("\n") + "\n" + text[end:], store)
    assert [f.message for f in made.findings] == []
    tight = {"front": "front rail", "back": "back rail"}.get(fixed, fixed)
    for rail in ("front rail", "back rail"):
        assert len(holes(made, rail, Purpose.clearance)) == (3 if rail == tight else 0)
        assert len(holes(made, rail, Purpose.movement)) == (0 if rail == tight else 3)
