"""What two bodies both claim, and what they do not."""

from __future__ import annotations

import math

import cadquery as cq
import pytest
from fits import dowel, fit, shelf, side, turned
from hypothesis import given, settings
from hypothesis import strategies as st
from wood import board, drilled, far_end, rectangle, top

from build123.kernel.bodies import Pose
from build123.kernel.damage import Shift, Thicken
from build123.kernel.overlap_occ import common_pieces
from build123.model.feature import Pocket, Vertex
from build123.model.frame import WORLD, Frame


def test_bodies_that_touch_claim_nothing_of_each_other() -> None:
    assert fit(side(), shelf()).overlaps == ()
    assert fit(board(100, 60, 40), board(30, 20, 10, name="b", placement=Frame((10, 10, 40)))).overlaps == ()


@pytest.mark.parametrize("turn", [False, True])
def test_five_hundredths_of_a_shelf_in_its_dado(turn: bool) -> None:
    bodies = [turned(b) if turn else b for b in (side(), shelf())]
    (found,) = fit(*bodies, damage=(Thicken("shelf", 0.05),)).overlaps
    assert found.volume_mm3 == pytest.approx(0.05 * 6 * 300, rel=1e-4)
    assert found.depth_mm == pytest.approx(0.05, rel=0.02)
    assert (found.a, found.b) == ("side", "shelf")
    assert found.mesh is not None and len(found.mesh.faces) == 12


def test_the_overlap_says_where() -> None:
    (found,) = fit(side(), shelf(), damage=(Shift("shelf", (1, 0, 0)),)).overlaps
    assert found.volume_mm3 == pytest.approx(18 * 300) and found.at == pytest.approx((-11.5, 150, 500))
    assert found.near.low == pytest.approx((-12, 0, 491)) and found.near.high == pytest.approx((-11, 300, 509))
    assert found.mesh is not None and found.mesh.vertices.min(axis=0) == pytest.approx((-12, 0, 491))


def test_a_hundred_thousandth_is_measured_and_not_reported() -> None:
    a, b = cq.Solid.makeBox(100, 60, 18), cq.Solid.makeBox(100, 60, 18)
    (piece,) = common_pieces(a, b, Pose.of(WORLD, Frame((0, 0, 18 - 1e-5))))
    assert piece.volume_mm3 == pytest.approx(100 * 60 * 1e-5, rel=1e-3)
    assert fit(board(100, 60, 18), board(100, 60, 18, name="b", placement=Frame((0, 0, 18 - 1e-5)))).overlaps == ()
    assert len(fit(board(100, 60, 18), board(100, 60, 18, name="b", placement=Frame((0, 0, 18 - 2e-3)))).overlaps) == 1


def test_a_shelf_between_two_walls_too_near_claims_both() -> None:
    (found,) = fit(side(), shelf(18.1)).overlaps
    assert found.volume_mm3 == pytest.approx(0.1 * 6 * 300, rel=1e-4) and found.depth_mm == pytest.approx(0.05, rel=0.02)


def test_a_block_in_an_l_shaped_notch() -> None:
    notched = board(200, 100, 30, Pocket(top(30), rectangle(150, -5, 205, 105), depth_mm=15), name="notched")
    assert fit(notched, board(50, 100, 15, name="block", placement=Frame((150, 0, 15)))).overlaps == ()
    (found,) = fit(notched, board(50, 100, 15, name="block", placement=Frame((149.5, 0, 15)))).overlaps
    assert found.volume_mm3 == pytest.approx(0.5 * 100 * 15)


def test_a_dowel_that_fills_its_hole_claims_nothing() -> None:
    wood = board(100, 60, 40, drilled(top(40), 50, 30, 8, 30))
    assert fit(wood, dowel((50, 30, 10))).overlaps == ()
    (found,) = fit(wood, dowel((50, 30, 10), diameter=8.1)).overlaps
    assert found.volume_mm3 == pytest.approx(math.pi / 4 * (8.1**2 - 8**2) * 30, rel=1e-6)


def test_a_dowel_too_long_goes_into_the_bottom() -> None:
    wood = board(100, 60, 40, drilled(top(40), 50, 30, 8, 30))
    (found,) = fit(wood, dowel((50, 30, 9.5))).overlaps
    assert found.volume_mm3 == pytest.approx(math.pi * 16 * 0.5, rel=1e-6) and found.at == pytest.approx((50, 30, 9.75))


def test_a_dowel_out_of_line_claims_a_sickle() -> None:
    off, r = 0.3, 4.0
    lens = 2 * r * r * math.acos(off / (2 * r)) - off / 2 * math.sqrt(4 * r * r - off * off)
    wood = board(100, 60, 40, drilled(top(40), 50, 30, 8, 30))
    (found,) = fit(wood, dowel((50 + off, 30, 10))).overlaps
    assert found.volume_mm3 == pytest.approx((math.pi * r * r - lens) * 30, rel=1e-3)


