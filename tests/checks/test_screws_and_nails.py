"""Screws and nails on the solids: each mistake beside the near-miss that an old hand would let pass."""

from __future__ import annotations

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from speaking import ids, said, the

from build123.kernel import Store
from build123.pipeline import compile_text
from build123.problem import Severity

SIDES = "side: {pair: left and right, stock: ply, x: from 0, y: 0 to depth, z: 0 to height}"
RAIL = "rail: {stock: ply, x: left side to right side, y: from 20, z: from 0 for 60}"
IN_RAIL = "- dado: {of: rail, in: side, depth: 6}"
SHELF = "shelf: {stock: %s, x: left side to right side, y: 0 to depth, z: from 200}"
TOP = "\n".join(
    [
        SIDES,
        "rail: {stock: ply, x: left side to right side, y: centred on depth / 2 for 80, z: up to top}",
        "top: {stock: ply, x: 0 to width, y: 0 to depth, z: from height}",
    ]
)


def topped(screws: str) -> str:
    return f"{IN_RAIL}\n- rests: {{of: top, upon: side}}\n- screws: {{through: rail, into: top, count: 2, {screws}}}"


CASE = "\n".join([SIDES, RAIL, SHELF % "ply"])
PINE = "\n".join([SIDES.replace("ply", "pine"), RAIL, SHELF % "pine"])


def shelved(*lines: str) -> str:
    return "\n".join([IN_RAIL, *lines])


# comes through: the rail is 18 mm through and 18 mm of top lie above it


@pytest.mark.parametrize(
    ("long", "told"), [(30, []), (33, []), (34, ["screw-comes-through"]), (36, ["screw-comes-through"]), (37, ["screw-comes-through"])]
)
def test_a_screw_into_a_top_stops_an_eighth_short_of_its_face(long: int, told: list[str]) -> None:
    """36 mm of wood lie along it: 33 leaves 3 mm, which a metric shop calls 1/8 in."""
    assert ids(TOP, topped(f"size: 4 x {long}")) == told


def test_a_point_near_the_face_is_a_warning_and_one_that_stands_out_an_error() -> None:
    near, out = (the("screw-comes-through", TOP, topped(f"size: 4 x {long}")) for long in (34, 40))
    assert (near.severity, near.numbers["beyond_mm"]) == (Severity.warning, pytest.approx(2.0))
    assert (out.severity, out.numbers["beyond_mm"]) == (Severity.error, pytest.approx(-4.0))
    assert out.message == "screw 1 of rail into top (and 1 more) stands 4 mm out of the top face of top"


def test_a_face_that_another_part_covers_is_not_seen() -> None:
    covered = TOP + "\nlid: {stock: ply, x: 0 to width, y: 0 to depth, z: from top}"
    assert ids(covered, topped("size: 4 x 35") + "\n- glued: {of: lid, to: top}") == []


def test_the_point_is_measured_on_the_solid_and_not_on_the_plan() -> None:
    """The top planed 4 mm thinner on its upper side: 6 mm of wood before the point are 2 mm."""
    assert "screw-comes-through" not in ids(TOP, topped("size: 4 x 30"), "thicken top -2 at -z")
    assert the("screw-comes-through", TOP, topped("size: 4 x 30"), "thicken top -4 at -z").numbers["beyond_mm"] == pytest.approx(2.0)


@settings(max_examples=8, deadline=None, derandomize=True)
@given(st.floats(0.5, 8.0))
def test_a_top_planed_at_random_is_told_beyond_the_limit_and_never_before(off_mm: float) -> None:
    """6 mm of wood lie before the point; an eighth of an inch, less a hair of 0.2 mm, must stay."""
    assume(abs(6.0 - off_mm - 2.975) > 0.01 and abs(6.0 - off_mm) > 0.01)
    found = ids(TOP, topped("size: 4 x 30"), f"thicken top {-off_mm:.4f} at -z")
    assert ("screw-comes-through" in found) is (6.0 - off_mm < 2.975)


