"""Rabbets, grooves and tongues: sizes and volumes by hand, measured on the solids."""

from __future__ import annotations

from math import pi

import pytest
from compiling import features, goes_together, holes, marked, part, size, span, told, trenches, volume

from build123.kernel import Store
from build123.model.design import ExpectKind
from build123.model.feature import EndKind, Trench
from build123.pipeline import Compiled

SLIP = 0.127
EASY = 0.4


def box(joints: str, back_z: str = "0 to 300") -> str:
    return f"""\
build123: 1
piece: Bird box
sizes: {{width: 220, depth: 160, height: 300}}
stock:
  larch: {{board: larch, thickness: 18}}
  thin: {{sheet: birch plywood, thickness: 6}}
parts:
  side: {{pair: left and right, stock: larch, x: from 0, y: 0 to depth, z: 0 to height}}
  back: {{stock: thin, x: left side to right side, y: up to depth, z: {back_z}}}
joints:
{joints}
"""


def test_a_back_that_comes_home(store: Store) -> None:
    made = goes_together(box("  - rabbet: {of: back, in: side, depth: 9}"), store)
    assert span(made, "back")[0] == (18 - 9, 220 - 18 + 9)
    assert volume(made, "left side") == pytest.approx(300 * 160 * 18 - 300 * 6 * 9)


def test_a_back_with_air_at_each_end(store: Store) -> None:
    made = goes_together(box("  - rabbet: {of: back, in: side, depth: 9, gap: 1}"), store)
    assert span(made, "back")[0] == (18 - 9 + 1, 220 - 18 + 9 - 1)
    # the step is cut to its full depth all the same
    assert volume(made, "left side") == pytest.approx(300 * 160 * 18 - 300 * 6 * 9)
    assert made.design is not None
    kinds = {e.kind for joint in made.design.joints for e in joint.expects}
    assert kinds == {ExpectKind.seat, ExpectKind.gap}


def test_a_short_back_has_a_closed_rabbet_with_the_gap_as_room(store: Store) -> None:
    made = goes_together(box("  - rabbet: {of: back, in: side, depth: 9, gap: 1}", back_z="50 to 300"), store)
    assert volume(made, "left side") == pytest.approx(300 * 160 * 18 - (250 + 1) * 6 * 9)
    (step,) = trenches(made, "left side")
    assert {step.start_end.kind, step.end_end.kind} == {EndKind.open, EndKind.square}


def test_a_rabbet_that_runs_through(store: Store) -> None:
    made = goes_together(box("  - rabbet: {of: back, in: side, depth: 9, gap: 1, run: through}", back_z="50 to 300"), store)
    assert volume(made, "left side") == pytest.approx(300 * 160 * 18 - 300 * 6 * 9)


def test_a_case_corner(store: Store) -> None:
    text = box("  - rabbet: {of: roof, in: side, depth: 9}\n  - glued: {of: back, to: [side, roof]}", back_z="0 to roof")
    text = text.replace("joints:", "  roof: {stock: larch, x: left side to right side, y: 0 to depth, z: up to height}\njoints:")
    made = goes_together(text, store)
    assert size(made, "roof") == pytest.approx((220 - 2 * 18 + 2 * 9, 160, 18))
    assert volume(made, "left side") == pytest.approx(300 * 160 * 18 - 160 * 18 * 9)
    (step,) = features(made, "left side", Trench)
    assert step.about.label == "rabbet"


def test_a_rabbet_is_half_deep_where_the_spec_does_not_say(store: Store) -> None:
    """RABBET-DEPTH-CASE of reference/joinery_rules.csv: 1/2 to 2/3, usually 1/2 (common practice, from memory)."""
    made = goes_together(box("  - rabbet: {of: back, in: side}"), store)
    assert trenches(made, "left side")[0].depth_mm == pytest.approx(18 / 2)


@pytest.mark.parametrize(
    ("joint", "id"),
    [
        ("rabbet: {of: back, in: side, depth: 18}", "bad-depth"),
        ("rabbet: {of: back, in: side, depth: 9, gap: 9}", "bad-depth"),
        ("rabbet: {of: back, in: side, depth: 9, gap: -1}", "bad-depth"),
        ("rabbet: {of: back, in: side, depth: 9, stop: 10 from top}", "unknown-key"),
    ],
)
def test_slips_in_a_rabbet(joint: str, id: str) -> None:
    assert [f.id for f in told(box(f"  - {joint}"))[1]] == [id]


def test_a_rabbet_away_from_the_edge_is_told() -> None:
    found = told(box("  - rabbet: {of: back, in: side}").replace("y: up to depth", "y: up to depth - 20"))[1]
    assert [f.id for f in found] == ["rabbet-off-edge"]
    assert "dado or a groove" in found[0].change


def framed(joints: str) -> str:
    """A door: stiles 60 wide and full height, rails between them, a 6 mm panel in a groove all round."""
    return f"""\
build123: 1
piece: Cupboard door
stock:
  ash: {{board: ash, thickness: 20}}
  thin: {{sheet: birch plywood, thickness: 6}}
parts:
  stile: {{pair: left and right, stock: ash, x: from 0 for 60, y: from 0, z: 0 to 700}}
  top rail: {{stock: ash, x: left stile to right stile, y: from 0, z: up to 700 for 60}}
  bottom rail: {{stock: ash, x: left stile to right stile, y: from 0, z: from 0 for 80}}
  panel: {{stock: thin, x: left stile to right stile, y: centred on 10, z: bottom rail to top rail}}
sizes: {{width: 400}}
joints:
{joints}
"""