def test_a_dowel_in_a_wide_hole_may_stand_off_by_the_room_it_has() -> None:
    wood = board(100, 60, 40, drilled(top(40), 50, 30, 8.4, 30))
    assert fit(wood, dowel((50.2, 30, 10))).overlaps == ()
    assert len(fit(wood, dowel((50.21, 30, 10))).overlaps) == 1


def test_a_dowel_through_a_groove_is_free_there() -> None:
    # the hole starts on the floor of a pocket 10 deep; the rod stands up through the pocket
    wood = board(100, 60, 40, Pocket(top(40), rectangle(40, 20, 60, 40), depth_mm=10), drilled(top(40), 50, 30, 8, 30))
    assert fit(wood, dowel((50, 30, 10))).overlaps == ()


def bowed(width: float = 100.0, r: float = 500.0):
    """A board whose end is an arc, furthest out at x = 200."""
    bulge = math.tan(math.asin(width / 2 / r) / 2)
    rise = width / 2 * bulge
    outline = (Vertex(-5, -5), Vertex(200 - rise, -5), Vertex(200 - rise, 0, bulge), Vertex(200 - rise, width), Vertex(-5, width + 5))
    frame = (Vertex(-9, -9), Vertex(209, -9), Vertex(209, width + 9), Vertex(-9, width + 9))
    return board(200, width, 20, Pocket(top(20), frame, islands=(outline,)), name="bowed")


def test_an_arc_touches_a_block_and_goes_into_it() -> None:
    assert fit(bowed(), board(50, 100, 20, name="block", placement=Frame((200, 0, 0)))).overlaps == ()
    (found,) = fit(bowed(), board(50, 100, 20, name="block", placement=Frame((199.96, 0, 0)))).overlaps
    half = math.sqrt(500**2 - 499.96**2)
    segment = 500**2 * math.asin(half / 500) - half * 499.96
    assert found.volume_mm3 == pytest.approx(segment * 20, rel=1e-3)


@pytest.mark.parametrize("y", [54.0, 57.0, 60.0, 63.0, 66.0, 69.0])
def test_what_a_mesh_would_cut_off_an_arc_is_found(y: float) -> None:
    # the block's corner goes 0.03 mm behind the arc; chords of a mesh of 0.1 mm may lie further in than that
    at = 200 - 500 + math.sqrt(500**2 - (y - 50) ** 2) - 0.03
    assert len(fit(bowed(), board(50, 100, 20, name="block", placement=Frame((at, y, 0)))).overlaps) == 1


def test_two_dowels_that_cross() -> None:
    # Steinmetz: two equal cylinders that cross square share 16/3 r^3
    (found,) = fit(dowel((0, 0, -20)), dowel((-20, 0, 0), (1, 0, 0), name="other")).overlaps
    assert found.volume_mm3 == pytest.approx(16 / 3 * 64, rel=1e-4)


def test_a_dowel_joins_two_rails_free_of_both() -> None:
    one = board(100, 60, 18, drilled(far_end(100), 30, 9, 8, 21), name="one")
    two = board(100, 60, 18, drilled(far_end(100), 30, 9, 8, 21), name="two", placement=Frame((200, 60, 0), (-1, 0, 0), (0, -1, 0)))
    assert fit(one, two, dowel((80, 30, 9), (1, 0, 0))).overlaps == ()
    (found,) = fit(one, two, dowel((80, 30, 9), (1, 0, 0)), damage=(Shift("dowel", (2, 0, 0)),)).overlaps
    assert (found.a, found.b) == ("two", "dowel") and found.volume_mm3 == pytest.approx(math.pi * 16, rel=1e-6)


@given(st.floats(-0.5, 0.5), st.floats(-0.3, 0.3))
@settings(max_examples=25, deadline=None)
def test_a_shelf_thicker_than_its_dado_always_claims_the_difference(too_thick: float, off: float) -> None:
    found = fit(side(width=18.2), shelf(18 + too_thick, middle_z=500 + off)).overlaps
    into = [too_thick / 2 - 0.1 + off, too_thick / 2 - 0.1 - off]
    expected = sum(max(0.0, d) for d in into) * 6 * 300
    if max(into) > 2e-3:
        assert found[0].volume_mm3 == pytest.approx(expected, rel=1e-4)
    elif max(into) < 5e-4:
        assert found == ()


SPAN = st.tuples(*[st.floats(-50, 50), st.floats(1, 60)] * 3)


@given(SPAN, SPAN)
@settings(max_examples=40, deadline=None)
def test_boxes_share_the_product_of_what_their_sides_share(a: tuple[float, ...], b: tuple[float, ...]) -> None:
    sides = [min(a[k] + a[k + 1], b[k] + b[k + 1]) - max(a[k], b[k]) for k in (0, 2, 4)]
    one, two = (board(s[1], s[3], s[5], name=n, placement=Frame((s[0], s[2], s[4]))) for n, s in (("a", a), ("b", b)))
    found = fit(one, two).overlaps
    expected = math.prod(sides) if min(sides) > 0 else 0.0
    if min(sides) > 0.01:
        assert len(found) == 1 and found[0].volume_mm3 == pytest.approx(expected, rel=1e-6)
    elif min(sides) <= 5e-4:
        assert found == ()