@settings(max_examples=8, deadline=None, derandomize=True)
@given(st.floats(8.0, 45.0))
def test_a_hole_drilled_at_random_beside_a_screw_is_told_within_a_diameter(y: float) -> None:
    """A hole of 6 mm down into the shelf, the screw of 4 mm at y 25: their axes 3 + 2 + 4 = 9 mm apart or more are well."""
    apart = abs(y - 25.0)
    assume(abs(apart - 9.0) > 0.05)
    found = ids(
        CASE,
        shelved("- screws: {through: side, into: shelf, size: 4 x 50}"),
        f"drill shelf at 34 {y:.4f} 218 towards 0 0 -1 diameter 6 depth 12",
    )
    assert ("fastener-hits" in found) is (apart < 9.0)


TRIM = "\n".join([CASE, "trim: {stock: pine, x: 0 to width, y: up to 0, z: 190 to 230}"])


def test_brads_in_trim_and_in_a_back_are_silent() -> None:
    trimmed = shelved(
        "- dado: {of: shelf, in: side, depth: 6}",
        "- pins: {of: trim, to: shelf, kind: brads}",
        "- pins: {of: trim, to: side, count: 1, kind: brads}",
    )
    assert ids(TRIM, trimmed) == []
    backed = "\n".join([CASE, "back: {stock: thin, x: 0 to width, y: from depth, z: 0 to height}"])
    for kind in ("brads", "staples", "pins"):
        assert (
            ids(
                backed,
                shelved("- dado: {of: shelf, in: side, depth: 6}", f"- pins: {{of: back, to: [shelf, side], kind: {kind}, length: 20}}"),
            )
            == []
        )


BEAD = "\n".join([CASE, "bead: {stock: pine, x: 20 to width - 20, y: from 0 for 30, z: from shelf}"])


@pytest.mark.parametrize(("long", "told"), [(35, []), (37, ["screw-comes-through"]), (40, ["screw-comes-through"])])
def test_a_brad_shows_only_when_it_comes_within_its_own_thickness(long: int, told: list[str]) -> None:
    """20 mm of bead and 18 mm of shelf: 35 leaves 3 mm, 37 leaves less than the 1.25 mm of an 18 gauge brad."""
    nailed = shelved("- dado: {of: shelf, in: side, depth: 6}", f"- pins: {{of: bead, to: shelf, kind: brads, length: {long}}}")
    assert ids(BEAD, nailed) == told


# too short


@pytest.mark.parametrize(("long", "told"), [(25, ["screw-too-short"]), (27, []), (28, [])])
def test_a_top_needs_a_modest_bite(long: int, told: list[str]) -> None:
    """3/8 in, 9.5 mm, is the least; 27 leaves 9 mm, which a metric shop calls so."""
    assert ids(TOP, topped(f"size: 4 x {long}")) == told


CLEATED = "\n".join(
    [
        SIDES,
        RAIL,
        "cleat: {pair: left and right, stock: pine, x: from left side, y: 0 to depth, z: up to shelf for 40}",
        "shelf: {stock: ply, x: left side to right side, y: 0 to depth, z: from 200}",
    ]
)


def cleated(cleat: str) -> str:
    return shelved("- rests: {of: shelf, upon: cleat}", "- screws: {through: side, into: shelf, size: 4 x 50}", cleat)


@pytest.mark.parametrize(
    ("stock", "size", "told"),
    [
        ("pine", "4 x 35", Severity.warning),
        ("beam", "4 x 41", Severity.warning),
        ("beam", "4 x 44", Severity.note),
        ("beam", "4 x 46", None),
    ],
)
def test_a_cleat_that_carries_a_shelf_needs_seven_diameters_and_six_at_least(stock: str, size: str, told: Severity | None) -> None:
    """18 mm through the side: 41 leaves 23 mm, 46 leaves 28 mm, which is seven times 4 mm."""
    found = said(CLEATED.replace("stock: pine", f"stock: {stock}"), cleated(f"- screws: {{through: side, into: cleat, size: {size}}}"))
    assert [one.severity for one in found if one.id == "screw-too-short"] == ([] if told is None else [told, told])


