"""Which faces look at each other, how far apart, over what area."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from fits import UPRIGHT, dowel, fit, rounded, shelf, side, turned
from wood import across, board, drilled, rectangle, top, under

from build123.kernel.damage import Shift, Thicken
from build123.model.feature import Pocket, Trench, Trim, Vertex
from build123.model.frame import Frame, Plane

ROOT = math.sqrt(0.5)


def test_a_shelf_in_a_dado_has_two_walls_and_a_floor() -> None:
    assert rounded(fit(side(), shelf()).gaps) == [(0.0, 1800.0), (0.0, 1800.0), (0.0, 5400.0)]


def test_the_gap_says_who_looks_which_way() -> None:
    floor = next(g for g in fit(side(), shelf()).gaps if g.area_mm2 > 2000)
    assert (floor.a, floor.b, floor.normal) == ("side", "shelf", (-1.0, 0.0, 0.0))
    assert floor.near.low == pytest.approx((-12, 0, 491)) and floor.near.high == pytest.approx((-12, 300, 509))
    assert floor.at == pytest.approx((-12, 150, 500))


@pytest.mark.parametrize("too_thick", [0.05, 0.3, -0.2])
def test_walls_share_what_a_centred_shelf_has_too_much(too_thick: float) -> None:
    gaps = [g.gap_mm for g in fit(side(), shelf(18 + too_thick)).gaps if abs(g.normal[2]) > 0.5]
    assert gaps == pytest.approx([-too_thick / 2] * 2, abs=1e-7)


def test_clearance_is_the_sum_of_both_walls_wherever_the_shelf_sits() -> None:
    for off in (-0.1, 0.0, 0.07):
        gaps = [g.gap_mm for g in fit(side(width=18.2), shelf(middle_z=500 + off)).gaps if abs(g.normal[2]) > 0.5]
        assert len(gaps) == 2 and sum(gaps) == pytest.approx(0.2, abs=1e-7)


def test_turning_the_whole_piece_changes_no_gap() -> None:
    assert rounded(fit(turned(side()), turned(shelf(18.1))).gaps) == rounded(fit(side(), shelf(18.1)).gaps)


def test_a_tongue_has_walls_floor_and_shoulders() -> None:
    # a tongue 6 thick, 8 long on a board 18 thick, in a groove 6 wide and 10 deep
    grooved = board(1000, 300, 18, across(top(18), 500, 6, 300, 10), name="side", placement=UPRIGHT)
    steps = [Pocket(d, rectangle(-5, y - 5, 8, y + 305), depth_mm=6) for d, y in ((top(18), 0), (under(), -300))]
    tongued = board(400, 300, 18, *steps, name="shelf", placement=Frame((-10, 0, 509), (-1, 0, 0), (0, 1, 0), (0, 0, -1)))
    assert rounded(fit(grooved, tongued).gaps) == [(0.0, 1800.0), (0.0, 1800.0), (0.0, 2400.0), (0.0, 2400.0), (2.0, 1800.0)]


def test_blocks_that_touch_share_the_smaller_face() -> None:
    gaps = fit(board(100, 60, 40, name="a"), board(30, 20, 10, name="b", placement=Frame((10, 10, 40)))).gaps
    assert rounded(gaps) == [(0.0, 600.0)] and gaps[0].normal == (0.0, 0.0, 1.0)


def test_a_hole_in_the_face_takes_its_circle_from_the_area() -> None:
    drilled_board = board(100, 60, 18, drilled(top(18), 50, 30, 20, 9))
    gaps = fit(drilled_board, board(100, 60, 18, name="lid", placement=Frame((0, 0, 18)))).gaps
    assert [g.area_mm2 for g in gaps if g.gap_mm == 0] == pytest.approx([6000 - 314.159265], rel=1e-6)


def test_an_l_shaped_notch_shows_both_its_faces() -> None:
    notched = board(200, 100, 30, Pocket(top(30), rectangle(150, -5, 205, 105), depth_mm=15), name="notched")
    block = board(50, 100, 15, name="block", placement=Frame((150, 0, 15)))
    assert rounded(fit(notched, block).gaps) == [(0.0, 1500.0), (0.0, 5000.0)]


def test_a_t_shape_meets_end_to_face() -> None:
    leg = board(300, 80, 20, name="leg", placement=Frame((40, 0, -300), (0, 0, 1), (0, 1, 0), (-1, 0, 0)))
    assert rounded(fit(board(100, 80, 20, name="bar"), leg).gaps) == [(0.0, 1600.0)]


def test_wood_between_two_faces_hides_them_from_each_other() -> None:
    # grooves 3 wide with a fin of 1 mm between: the panel in the first sees the fin, not the far wall of the second
    grooved = board(200, 100, 18, across(top(18), 50, 3, 100, 6), across(top(18), 54, 3, 100, 6), name="grooved")
    panel = board(60, 100, 3, name="panel", placement=Frame((51.5, 0, 12), (0, 0, 1), (0, 1, 0), (-1, 0, 0)))
    assert rounded(fit(grooved, panel).gaps) == [(0.0, 300.0), (0.0, 600.0), (0.0, 600.0)]


def test_a_panel_in_a_groove_near_an_edge_is_not_inside_the_strip_behind_it() -> None:
    # 2 mm of wood behind the groove: its outer face opposes the panel's front at -5 mm and its back at nothing
    grooved = board(200, 100, 18, across(top(18), 3.5, 3, 100, 6), name="grooved")
    panel = board(60, 100, 3, name="panel", placement=Frame((5, 0, 12), (0, 0, 1), (0, 1, 0), (-1, 0, 0)))
    assert min(g.gap_mm for g in fit(grooved, panel).gaps) == 0.0
    thin = board(60, 100, 0.8, name="panel", placement=Frame((2.8, 0, 12), (0, 0, 1), (0, 1, 0), (-1, 0, 0)))
    assert min(g.gap_mm for g in fit(grooved, thin).gaps) == 0.0


def test_a_shifted_solid_is_seen_shifted() -> None:
    gaps = fit(side(), shelf(), damage=(Shift("shelf", (0, 0, 0.2)),)).gaps
    assert sorted(round(g.gap_mm, 6) for g in gaps) == [-0.2, 0.0, 0.2]


def test_a_shelf_pushed_too_deep_goes_into_the_floor_and_into_no_wall() -> None:
    gaps = fit(side(), shelf(end_x=-11.0)).gaps
    assert rounded(gaps) == [(-1.0, 5400.0), (0.0, 1800.0), (0.0, 1800.0)]


def test_the_trace_of_a_thick_shelf_on_the_face_is_no_gap_of_its_own() -> None:
    # 0.1 mm too thick in a dado 2 deep: its end lies 2 mm behind the side's face over two strips 0.05 wide
    gaps = fit(side(depth=2.0), shelf(end_x=-16.0), damage=(Thicken("shelf", 0.1),)).gaps
    assert rounded(gaps) == [(-0.1, 600.0), (0.0, 600.0), (0.0, 5400.0)]


def test_a_mitre_meets_on_its_slant() -> None:
    mitred = [board(100, 60, 18, Trim(Plane((ROOT, 0, ROOT), ROOT * 100)), name=n) for n in ("a", "b")]
    upright = replace(mitred[1], placement=Frame((100, 60, 100), (0, 0, -1), (0, -1, 0), (-1, 0, 0)))
    found = fit(mitred[0], upright)
    assert rounded(found.gaps) == [(0.0, round(18 / ROOT * 60, 3))] and found.overlaps == ()


@pytest.mark.parametrize("deg", [10.0, -23.7])
def test_a_leaning_housing_meets_as_a_straight_one(deg: float) -> None:
    c, s = math.cos(math.radians(deg)), math.sin(math.radians(deg))
    # the trench runs along (s, c) through (500, 150) of the worked face; the member's y lies along it, its z across
    trench = Trench(top(18), (500 - 400 * s, 150 - 400 * c), (500 + 400 * s, 150 + 400 * c), 18, 6)
    corner = (500 - 100 * s - 9 * c, 150 - 100 * c + 9 * s, 12)
    member = board(400, 200, 18, name="shelf", placement=Frame(corner, (0, 0, 1), (s, c, 0), (-c, s, 0)))
    member = replace(member, placement=Frame((corner[0] + 18 * c, corner[1] - 18 * s, 12), (0, 0, 1), (s, c, 0), (-c, s, 0)))
    found = fit(board(1000, 300, 18, trench, name="side"), member)
    assert rounded(found.gaps) == [(0.0, 1200.0), (0.0, 1200.0), (0.0, 3600.0)] and found.overlaps == ()


def test_a_loose_tenon_fills_its_round_ended_mortise() -> None:
    slot = (Vertex(-20, -4), Vertex(20, -4, 1.0), Vertex(20, 4), Vertex(-20, 4, 1.0))
    moved = tuple(Vertex(v.x + 100, v.y + 30, v.bulge) for v in slot)
    around = rectangle(-5, -5, 59, 15)
    tenon = board(50, 8, 20, Pocket(top(20), around, islands=(tuple(Vertex(v.x + 25, v.y + 4, v.bulge) for v in slot),)), name="tenon")
    mortised = board(200, 60, 40, Pocket(top(40), moved, depth_mm=20), name="mortised")
    found = fit(mortised, replace(tenon, placement=Frame((75, 26, 20))))
    assert found.overlaps == ()
    assert rounded(found.gaps) == [(0.0, pytest.approx(40 * 8 + math.pi * 16, rel=1e-3)), (0.0, 800.0), (0.0, 800.0)]


def test_a_dowel_keeps_room_for_glue_at_the_bottom_of_its_hole() -> None:
    wood = board(200, 60, 40, drilled(top(40), 100, 30, 8, 30))
    (room,) = fit(wood, dowel((100, 30, 11.5))).gaps
    assert room.gap_mm == pytest.approx(1.5) and room.area_mm2 == pytest.approx(math.pi * 16, rel=1e-6)


def test_faces_out_of_reach_are_left_out() -> None:
    far = board(100, 60, 18, name="b", placement=Frame((0, 0, 22.01)))
    assert fit(board(100, 60, 18), far).gaps == ()
