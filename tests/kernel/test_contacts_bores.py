"""Holes on one axis, rods in holes."""

from __future__ import annotations

import math

import pytest
from fits import dowel, fit, turned
from wood import board, drilled, far_end, top

from build123.kernel.damage import DrillAgain
from build123.model.frame import Frame


def pair(off: float = 0.0, apart: float = 0.0):
    """A board with a hole in its end, against another board's face with a hole; the second's hole stands off by `off`."""
    one = board(200, 60, 18, drilled(far_end(200), 30, 9, 8, 21), name="rail")
    two = board(
        300,
        60,
        18,
        drilled(top(18), 150, 30 + off, 8, 12),
        name="stile",
        placement=Frame((218 + apart, 0, -141), (0, 0, 1), (0, 1, 0), (-1, 0, 0)),
    )
    return one, two


def test_holes_in_line_meet_at_their_mouths() -> None:
    (bore,) = fit(*pair()).bores
    assert (bore.a, bore.b) == ("rail", "stile")
    assert bore.offset_mm == pytest.approx(0, abs=1e-6) and bore.length_mm == 0
    assert (bore.depth_a_mm, bore.depth_b_mm) == pytest.approx((21, 12))
    assert bore.axis == pytest.approx((1, 0, 0)) and bore.at == pytest.approx((200, 30, 9))


@pytest.mark.parametrize("off", [0.3, 1.0, 3.9])
def test_a_hole_out_of_line_is_measured(off: float) -> None:
    (bore,) = fit(*pair(off)).bores
    assert bore.offset_mm == pytest.approx(off, abs=1e-6)


def test_a_hole_too_far_off_is_another_hole() -> None:
    assert fit(*pair(4.1)).bores == ()


def test_mouths_out_of_reach_do_not_pair() -> None:
    assert len(fit(*pair(apart=3.9)).bores) == 1
    assert fit(*pair(apart=4.1)).bores == ()


def test_turning_the_piece_changes_no_offset() -> None:
    (bore,) = fit(*(turned(b) for b in pair(0.3))).bores
    assert bore.offset_mm == pytest.approx(0.3, abs=1e-6)


def test_a_leaning_hole_counts_its_lean() -> None:
    # 2 degrees over 30 mm of depth: 30 x sin 2 = 1.047 at the bottom
    plain = board(200, 60, 18, name="rail")
    _, stile = pair()
    lean = DrillAgain("rail", (200, 30, 9), (-math.cos(math.radians(2)), math.sin(math.radians(2)), 0), 8, 30)
    (bore,) = fit(plain, stile, damage=(lean,)).bores
    assert bore.offset_mm == pytest.approx(30 * math.sin(math.radians(2)), abs=0.02)


def test_a_dowel_sits_in_both_holes() -> None:
    rail, stile = pair()
    found = fit(rail, stile, dowel((181, 30, 9), (1, 0, 0), length=30))
    rods = {b.a: b for b in found.bores if b.b == "dowel"}
    assert (rods["rail"].length_mm, rods["stile"].length_mm) == pytest.approx((19, 11))
    assert rods["rail"].depth_a_mm == pytest.approx(21) and rods["rail"].depth_b_mm == pytest.approx(30)
    assert rods["rail"].offset_mm == pytest.approx(0, abs=1e-6)
    assert found.overlaps == ()
