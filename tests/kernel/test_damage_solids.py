"""Damage alters solids where it says, and measurements see it; the design stays as it was."""

from __future__ import annotations

import math

import pytest
from fits import fit, shelf, side
from wood import across, board, drilled, top

from build123.kernel.damage import Damage, DrillAgain, Fill, Shift, Thicken, Turn, Widen, parse_damage
from build123.kernel.measure import Measurements
from build123.model.frame import Frame
from build123.model.measured import DryFit


@pytest.mark.parametrize(
    ("text", "damage"),
    [
        ("shift shelf 0.2 0 0", Shift("shelf", (0.2, 0, 0))),
        ("shift shelf 2 of cell 3 -0.2 0 1", Shift("shelf 2 of cell 3", (-0.2, 0, 1))),
        ("turn shelf 0.5 deg about 0 0 1", Turn("shelf", (0, 0, 1), 0.5)),
        ("thicken shelf 0.3", Thicken("shelf", 0.3)),
        ("thicken left side -0.3 at +x", Thicken("left side", -0.3, "+x")),
        ("drill left side at 10 20 30 towards 1 0 0 diameter 8 depth 12", DrillAgain("left side", (10, 20, 30), (1, 0, 0), 8, 12)),
        ("leave uncut dado: bottom in left side", Fill("dado: bottom in left side")),
        ("widen dado: bottom in left side by 0.4", Widen("dado: bottom in left side", 0.4)),
    ],
)
def test_a_line_reads_as_damage(text: str, damage: Damage) -> None:
    assert parse_damage(text) == damage


@pytest.mark.parametrize("text", ["", "break shelf", "shift shelf 1 2", "thicken shelf at +q", "drill a at 1 2 3 towards 1 0 0"])
def test_other_lines_are_refused(text: str) -> None:
    with pytest.raises(ValueError, match="no damage"):
        parse_damage(text)


@pytest.mark.parametrize("damage", [Shift("nobody", (1, 0, 0)), Fill("no feature"), Fill("trench 0", "shelf"), Widen("no feature", 1)])
def test_damage_that_hits_nothing_is_an_error(damage: Damage) -> None:
    with pytest.raises(LookupError):
        fit(side(), shelf(), damage=(damage,))


def volumes(found: DryFit) -> dict[str, float]:
    return {name: found.shapes[key].volume_mm3 for name, key in found.shape_of.items()}


def test_the_design_keeps_saying_what_it_meant() -> None:
    found = fit(side(), shelf(), damage=(Fill("trench 0"),))
    facts = found.shapes[found.shape_of["side"]]
    assert facts.volume_mm3 - facts.union_volume_mm3 == pytest.approx(18 * 6 * 300)


def test_a_thicker_board_keeps_its_mouths_open() -> None:
    part = board(200, 100, 18, across(top(18), 100, 18, 100, 6), drilled(top(18), 50, 50, 8, 12))
    found = volumes(fit(part, damage=(Thicken("board", 0.5),)))["board"] - volumes(fit(part))["board"]
    assert found == pytest.approx(0.5 * (182 * 100 - math.pi * 16), rel=1e-6)


def test_a_thinner_board_loses_its_top() -> None:
    found = volumes(fit(board(200, 100, 18), damage=(Thicken("board", -0.5),)))["board"]
    assert found == pytest.approx(200 * 100 * 17.5)


def test_a_hole_is_drilled_where_the_part_stands() -> None:
    part = board(200, 100, 18, placement=Frame((10, 20, 30)))
    found = fit(part, damage=(DrillAgain("board", (60, 70, 48), (0, 0, -1), 8, 12),))
    (bore,) = next(iter(found.shapes.values())).bores
    assert bore.base == pytest.approx((50, 50, 18)) and bore.tip == pytest.approx((50, 50, 6))


def test_a_wider_dado_has_more_clearance() -> None:
    gaps = [g.gap_mm for g in fit(side(), shelf(), damage=(Widen("trench 0", 0.4, "side"),)).gaps if abs(g.normal[2]) > 0.5]
    assert gaps == pytest.approx([0.2, 0.2])


def test_a_turned_shelf_no_longer_meets_its_walls() -> None:
    found = fit(side(), shelf(), damage=(Turn("shelf", (0, 1, 0), 0.5),))
    assert not [g for g in found.gaps if abs(g.normal[2]) > 0.5] and found.overlaps


def test_equal_parts_elsewhere_stay_sound() -> None:
    other = board(400, 300, 18, name="other", placement=Frame((0, 0, 2000)))
    found = volumes(fit(shelf(), other, damage=(Thicken("shelf", 0.3),)))
    assert found["shelf"] == pytest.approx(400 * 300 * 18.3) and found["other"] == pytest.approx(400 * 300 * 18)


def test_a_warm_run_measures_what_a_cold_one_does() -> None:
    known = Measurements()
    fit(side(), shelf(), known=known)
    for damage in ((), (Shift("shelf", (0, 0, 0.2)),), (Thicken("shelf", 0.05),)):
        warm, cold = fit(side(), shelf(), damage=damage, known=known), fit(side(), shelf(), damage=damage)
        assert (warm.gaps, warm.bores, warm.shapes) == (cold.gaps, cold.bores, cold.shapes)
        assert [(o.volume_mm3, o.at) for o in warm.overlaps] == [(o.volume_mm3, o.at) for o in cold.overlaps]
