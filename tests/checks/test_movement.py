"""Boards held across their grain, each beside the way that lets them move; sizes of movement after the Wood Handbook."""

from __future__ import annotations

import pytest
from speaking import ids, the

from build123.problem import Severity

SIDES = "side: {pair: left and right, stock: ply, x: from 0, y: 0 to depth, z: 0 to height}"
RAILS = "rail: {pair: front and back, stock: ply, x: left side to right side, y: from 10 for 70, z: up to top}"
TOP = "top: {stock: oak, x: 0 to width, y: 0 to depth, z: from height}"
TABLE = "\n".join([SIDES, RAILS, TOP])
IN_SIDES = "- dado: {of: rail, in: side, depth: 6}\n- rests: {of: top, upon: side}"

CROSSED = """\
lower: {stock: oak, x: 0 to width, y: 0 to %g, z: from 0}
upper: {stock: oak, x: 0 to 90, y: 0 to %g, z: from lower, grain: y}"""
GLUED = "- glued: {of: upper, to: lower}"


def crossed(wide: float) -> str:
    return CROSSED % (wide, wide)


def test_the_movement_of_white_oak_is_the_handbooks() -> None:
    """300 mm flat-sawn, 30 to 55 % relative humidity at 20 degrees C, the other board with its grain across.

    White oak changes by 0.00365 of its width for each point (FPL Wood Handbook Table 13-5), which settles at 6.2 and 10.1 %
    moisture content (the same, Table 4-2, 21.1 degrees C): 300 x 0.00365 x 3.9 = 4.27 mm.
    """
    one = the("moves-across-grain", crossed(300), GLUED)
    assert one.numbers["held_mm"] == pytest.approx(300.0)
    assert one.numbers["moves_mm"] == pytest.approx(300 * 0.00365 * 3.9, rel=0.03)
    assert "lower is held over 300 mm across its grain by upper" in one.message
    assert "(heated house, 30 to 55 % humidity)" in one.message
    assert "Table 13-5" in one.source


@pytest.mark.parametrize(
    ("wide", "told"), [(75, None), (101, None), (103, Severity.warning), (150, Severity.warning), (154, Severity.error)]
)
def test_four_inches_are_the_most_and_six_no_matter_of_judgement(wide: float, told: Severity | None) -> None:
    """4 in are 101.6 mm, 6 in 152.4."""
    if told is None:
        assert ids(crossed(wide), GLUED) == []
    else:
        assert the("moves-across-grain", crossed(wide), GLUED).severity is told


def test_boards_with_their_grain_one_way_move_together() -> None:
    assert ids(crossed(300).replace("x: 0 to 90", "x: 0 to 400").replace(", grain: y", ""), GLUED) == []
    assert (
        ids(
            "one: {stock: oak, x: 0 to width, y: 0 to 150, z: from 0}\ntwo: {stock: oak, x: 0 to width, y: 150 to 300, z: from 0}",
            "- glued: {of: one, to: two}",
        )
        == []
    )


def test_sheet_on_sheet_is_silent_and_solid_wood_flat_on_a_sheet_is_not() -> None:
    flat = "panel: {stock: ply, x: 0 to width, y: 0 to depth, z: from 0}\nface: {stock: %s, x: 0 to width, y: 0 to depth, z: from panel}"
    joint = "- glued: {of: face, to: panel}"
    assert ids(flat % "ply", joint) == []
    one = the("moves-across-grain", flat % "oak", joint)
    assert (one.severity, one.joint, set(one.parts)) == (Severity.error, "glued: face to panel", {"face", "panel"})


def test_a_lipping_along_its_own_grain_is_silent() -> None:
    lipped = (
        "panel: {stock: ply, x: 0 to width, y: 20 to depth, z: from 0}\nlip: {stock: oak, x: 0 to width, y: up to panel, z: same as panel}"
    )
    assert ids(lipped, "- glued: {of: lip, to: panel}") == []


def screwed(more: str) -> str:
    return f"{IN_SIDES}\n- screws: {{through: rail, into: top, size: 4 x 30, count: 3{more}}}"


def test_a_top_screwed_tight_front_and_back_is_held_by_the_case_between() -> None:
    """Rails 210 mm apart, joined through the sides: 210 x (0.00365 - what plywood moves) x 3.9, some 2.9 mm."""
    one = the("moves-across-grain", TABLE, screwed(""))
    assert one.numbers["held_mm"] == pytest.approx(210.0)
    assert one.numbers["moves_mm"] == pytest.approx(210 * 0.00365 * 3.9, rel=0.05)
    assert one.numbers["room_mm"] == pytest.approx(0.5, abs=0.1), "two clearance holes leave a quarter of a millimetre each"
    assert {"top", "front rail", "back rail"} == set(one.parts)
    assert "`fixed:`" in one.change


def test_slots_and_a_fixed_line_let_it_move() -> None:
    assert ids(TABLE, screwed(", fixed: front rail")) == []
    assert ids(TABLE, screwed(", fixed: back rail")) == []


def test_the_slots_are_judged_as_they_are_cut() -> None:
    """The slots left uncut: the solids have no hole at all where the plan has room."""
    found = ids(TABLE, screwed(", fixed: front rail"), "leave uncut screws: back rail into top")
    assert "moves-across-grain" in found


