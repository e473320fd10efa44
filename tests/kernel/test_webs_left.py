"""Wood left within one part."""

from __future__ import annotations

import math

import pytest
from fits import fit
from wood import across, board, drilled, far_end, near_edge, top, under

from build123.model.feature import EndKind, Hole, HoleStep, Trench, TrenchEnd
from build123.model.part import Part


def facts(part: Part):
    (found,) = fit(part).shapes.values()
    return found


def webs(part: Part) -> list[tuple[float, float]]:
    """Thickness and area of webs up to the thickness of a board."""
    return [(round(w.thickness_mm, 6), round(w.area_mm2, 3)) for w in facts(part).webs if w.thickness_mm < 18]


def dado_below(x: float, width: float, depth: float) -> Trench:
    return Trench(under(), (x, -100), (x, 0), width, depth)


def test_a_plain_board_has_no_web() -> None:
    assert facts(board(400, 100, 18)).webs == ()


def test_what_is_left_under_a_trench() -> None:
    (web,) = (w for w in facts(board(400, 100, 18, across(top(18), 200, 18, 100, 6))).webs if w.thickness_mm < 18)
    assert (web.thickness_mm, web.area_mm2) == pytest.approx((12, 1800)) and web.at == pytest.approx((200, 50, 6))


def test_facing_dados_six_deep_leave_six() -> None:
    assert webs(board(400, 100, 18, across(top(18), 200, 18, 100, 6), dado_below(200, 18, 6))) == [(6.0, 1800.0)]


def test_facing_dados_that_overlap_in_part_leave_three_webs() -> None:
    part = board(400, 100, 18, across(top(18), 200, 18, 100, 6), dado_below(210, 18, 6))
    assert webs(part) == [(6.0, 800.0), (12.0, 1000.0), (12.0, 1000.0)]


def test_a_thin_fin_between_neighbouring_trenches() -> None:
    part = board(400, 100, 18, across(top(18), 200, 6, 100, 6), across(top(18), 208, 6, 100, 6))
    assert webs(part) == [(2.0, 600.0), (12.0, 600.0), (12.0, 600.0)]


def test_facing_dados_that_miss_each_other_leave_their_own_webs() -> None:
    assert webs(board(400, 100, 18, across(top(18), 150, 18, 100, 6), dado_below(250, 18, 6))) == [(12.0, 1800.0), (12.0, 1800.0)]


def test_a_groove_near_an_edge_leaves_a_strip() -> None:
    part = board(400, 100, 18, Trench(top(18), (0, 96), (400, 96), 4, 8))
    assert (2.0, 3200.0) in webs(part) and (10.0, 1600.0) in webs(part)


def test_a_slot_in_the_edge_parts_the_wood_under_a_dado() -> None:
    part = board(400, 100, 18, across(top(18), 200, 18, 100, 6), Trench(near_edge(), (0, 6), (400, 6), 4, 10))
    assert sorted(webs(part)) == [(4.0, 180.0), (4.0, 4000.0), (10.0, 1910.0), (10.0, 1910.0), (12.0, 1620.0)]


def walls(part: Part) -> dict[str, float]:
    return {w.kind: w.wall_mm for w in facts(part).bore_walls}


def test_a_dowel_hole_in_an_end_tells_its_wood_to_the_nearer_face() -> None:
    found = walls(board(200, 60, 18, drilled(far_end(200), 30, 8.5, 8, 21)))
    assert found == pytest.approx({"beside": 4.5, "beyond": 179.0})


def test_a_blind_hole_tells_what_is_left_beyond_it() -> None:
    assert walls(board(200, 60, 18, drilled(top(18), 100, 30, 8, 12)))["beyond"] == pytest.approx(6)


def test_the_point_of_the_drill_takes_its_share() -> None:
    # 118 degrees: the point of an 8 mm drill is 4 / tan 59 = 2.403 high
    found = walls(board(200, 60, 18, drilled(top(18), 100, 30, 8, 12, tip_deg=118)))
    assert found["beyond"] == pytest.approx(6 - 4 / math.tan(math.radians(59)), abs=1e-6)


def test_a_through_hole_has_nothing_beyond() -> None:
    assert set(walls(board(200, 60, 18, drilled(top(18), 100, 30, 8, 18, through=True)))) == {"beside"}


def test_a_hole_that_breaks_out_is_not_whole_and_its_wall_is_negative() -> None:
    found = facts(board(200, 60, 18, drilled(far_end(200), 30, 15, 8, 21)))
    (bore,) = (b for b in found.bores if b.hollow)
    # the axis is 3 below the face, so an arc of 2 x acos(3/4) is missing
    assert bore.whole == pytest.approx(1 - math.acos(0.75) / math.pi, abs=1e-6)
    assert {w.kind: w.wall_mm for w in found.bore_walls}["beside"] == pytest.approx(-1)


def test_a_whole_hole_is_whole_whichever_way_it_leans() -> None:
    lean = math.radians(20)
    leaning = Hole(top(18), (100, 30), (HoleStep(6, 12),), axis=(math.sin(lean), 0, -math.cos(lean)))
    (bore,) = facts(board(200, 60, 18, leaning)).bores
    assert bore.whole == pytest.approx(1, abs=1e-6) and bore.base == pytest.approx((100, 30, 18))
    assert math.dist(bore.base, bore.tip) == pytest.approx(12)


def test_a_hole_from_the_floor_of_a_dado_starts_there() -> None:
    part = board(200, 60, 18, across(top(18), 100, 18, 60, 6), drilled(top(18), 100, 30, 8, 14))
    (bore,) = facts(part).bores
    assert bore.base == pytest.approx((100, 30, 12)) and bore.tip == pytest.approx((100, 30, 4))


def test_a_groove_beside_a_dowel_hole_counts() -> None:
    # the groove's floor is at z = 14, the hole's axis at z = 8: 6 - 4 of wood, less than the 4 below
    part = board(200, 60, 18, Trench(top(18), (0, 30), (200, 30), 6, 4), drilled(far_end(200), 30, 8, 8, 21))
    assert walls(part)["beside"] == pytest.approx(2)


def test_the_round_end_of_a_trench_is_half_a_cylinder() -> None:
    part = board(200, 60, 18, Trench(top(18), (50, 30), (150, 30), 8, 6, TrenchEnd(EndKind.round, 4), TrenchEnd(EndKind.round, 4)))
    assert [round(b.whole, 6) for b in facts(part).bores] == [0.5, 0.5] and facts(part).bore_walls == ()


def test_wood_at_an_edge_hole_is_found_whatever_the_datum() -> None:
    assert walls(board(200, 60, 18, drilled(near_edge(), 100, 9, 5, 30))) == pytest.approx({"beside": 6.5, "beyond": 30.0})
