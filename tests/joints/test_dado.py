"""Dados: what is cut and what the member gains, by hand, and measured on the solids."""

from __future__ import annotations

from math import pi

import pytest
from compiling import errors, features, goes_together, marked, pockets, size, told, trenches, volume

from build123.kernel import Store
from build123.model.feature import EndKind, Trench
from build123.pipeline import compile_text

SIDE = 300 * 200 * 18
SLIP = 0.127
"""0.005 in: DADO-FIT of reference/joinery_rules.csv (common practice, from memory)."""


def case(joint: str, shelf_y: str = "0 to 200", shelf_z: str = "from 100") -> str:
    """Two sides 300 x 200 x 18 with 464 between them."""
    return f"""\
build123: 1
piece: Seed tray
sizes: {{width: 500}}
stock: {{ply: {{sheet: birch plywood, thickness: 18}}}}
parts:
  side: {{pair: left and right, stock: ply, x: from 0, y: 0 to 200, z: 0 to 300}}
  shelf: {{stock: ply, x: left side to right side, y: {shelf_y}, z: {shelf_z}}}
joints:
  - dado: {{of: shelf, in: side, {joint}}}
"""


def test_a_dado_right_across(store: Store) -> None:
    made = goes_together(case("depth: 6"), store)
    assert size(made, "shelf") == pytest.approx((464 + 2 * 6, 200, 18), abs=1e-9)
    assert volume(made, "shelf") == pytest.approx(476 * 200 * 18)
    assert volume(made, "left side") == pytest.approx(SIDE - 200 * (18 + SLIP) * 6)
    (dado,) = trenches(made, "left side")
    assert dado.start_end.kind is dado.end_end.kind is EndKind.open


def test_a_dado_stopped_at_the_front_is_notched_to_suit(store: Store) -> None:
    made = goes_together(case("depth: 6, stop: 10 from front"), store)
    # a notched end seats on its shoulder: 0.5 of air over the floor
    into = 6 - 0.5
    assert size(made, "shelf") == pytest.approx((464 + 2 * into, 200, 18), abs=1e-9)
    assert volume(made, "left side") == pytest.approx(SIDE - (200 - 10) * (18 + SLIP) * 6)
    # each notch is 0.4 longer than the stop, so that its hidden end never holds the joint open
    assert volume(made, "shelf") == pytest.approx((464 + 2 * into) * 200 * 18 - 2 * (10 + 0.4) * into * 18)
    assert len(pockets(made, "shelf")) == 2


def test_a_dado_stopped_at_both_ends(store: Store) -> None:
    made = goes_together(case("depth: 6, stop: [10 from front, 25 from back]"), store)
    assert volume(made, "left side") == pytest.approx(SIDE - (200 - 10 - 25) * (18 + SLIP) * 6)
    assert volume(made, "shelf") == pytest.approx(475 * 200 * 18 - 2 * (10.4 + 25.4) * 5.5 * 18)


def test_round_ends_as_the_cutter_leaves_them(store: Store) -> None:
    made = goes_together(case("depth: 6, stop: 10 from front, ends: round"), store)
    wide = 18 + SLIP
    r = wide / 2
    assert volume(made, "left side") == pytest.approx(SIDE - ((190 - r) * wide + pi * r**2 / 2) * 6)
    # the square shoulder clears the whole round end
    assert volume(made, "shelf") == pytest.approx(475 * 200 * 18 - 2 * (10 + 0.4 + r) * 5.5 * 18)


def test_a_shelf_that_ends_short_of_the_front_has_a_closed_dado_with_room(store: Store) -> None:
    made = goes_together(case("depth: 6", shelf_y="20 to 200"), store)
    assert size(made, "shelf") == pytest.approx((476, 180, 18), abs=1e-9)
    # half of the clearance before the member's edge, as at each wall
    assert volume(made, "left side") == pytest.approx(SIDE - (180 + SLIP / 2) * (18 + SLIP) * 6)
    (dado,) = trenches(made, "left side")
    assert {dado.start_end.kind, dado.end_end.kind} == {EndKind.open, EndKind.square}