def test_a_cleat_that_carries_nothing_needs_only_a_modest_bite() -> None:
    bare = "\n".join(CLEATED.splitlines()[:3]).replace("up to shelf for 40", "from 160 for 40")
    assert ids(bare, shelved("- screws: {through: side, into: cleat, size: 4 x 30}")) == []


def test_a_screw_that_misses_its_part_holds_nothing() -> None:
    one = the("screw-too-short", TOP, topped("size: 4 x 30"), "shift top 0 0 40")
    assert (one.severity, one.numbers["bite_mm"]) == (Severity.error, 0.0)


# hits


BOX = "\n".join(
    [
        "side: {pair: left and right, stock: pine, x: from 0, y: 0 to depth, z: 0 to 150}",
        "front: {pair: front and back, stock: pine, x: left side to right side, y: from 0, z: 0 to 150}",
    ]
)


@pytest.mark.parametrize(("at", "told"), [(24, True), (27, True), (29, True), (31, False), (48, False)])
def test_a_screw_beside_a_dowel_keeps_a_diameter_of_wood(at: int, told: bool) -> None:
    """Dowel 8 mm at 20, screw 4 mm: from axis to axis 4 + 2 + 4 = 10 mm, from 30 on all is well."""
    joints = f"- dowels: {{of: front, to: side, positions: [20, 75, 130], diameter: 8, length: 40}}\n- screws: {{through: side, into: front, size: 4 x 50, positions: [{at}, 100]}}"
    assert ids(BOX, joints) == (["fastener-hits"] if told else [])


def test_two_screws_that_meet_are_told_once_and_by_one_check() -> None:
    joints = shelved(
        "- screws: {through: side, into: cleat, size: 4 x 35, positions: [100, 200]}",
        "- screws: {through: cleat, into: shelf, size: 4 x 50, positions: [100, 200]}",
    )
    told = [one for one in said(CLEATED, joints) if one.id in ("fastener-hits", "parts-interfere", "hole-breaks-out")]
    assert {one.id for one in told} == {"fastener-hits"}
    assert told[0].message.startswith("screw 1 of left side into left cleat runs into screw 1 of left cleat into shelf")
    assert told[0].overlap


@pytest.mark.parametrize(("across", "told"), [(8.0, True), (6.0, False)])
def test_a_hole_across_the_thread_is_told_and_one_beside_it_is_not(across: float, told: bool) -> None:
    """The screw lies at y 25, the hole comes down into the shelf's end 22 mm in; at y 25 it crosses, at y 60 it does not."""
    y = 25 if told else 60
    joints = shelved("- screws: {through: side, into: shelf, size: 4 x 50}")
    found = ids(CASE, joints, f"drill shelf at 40 {y} 218 towards 0 0 -1 diameter {across} depth 12")
    assert ("fastener-hits" in found) is told


def test_a_screw_in_a_part_it_is_not_meant_for_says_so() -> None:
    """A screw through the rail and the top into a lid that nothing says it holds."""
    covered = TOP + "\nlid: {stock: ply, x: 0 to width, y: 0 to depth, z: from top}"
    one = the("parts-interfere", covered, topped("size: 4 x 45") + "\n- glued: {of: lid, to: top}")
    assert one.message.startswith("screw 1 of rail into top runs into lid by")


# too near an edge


@pytest.mark.parametrize(("at", "told"), [(5.0, True), (6.0, False), (25.0, False)])
def test_across_the_grain_a_diameter_and_a_half_is_the_least(at: float, told: bool) -> None:
    joints = f"- screws: {{through: side, into: front, size: 4 x 50, positions: [{at}, 75, 125]}}"
    assert ids(BOX, joints) == (["screw-too-near-edge"] if told else [])


@pytest.mark.parametrize(("ends", "told"), [(14.0, True), (16.0, False)])
def test_along_the_grain_four_diameters_are_the_least(ends: float, told: bool) -> None:
    """A strip along a board: the screws stand in side grain, near the end of the board."""
    parts = "board: {stock: pine, x: 0 to width, y: 0 to 100, z: from 20}\nstrip: {stock: pine, x: 0 to width, y: 30 to 70, z: up to board}"
    joints = f"- screws: {{through: strip, into: board, size: 4 x 35, ends: {ends}}}"
    assert ids(parts, joints) == (["screw-too-near-edge"] if told else [])


