"""Each joint's sizes and volumes worked by hand; the sides are 300 x 200 x 18, the shelf runs between them."""

from math import pi

import pytest
from making import case, cylinder, part, volume

from build123.pipeline import compile_text

SIDE = 300.0 * 200 * 18
SLIP = 0.127
"""0.005 in, the usual slip of a glued panel (DADO-FIT, common practice)."""
CLEAR = 500.0 - 2 * 18


def ids(made: object) -> list[str]:
    return [f.id for f in made.findings]  # type: ignore[attr-defined]


def test_a_through_dado() -> None:
    made = case("  - dado: {of: shelf, in: side, depth: 6}")
    assert ids(made) == []
    assert part(made, "shelf").length_mm == pytest.approx(CLEAR + 2 * 6)
    assert volume(made, "left side") == pytest.approx(SIDE - (18 + SLIP) * 6 * 200)
    assert volume(made, "shelf") == pytest.approx((CLEAR + 12) * 200 * 18)


def test_a_stopped_dado_notches_the_shelf_and_keeps_it_off_the_floor() -> None:
    made = case("  - dado: {of: shelf, in: side, depth: 6, stop: 10 from front}")
    assert ids(made) == []
    assert part(made, "shelf").length_mm == pytest.approx(CLEAR + 2 * 5.5)
    assert volume(made, "left side") == pytest.approx(SIDE - (18 + SLIP) * 6 * 190)
    assert volume(made, "shelf") == pytest.approx((CLEAR + 11) * 200 * 18 - 2 * (10 + 0.4) * 5.5 * 18)


def test_a_dado_stopped_at_both_ends() -> None:
    made = case("  - dado: {of: shelf, in: side, depth: 6, stop: [10 from front, 20 from back]}")
    assert ids(made) == []
    assert volume(made, "right side") == pytest.approx(SIDE - (18 + SLIP) * 6 * 170)


def test_round_ends_leave_the_corners_standing() -> None:
    made = case("  - dado: {of: shelf, in: side, depth: 6, stop: 10 from front, ends: round}")
    assert ids(made) == []
    wide = 18 + SLIP
    assert volume(made, "left side") == pytest.approx(SIDE - 6 * (190 * wide - (wide**2 - pi / 4 * wide**2) / 2))


@pytest.mark.parametrize(("fit", "clearance"), [("press", -0.02), ("slip", SLIP), ("easy", 0.4)])
def test_named_fits_stay_silent(fit: str, clearance: float) -> None:
    made = case(f"  - dado: {{of: shelf, in: side, depth: 6, fit: {fit}}}")
    assert ids(made) == []
    assert volume(made, "left side") == pytest.approx(SIDE - (18 + clearance) * 6 * 200)


def test_a_changed_fit() -> None:
    made = case("  - dado: {of: shelf, in: side, depth: 6}", more="fits: {slip: 0.2 mm}")
    assert ids(made) == []
    assert volume(made, "left side") == pytest.approx(SIDE - 18.2 * 6 * 200)


@pytest.mark.parametrize(
    ("width", "told"), [("17.95", {"parts-interfere", "housing-too-tight"}), ("18.1", set()), ("18.5", {"housing-too-loose"})]
)
def test_my_cutter_has_its_own_width(width: str, told: set[str]) -> None:
    made = case(f"  - dado: {{of: shelf, in: side, depth: 6, width: {width}}}")
    assert set(ids(made)) == told


def test_half_a_tenth_of_shelf_in_a_narrow_dado_interferes_where_it_lies() -> None:
    made = case("  - dado: {of: shelf, in: side, depth: 6, width: 17.95}")
    overlaps = made.fit.overlaps  # type: ignore[union-attr]
    # both walls bite 0.025 mm over 6 x 200 mm, on each of two sides
    assert sum(o.volume_mm3 for o in overlaps) == pytest.approx(2 * 2 * 0.025 * 6 * 200, rel=1e-6)
    assert all(o.at[2] == pytest.approx(109, abs=10) for o in overlaps)


def test_a_divider_set_back_ends_its_own_dado() -> None:
    made = case(
        "  - dado: {of: shelf, in: side, depth: 6}\n  - dado: {of: divider, in: shelf, depth: 5}",
        parts="  divider: {stock: ply, x: centred on width / 2, y: 20 to depth, z: shelf to 300}",
    )
    assert ids(made) == []
    assert volume(made, "shelf") == pytest.approx((CLEAR + 12) * 200 * 18 - (18 + SLIP) * 5 * (180 + SLIP / 2))


def test_facing_dados_in_one_partition() -> None:
    made = case(
        "  - dado: {of: shelf, in: side, depth: 6}\n  - dado: {of: [low, high], in: shelf, depth: 6}",
        parts="  low: {stock: ply, x: centred on 250, y: 0 to depth, z: 0 to shelf}\n  high: {stock: ply, x: centred on 250, y: 0 to depth, z: shelf to 300}",
    )
    assert ids(made) == []
    assert volume(made, "shelf") == pytest.approx((CLEAR + 12) * 200 * 18 - 2 * (18 + SLIP) * 6 * 200)


def test_a_case_corner_rabbet() -> None:
    made = case("  - rabbet: {of: shelf, in: side, depth: 9}", shelf="z: up to height")
    assert ids(made) == []
    assert part(made, "shelf").length_mm == pytest.approx(CLEAR + 18)
    assert volume(made, "left side") == pytest.approx(SIDE - 18 * 9 * 200)


def test_a_dado_at_the_very_edge_is_a_step_that_the_shelf_bears_on() -> None:
    made = case("  - dado: {of: shelf, in: side, depth: 9}", shelf="z: up to height")
    assert ids(made) == []
    assert volume(made, "left side") == pytest.approx(SIDE - 18 * 9 * 200)