def test_run_through_opens_it_at_both_ends(store: Store) -> None:
    made = goes_together(case("depth: 6, run: through", shelf_y="20 to 180"), store)
    assert volume(made, "left side") == pytest.approx(SIDE - 200 * (18 + SLIP) * 6)


@pytest.mark.parametrize(("fit", "clearance"), [("press", -0.02), ("slip", SLIP), ("easy", 0.4)])
def test_named_fits(store: Store, fit: str, clearance: float) -> None:
    """slip from DADO-FIT; press and easy are common practice, from memory."""
    made = compile_text(case(f"depth: 6, fit: {fit}"), store)
    assert not made.failed, [(f.id, f.message) for f in made.findings]
    (dado,) = trenches(made, "left side")
    assert dado.width_mm == pytest.approx(18 + clearance)
    assert volume(made, "left side") == pytest.approx(SIDE - 200 * (18 + clearance) * 6)


def test_a_fit_of_ones_own_and_a_changed_one(store: Store) -> None:
    text = case("depth: 6, fit: painted").replace("parts:", "fits: {slip: 0.2, painted: {clearance: 0.4, low: 0.3, high: 0.6}}\nparts:")
    assert trenches(goes_together(text, store), "left side")[0].width_mm == pytest.approx(18.4)
    assert trenches(goes_together(text.replace(", fit: painted", ""), store), "left side")[0].width_mm == pytest.approx(18.2)


def test_a_fit_outside_its_own_range_is_refused() -> None:
    text = case("depth: 6, fit: odd").replace("parts:", "fits: {odd: {clearance: 1, low: 0.1, high: 0.5}}\nparts:")
    (found,) = told(text)[1]
    assert found.id == "bad-value" and marked(found) == "1"


def test_a_cutter_that_is_to_hand_leaves_the_fit_check_something_to_find(store: Store) -> None:
    made = compile_text(case("depth: 6, width: 18"), store)
    assert trenches(made, "left side")[0].width_mm == pytest.approx(18)
    assert volume(made, "left side") == pytest.approx(SIDE - 200 * 18 * 6)
    assert "housing-too-tight" in {f.id for f in made.findings}
    made = compile_text(case("depth: 6, width: 19"), store)
    assert "housing-too-loose" in {f.id for f in made.findings}


def test_the_depth_left_out_is_a_third_and_is_shown_as_a_default(store: Store) -> None:
    made = goes_together(case("fit: slip"), store)
    assert made.design is not None
    assert size(made, "shelf")[0] == pytest.approx(464 + 2 * 6)  # 18 / 3
    depth = next(s for s in made.design.joints[0].sizes if s.name == "depth")
    assert depth.default and "common practice" in depth.why.default


def test_a_dado_flush_with_the_edge_has_one_wall_and_is_a_rabbet(store: Store) -> None:
    made = goes_together(case("depth: 6", shelf_z="up to 300"), store)
    (dado,) = features(made, "left side", Trench)
    assert isinstance(dado.geometry, Trench)
    assert dado.geometry.open_left != dado.geometry.open_right
    assert dado.about.label == "rabbet"
    # in from the edge it is as wide as the member is thick: no clearance
    assert volume(made, "left side") == pytest.approx(SIDE - 200 * 18 * 6)


def test_two_shelves_end_to_end_share_one_dado(store: Store) -> None:
    text = case("depth: 6").replace(
        "  shelf: {stock: ply, x: left side to right side, y: 0 to 200, z: from 100}",
        "  front board: {stock: ply, x: left side to right side, y: 0 to 100, z: from 100}\n"
        "  back board: {stock: ply, x: left side to right side, y: front board to 200, z: from 100}",
    )
    text = text.replace("of: shelf", "of: [front board, back board]") + "  - glued: {of: front board, to: back board}\n"
    made = goes_together(text, store)
    (dado,) = features(made, "left side", Trench)
    assert set(dado.about.members) == {"front board", "back board"}
    assert volume(made, "left side") == pytest.approx(SIDE - 200 * (18 + SLIP) * 6)