def test_rails_that_nothing_joins_go_with_the_top() -> None:
    loose = "\n".join(line for line in TABLE.splitlines() if not line.startswith("side")).replace(
        "left side to right side", "20 to width - 20"
    )
    assert ids(loose, "- screws: {through: rail, into: top, size: 4 x 30, count: 3}") == []


def test_a_top_of_two_boards_moves_as_one() -> None:
    """Each board is narrower than it would matter; the top that they make is not."""
    halves = [
        f"{word} half: {{stock: oak, x: 0 to width, y: {span}, z: from height}}"
        for word, span in (("front", "0 to 150"), ("back", "150 to 300"))
    ]
    two = "\n".join([SIDES, RAILS.replace("up to top", "up to front half"), *halves])
    joints = screwed("%s").replace(
        "{of: top, upon: side}", "{of: [front half, back half], upon: side}\n- glued: {of: front half, to: back half}"
    )
    joints = joints.replace("into: top", "into: [front half, back half]")
    one = the("moves-across-grain", two, joints % "")
    assert one.numbers["held_mm"] == pytest.approx(210.0)
    assert {"front half", "back half", "front rail", "back rail"} == set(one.parts)


BUTTONS = f"""{SIDES}
rail: {{pair: front and back, stock: ply, x: left side to right side, y: from 10, z: up to top for 70}}
{TOP}
front button: {{stock: oak, x: [from 100 for 30, from 470 for 30], y: front rail to 100, z: up to top, grain: y}}
back button: {{stock: oak, x: [from 100 for 30, from 470 for 30], y: 200 to back rail, z: up to top, grain: y}}"""


@pytest.mark.parametrize(("fit", "told"), [("easy", []), ("slip", ["moves-across-grain"])])
def test_buttons_let_a_top_move_as_long_as_their_tongues_slide(fit: str, told: list[str]) -> None:
    joints = f"""{IN_SIDES}
    - rests: {{of: top, upon: rail}}
    - tongue: {{of: front button, in: front rail, thickness: 7, depth: 8, fit: {fit}}}
    - tongue: {{of: back button, in: back rail, thickness: 7, depth: 8, fit: {fit}}}
    - screws: {{through: [front button, back button], into: top, size: 4 x 32, positions: [15]}}"""
    assert ids(BUTTONS, joints) == told


BATTEN = f"{TOP}\nbatten: {{stock: oak, x: from 100 for 40, y: 20 to depth - 20, z: up to top}}"


@pytest.mark.parametrize(("more", "told"), [("", ["moves-across-grain"]), (", fixed: middle", [])])
def test_a_batten_across_a_top_is_fixed_in_the_middle(more: str, told: list[str]) -> None:
    assert ids(BATTEN, f"- screws: {{through: batten, into: top, size: 4 x 32, count: 3{more}}}") == told


def test_nails_bend_with_the_wood() -> None:
    assert ids(BATTEN, "- pins: {of: batten, to: top, kind: brads, length: 37, count: 5}") == []


BREADBOARD = f"{TOP}\nend: {{stock: oak, x: from top for 60, y: 0 to depth, z: from height}}"


@pytest.mark.parametrize(
    ("joint", "told"),
    [
        ("- tongue: {of: top, in: end, depth: 12, thickness: 7, fit: easy}", []),
        ("- tongue: {of: top, in: end, depth: 12, thickness: 7}", ["moves-across-grain"]),
        ("- dowels: {of: end, to: top, positions: [115, 185], diameter: 8, length: 40}", []),
        ("- dowels: {of: end, to: top, positions: [40, 150, 260], diameter: 8, length: 40}", ["moves-across-grain"]),
    ],
    ids=["slides", "glued right across", "dowelled in the middle", "dowelled right across"],
)
def test_a_breadboard_end_is_held_in_its_middle_only(joint: str, told: list[str]) -> None:
    assert ids(BREADBOARD, joint) == told


SHELF = f"{SIDES}\nrail: {{stock: ply, x: left side to right side, y: from 20, z: from 0 for 60}}\nshelf: {{stock: oak, x: left side to right side, y: 0 to depth, z: from 200}}"


def test_a_solid_shelf_is_not_glued_into_sheet_sides() -> None:
    dado = "- dado: {of: rail, in: side, depth: 6}\n- dado: {of: shelf, in: side, depth: 6%s}"
    one = the("moves-across-grain", SHELF, dado % "")
    assert set(one.parts) == {"shelf", "left side", "right side"}
    assert ids(SHELF, dado % ", fit: easy") == []
    assert ids(SHELF.replace("stock: ply", "stock: oak"), dado % "") == []


def test_the_climate_changes_the_movement_that_is_told_and_not_the_limit() -> None:
    """The rule counts inches of that same wood, so the climate changes the movement that is told and not the limit."""
    damp = the("moves-across-grain", crossed(300), GLUED, head="units: mm\nclimate: {place: garden shed}")
    house = the("moves-across-grain", crossed(300), GLUED)
    assert damp.numbers["moves_mm"] > house.numbers["moves_mm"]
    assert damp.severity is house.severity
    assert "garden shed, 45 to 80 % humidity" in damp.message