def test_the_centre_of_a_thin_measured_sheet_is_right() -> None:
    """No. 8 through a side into the edge of a sheet that is sold as 3/4 in and measures 23/32 in: 0.359 in on both sides of it."""
    parts = """\
        side: {pair: left and right, stock: shop, x: from 0, y: 0 to depth, z: 0 to height}
        rail: {stock: shop, x: left side to right side, y: from 1, z: from 0 for 2}
        shelf: {stock: shop, x: left side to right side, y: 0 to depth, z: from 8}"""
    joints = shelved("- screws: {through: side, into: shelf, size: 8 x 2}").replace("depth: 6", "depth: 1/4")
    stock = "  shop: {sheet: birch plywood, nominal: 3/4, thickness: 23/32}\n"
    assert ids(parts, joints, head="units: in", sizes="{width: 24, depth: 12, height: 16}", stock=stock) == ["end-grain-carries"]


def test_a_plugged_screw_half_an_inch_from_the_end_of_a_side_is_silent() -> None:
    parts = "\n".join([SIDES, RAIL, "head: {stock: ply, x: left side to right side, y: from 100, z: up to height for 60}"])
    joints = shelved("- screws: {through: side, into: head, size: 4 x 50, head: plugged, ends: 12}")
    assert ids(parts, joints) == []


# wedges


SLOTTED = "\n".join(
    [
        SIDES,
        "rail: {pair: front and back, stock: ply, x: left side to right side, y: from 10 for 70, z: up to top}",
        "top: {stock: oak, x: 0 to width, y: 0 to depth, z: from height}",
    ]
)


def fixed(more: str) -> str:
    return f"{IN_RAIL}\n- rests: {{of: top, upon: side}}\n- screws: {{through: rail, into: top, size: 4 x 30, count: 3{more}}}"


@pytest.mark.parametrize(
    ("more", "told"),
    [
        (", fixed: front rail", []),
        (", fixed: front rail, head: counterbored", []),
        (", fixed: front rail, head: countersunk", ["head-wedges-in-slot"]),
    ],
)
def test_a_countersunk_head_wedges_where_the_wood_moves(more: str, told: list[str]) -> None:
    assert ids(SLOTTED, fixed(more)) == told


def test_a_plain_clearance_hole_is_no_slot() -> None:
    assert ids(CASE, shelved("- screws: {through: side, into: shelf, size: 4 x 50}")) == ["end-grain-carries"]


# end grain


@pytest.mark.parametrize(
    ("parts", "joints", "severity"),
    [
        (PINE, shelved("- screws: {through: side, into: shelf, size: 4 x 50}"), Severity.warning),
        (PINE, shelved("- pins: {of: side, to: shelf, kind: finish nails, length: 50}"), Severity.warning),
        (CASE, shelved("- screws: {through: side, into: shelf, size: 4 x 50}"), Severity.note),
    ],
    ids=["screws in end grain", "nails in end grain", "screws in the edge of a sheet"],
)
def test_a_shelf_that_hangs_on_its_ends_is_told_once(parts: str, joints: str, severity: Severity) -> None:
    told = [one for one in said(parts, joints) if one.id == "end-grain-carries"]
    assert [one.severity for one in told] == [severity]
    assert set(told[0].parts) == {"shelf", "left side", "right side"}


def test_a_flat_moulding_that_is_nailed_on_is_trim() -> None:
    moulding = "\n".join([SIDES, RAIL, "moulding: {stock: pine, x: 0 to width, y: -30 to 0, z: up to 380, grain: x}"])
    assert ids(moulding, shelved("- pins: {of: moulding, to: side, kind: finish nails, length: 60}")) == []


def test_shelves_alike_are_told_in_one_finding() -> None:
    three = CASE.replace("from 200", "[from 150, from 250, from 350]")
    told = said(three, shelved("- screws: {through: side, into: shelf, size: 4 x 50}"))
    assert [one.message for one in told] == ["shelf 1 (and 2 more) hangs on 4 screws in its own edge, and on nothing else"]