def test_a_dado_that_runs_into_a_rabbet_is_open_there(store: Store) -> None:
    text = case("depth: 6", shelf_y="0 to back").replace(
        "joints:", "  back: {stock: ply, x: left side to right side, y: up to 200, z: 0 to 300}\njoints:\n"
        "  - rabbet: {of: back, in: side, depth: 9}\n  - glued: {of: back, to: shelf}",
    )  # fmt: skip
    made = goes_together(text, store)
    dado = next(t for t in trenches(made, "left side") if not t.open_left and not t.open_right)
    assert dado.start_end.kind is dado.end_end.kind is EndKind.open
    # the dado ends where the rabbet begins: 182 of it, and 300 x 18 x 9 of rabbet
    assert volume(made, "left side") == pytest.approx(SIDE - 182 * (18 + SLIP) * 6 - 300 * 18 * 9)


def test_facing_dados_in_a_divider(store: Store) -> None:
    text = """\
build123: 1
piece: Twin shelf
units: in
sizes: {width: 48, height: 30, depth: 11}
stock: {ply: {sheet: birch plywood, nominal: 3/4, thickness: 23/32}}
parts:
  side: {pair: left and right, stock: ply, x: from 0, y: 0 to depth, z: 0 to height}
  divider: {stock: ply, x: centred on width / 2, y: 0 to depth, z: 0 to height}
  left shelf: {stock: ply, x: left side to divider, y: 0 to depth, z: from 10}
  right shelf: {stock: ply, x: divider to right side, y: 0 to depth, z: from 10}
joints:
  - dado: {of: left shelf, in: [left side, divider], depth: 1/4}
  - dado: {of: right shelf, in: [right side, divider], depth: 1/4}
"""
    made = goes_together(text, store)
    assert not made.findings  # ordinary work: reference/joinery_rules.csv DADO-FACING
    inch = 25.4
    whole = 30 * 11 * 23 / 32
    # two dados of 23/32 + 0.005 by 1/4 by 11 in
    assert volume(made, "divider") / inch**3 == pytest.approx(whole - 2 * (23 / 32 + 0.005) * 0.25 * 11)


@pytest.mark.parametrize(
    ("joint", "id", "under"),
    [
        ("depth: 0", "bad-depth", "0"),
        ("depth: 18", "bad-depth", "18"),
        ("depth: 6, stop: 10", "bad-stop", "10"),
        ("depth: 6, stop: 0 from front", "bad-stop", "0 from front"),
        ("depth: 6, stop: 10 from left", "bad-stop", "10"),
        ("depth: 6, stop: [100 from front, 100 from back]", "bad-stop", "dado"),
        ("depth: 6, fit: slop", "unknown-name", "slop"),
        ("depth: 6, ends: oval", "bad-value", "oval"),
    ],
)
def test_slips_in_a_dado_are_told_at_the_value(joint: str, id: str, under: str) -> None:
    found = told(case(joint))[1]
    assert [f.id for f in found] == [id], [f.message for f in found]
    assert marked(found[0]) == under


def test_a_stop_where_the_member_has_ended_already_is_told() -> None:
    (found,) = told(case("depth: 6, stop: 10 from front", shelf_y="20 to 200"))[1]
    assert found.id == "stop-without-effect"
    assert "20 mm from the front edge" in found.message


def test_a_part_that_lies_flat_on_another_is_not_housed() -> None:
    text = case("depth: 6").replace("x: left side to right side, y: 0 to 200, z: from 100", "x: from left side, y: 0 to 200, z: 0 to 90")
    found = errors(told(text.replace("in: side", "in: left side"))[1])
    assert [f.id for f in found] == ["face-in-housing"]