PANEL = "  - groove: {of: panel, in: [stile, top rail, bottom rail], depth: 8, fit: easy}\n"


def test_a_panel_in_a_groove_on_four_sides_of_a_dowelled_frame(store: Store) -> None:
    made = goes_together(
        framed(PANEL + "  - dowels: {of: [top rail, bottom rail], to: stile, positions: [15, 45], diameter: 8, length: 40}"), store
    )
    # 280 between the stiles, 560 between the rails, and 8 into each of four grooves: no corner of it meets a stile's wood
    assert size(made, "panel") == pytest.approx((560 + 2 * 8, 280 + 2 * 8, 6))
    # the rails' grooves run out at both ends; a stile's ends with room at the panel's, half of the clearance
    assert volume(made, "top rail") == pytest.approx(280 * 60 * 20 - 280 * (6 + EASY) * 8 - _bores(made, "top rail"), rel=1e-7)
    stile = next(t for t in trenches(made, "left stile"))
    assert abs(stile.end[0] - stile.start[0]) == pytest.approx(560 + 16 + 2 * EASY / 2)


def _bores(made: Compiled, name: str) -> float:
    """What the holes of a part take away, mm3."""
    return sum(pi * (s.diameter_mm / 2) ** 2 * s.depth_mm for h in holes(made, name) for s in h.steps)


def test_a_frame_with_tongues_into_the_grooves(store: Store) -> None:
    """Stub tongues as thick as the panel, in the same groove: the shoulders come home, the tongue stays off the floor."""
    text = framed(
        "  - groove: {of: panel, in: [stile, top rail, bottom rail], depth: 8, fit: easy, run: through}\n"
        "  - tongue: {of: [top rail, bottom rail], in: stile, thickness: 6, depth: 8, fit: easy, run: through}"
    )
    made = goes_together(text, store)
    gap = 0.5
    assert size(made, "top rail")[0] == pytest.approx(280 + 2 * (8 - gap))
    # one groove in the stile holds panel and both tongues
    (groove,) = features(made, "left stile", Trench)
    assert set(groove.about.members) == {"panel", "top rail", "bottom rail"}
    assert volume(made, "left stile") == pytest.approx(700 * 60 * 20 - 700 * (6 + EASY) * 8)


def cold_frame(joint: str) -> str:
    return f"""\
build123: 1
piece: Cold frame box
sizes: {{width: 600, depth: 400}}
stock: {{larch: {{board: larch, thickness: 24}}}}
parts:
  side: {{pair: left and right, stock: larch, x: from 0, y: 0 to depth, z: 0 to 200}}
  rib: {{stock: larch, x: left side to right side, y: centred on 200, z: 0 to 200}}
joints:
  - tongue: {{of: rib, in: side, {joint}}}
"""


def test_a_tongue_in_the_middle_has_two_shoulders(store: Store) -> None:
    made = goes_together(cold_frame("thickness: 8, depth: 8"), store)
    into = 8 - 0.5
    assert size(made, "rib") == pytest.approx((552 + 2 * into, 200, 24))
    assert volume(made, "rib") == pytest.approx(552 * 200 * 24 + 2 * into * 200 * 8)
    assert volume(made, "left side") == pytest.approx(400 * 200 * 24 - 200 * (8 + SLIP) * 8)
    assert len(trenches(made, "rib")) == 4


def test_a_tongue_flush_with_a_face_has_one_shoulder(store: Store) -> None:
    made = goes_together(cold_frame("thickness: 8, depth: 8, flush: front"), store)
    assert volume(made, "rib") == pytest.approx(552 * 200 * 24 + 2 * 7.5 * 200 * 8)
    assert [t.depth_mm for t in trenches(made, "rib")] == pytest.approx([16, 16])
    # the groove lies in line with the rib's front face, at 200 - 12, not with its middle
    (groove,) = trenches(made, "left side")
    datum = groove.datum.frame.point((*groove.start, 0.0))
    assert part(made, "left side").placement.point(datum)[1] == pytest.approx(200 - 12 + 4)


def test_a_tongue_is_a_third_where_the_spec_does_not_say(store: Store) -> None:
    made = goes_together(cold_frame("fit: slip"), store)
    assert trenches(made, "left side")[0].width_mm == pytest.approx(24 / 3 + SLIP)
    assert trenches(made, "left side")[0].depth_mm == pytest.approx(24 / 3)


@pytest.mark.parametrize(
    ("joint", "id", "under"),
    [
        ("thickness: 24", "bad-tongue", "24"),
        ("thickness: 0", "bad-tongue", "0"),
        ("flush: top", "bad-tongue", "top"),
        ("flush: frnt", "bad-value", "frnt"),
        ("depth: 24", "bad-depth", "24"),
        ("stop: 5 from top", "bad-stop", "5 from top"),
    ],
)
def test_slips_in_a_tongue(joint: str, id: str, under: str) -> None:
    (found,) = told(cold_frame(joint))[1]
    assert found.id == id and marked(found) == under