def test_a_back_in_rabbets_with_air_and_a_dado_that_runs_into_them() -> None:
    made = case(
        "  - dado: {of: board, in: side, depth: 6}\n  - dado: {of: shelf, in: side, depth: 6}\n  - rabbet: {of: back, in: side, depth: 9, gap: 1, run: through}\n  - glued: {of: back, to: board}",
        parts="  back: {stock: thin, x: left side to right side, y: up to depth, z: 60 to 300}\n  board: {stock: ply, x: left side to right side, y: 0 to back, z: from 200}",
        shelf="z: from 20",
    )
    assert ids(made) == []
    assert part(made, "back").length_mm == pytest.approx(CLEAR + 2 * (9 - 1))
    rabbet, deep, shallow = 300 * 6 * 9, (18 + SLIP) * 6 * 200, (18 + SLIP) * 6 * 194
    common = (18 + SLIP) * 6 * 6  # where the through dado crosses the rabbet
    assert volume(made, "left side") == pytest.approx(SIDE - rabbet - deep - shallow + common)


@pytest.mark.parametrize(("flush", "shoulders"), [("middle", 2), ("top", 1), ("bottom", 1)])
def test_a_tongue_in_a_groove(flush: str, shoulders: int) -> None:
    made = case(f"  - tongue: {{of: shelf, in: side, thickness: 6, depth: 8, flush: {flush}}}")
    assert ids(made) == []
    assert part(made, "shelf").length_mm == pytest.approx(CLEAR + 2 * 7.5)
    assert volume(made, "left side") == pytest.approx(SIDE - (6 + SLIP) * 8 * 200)
    assert volume(made, "shelf") == pytest.approx((CLEAR + 15) * 200 * 18 - 2 * 12 * 7.5 * 200)
    labels = [f.about.label for f in part(made, "shelf").features]
    assert labels.count("tongue shoulder") == 2 * shoulders


def test_a_panel_in_a_frame_grooved_on_four_sides() -> None:
    made = case(
        "  - groove: {of: panel, in: [side, rail], depth: 8, fit: easy}\n  - dowels: {of: rail, to: side, count: 2, ends: 20}\n  - dado: {of: shelf, in: side, depth: 6}",
        parts="  rail: {stock: ply, x: left side to right side, y: 0 to 100, z: [from 150, up to height]}\n  panel: {stock: thin, x: left side to right side, y: centred on 50, z: rail 1 to rail 2}",
        shelf="z: from 20",
    )
    assert ids(made) == []
    assert part(made, "panel").length_mm == pytest.approx(CLEAR + 16)
    assert part(made, "panel").width_mm == pytest.approx(300 - 150 - 36 + 16)


@pytest.mark.parametrize(("spacing", "count"), [("count: 3", 3), ("every: 50", 4), ("positions: [30, 170]", 2), ("count: 1", 1)])
def test_dowels_edge_to_face(spacing: str, count: int) -> None:
    made = case(f"  - dowels: {{of: shelf, to: side, {spacing}, diameter: 8, length: 30, into: 10}}")
    assert set(ids(made)) == ({"too-few-dowels"} if count < 2 else set())
    # 10 mm of dowel and 1 mm of glue room into the face, 20 + 1 into the edge
    assert volume(made, "left side") == pytest.approx(SIDE - count * cylinder(8, 11))
    assert volume(made, "shelf") == pytest.approx(CLEAR * 200 * 18 - 2 * count * cylinder(8, 21))
    assert len(made.design.hardware) == 2 * count  # type: ignore[union-attr]


def test_the_hole_depth_of_the_doweling_rule() -> None:
    """WE38: a dowel 1-1/2 in long split equally with 1/16 in clearance in each hole: 0.8125 in deep (a printed figure)."""
    made = compile_text(
        "build123: 1\npiece: Post\nunits: in\nstock: {ply: {sheet: birch plywood, thickness: 3/4}}\nparts:\n"
        "  plank: {stock: ply, x: 0 to 8, y: from 0, z: 0 to 4}\n  post: {stock: ply, x: 0 to 8, y: from 0, z: 4 to 8}\n"
        "joints:\n  - dowels: {of: post, to: plank, count: 2, length: 1 1/2, diameter: 3/8}\n"
    )
    assert ids(made) == []
    holes = [f.geometry for name in ("plank", "post") for f in part(made, name).features]
    assert [h.steps[0].depth_mm / 25.4 for h in holes] == pytest.approx([0.8125] * 4)  # type: ignore[union-attr]


def test_a_dowel_never_comes_out_of_a_face() -> None:
    made = case("  - dowels: {of: shelf, to: side, diameter: 8, length: 60, into: 30}")
    assert ids(made) == ["dowel-too-long"]


def test_splayed_sides_get_leaning_dados() -> None:
    made = case(
        "  - dado: {of: board, in: wing, depth: 5}\n  - dado: {of: shelf, in: side, depth: 6}",
        more="frames: {splay: {turn: -8 deg, about: y, through: [600, 0, 0]}}",
        parts=(
            "  wing: {frame: splay, stock: ply, x: [up to 600, from 800], y: 0 to depth, z: floor to level 250}\n"
            "  board: {stock: ply, x: wing 1 to wing 2, y: 0 to depth, z: from 120, edges: follow}"
        ),
    )
    assert ids(made) == ["part-joined-to-nothing"]  # the splayed frame stands beside the case on purpose
    trench = next(f.geometry for f in part(made, "wing 1").features if f.about.label == "dado")
    assert abs(trench.lean_deg) == pytest.approx(8)  # type: ignore[union-attr]