@pytest.mark.parametrize(
    "joints",
    [
        ["- dado: {of: shelf, in: side, depth: 6}"],
        ["- dowels: {of: shelf, to: side, count: 3}", "- screws: {through: side, into: shelf, size: 4 x 50, positions: [90, 210]}"],
    ],
    ids=["dado", "dowels too"],
)
def test_a_shelf_with_something_else_to_hold_it_is_silent(joints: list[str]) -> None:
    assert ids(CASE, shelved(*joints)) == []


def test_a_shelf_that_rests_on_cleats_may_be_screwed_through_its_ends() -> None:
    assert ids(CLEATED, cleated("- glued: {of: cleat, to: side}")) == []


def test_a_bottom_that_stands_on_the_floor_does_not_hang() -> None:
    low = PINE.replace("z: from 200", "z: from 0").replace("z: from 0 for 60", "z: from 100 for 60")
    assert ids(low, shelved("- screws: {through: side, into: shelf, size: 4 x 50}")) == []


def test_a_shelf_screwed_through_a_back_into_its_long_edge_is_held_by_side_grain() -> None:
    parts = "\n".join([PINE, "back: {stock: ply, x: 0 to width, y: from depth, z: 0 to height}"])
    joints = ["- screws: {through: side, into: shelf, size: 4 x 50}", "- screws: {through: back, into: [shelf, side], size: 4 x 50}"]
    assert "end-grain-carries" not in ids(parts, shelved(*joints))


# the checks on holes


@pytest.mark.parametrize(("by", "told"), [(0.2, []), (0.3, ["holes-out-of-line"])])
def test_screw_holes_out_of_line_by_more_than_their_play_bind(by: float, told: list[str]) -> None:
    """A hole of 4.5 mm about a screw of 4 mm leaves 0.25 mm each way."""
    found = ids(CASE, shelved("- screws: {through: side, into: shelf, size: 4 x 50}"), f"shift shelf 0 0 {by}")
    assert [one for one in found if one != "end-grain-carries"] == told


def test_a_screw_hole_that_was_never_drilled_is_told() -> None:
    found = ids(CASE, shelved("- screws: {through: side, into: shelf, size: 4 x 50}"), "leave uncut screws: left side into shelf")
    assert {"holes-out-of-line", "parts-interfere"} <= set(found)
    assert the(
        "holes-out-of-line",
        CASE,
        shelved("- screws: {through: side, into: shelf, size: 4 x 50}"),
        "leave uncut screws: left side into shelf",
    ).message.startswith("2 of 2 screw holes of left side and shelf meet no hole at all")


@pytest.mark.parametrize("head", ["countersunk", "counterbored", "plugged", "pan"])
def test_checks_on_dowel_holes_have_nothing_to_say_about_screw_holes(head: str) -> None:
    assert ids(BOX, f"- screws: {{through: side, into: front, size: 4 x 50, count: 3, head: {head}}}") == []


@pytest.mark.parametrize(("by", "told"), [("0 0.1 0", False), ("0 0.4 0", True), ("0 0 3", True)])
def test_a_pan_head_screw_that_is_moved_beyond_its_play_is_told(by: str, told: bool) -> None:
    found = ids(
        BOX,
        "- screws: {through: side, into: front, size: 4 x 50, count: 3, head: pan}",
        f"shift screw 1 of left side into front front {by}",
    )
    assert ("parts-interfere" in found) is told


def test_screws_that_run_into_each_other_head_on_are_told_once(store: Store) -> None:
    text = """
build123: 1
piece: Two boards
stock: {ply: {sheet: birch plywood, thickness: 18}}
parts:
  a: {stock: ply, x: 0 to 400, y: 0 to 100, z: from 0}
  b: {stock: ply, x: 0 to 400, y: 0 to 100, z: from a}
joints:
  - screws: {through: b, into: a, size: 4 x 30, count: 2}
  - screws: {through: a, into: b, size: 4 x 30, count: 2}
"""
    assert [f.id for f in compile_text(text, store).findings] == ["fastener-hits"] * 2
