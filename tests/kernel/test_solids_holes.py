"""Holes put into faces are the holes that the boolean drills, and those that cannot be put there are left to it."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from OCP.BRepCheck import BRepCheck_Analyzer
from wood import across, board, drilled, far_end, near_edge, top, under

from build123.kernel import solids
from build123.kernel.blank import Blank
from build123.kernel.holes import bored, clear_of
from build123.kernel.solids import solid_of
from build123.kernel.tools import tools_of
from build123.model.feature import Feature, Geometry, Hole, HoleStep, Trench, Trim
from build123.model.frame import Plane

TOP = top(18.0)
SINK = Hole(TOP, (300, 150), (HoleStep(10, 3, cone_deg=90), HoleStep(5, 18)), through=True)
DADO = across(TOP, 100, 18, 300, 6)


def clear(*geometry: Geometry) -> list[bool]:
    """For each plain hole, whether it is proved clear."""
    part = board(600, 300, 18, *geometry)
    blank = Blank(600, 300, 18)
    holes = [hole for feature in part.features if (hole := bored(feature, blank))]
    others: list[Feature] = [feature for feature in part.features if bored(feature, blank) is None]
    return clear_of(holes, [tool for feature in others for tool in tools_of(feature, blank)])


def test_holes_well_apart_are_clear() -> None:
    assert clear(DADO, drilled(TOP, 200, 100, 5, 10), drilled(TOP, 232, 100, 5, 10), drilled(far_end(600), 100, 9, 8, 30)) == [True] * 3


@pytest.mark.parametrize(
    ("what", "other"),
    [
        ("a dado that reaches its rim", across(TOP, 210, 18, 300, 6)),
        ("a dado in the other face, above its floor", Trench(under(), (200, 0), (200, -300), 18, 10)),
        ("a hole that crosses it from the edge", drilled(near_edge(), 200, 12, 6, 150)),
        ("its neighbour", drilled(TOP, 204.5, 100, 5, 10)),
        ("a trim that takes its rim", Trim(Plane((1.0, 0.0, 0.0), 201.0))),
    ],
)
def test_a_hole_near_something_is_not(what: str, other: Geometry) -> None:
    assert clear(drilled(TOP, 200, 100, 5, 10), other)[0] is False, what


def test_a_dado_below_in_the_other_face_does_not_disturb_a_shallow_hole() -> None:
    assert clear(drilled(TOP, 200, 100, 5, 10), Trench(under(), (200, 0), (200, -300), 18, 6)) == [True]


def test_a_hole_as_deep_as_the_board_or_over_its_edge_is_left_to_the_boolean() -> None:
    assert clear(drilled(TOP, 200, 100, 5, 18), drilled(TOP, 2, 100, 5, 10)) == []


@settings(max_examples=25, deadline=None)
@given(
    st.lists(
        st.tuples(st.sampled_from(["top", "under", "end", "edge"]), st.integers(1, 29), st.integers(1, 14), st.sampled_from([3.0, 8.0])),
        min_size=1,
        max_size=8,
        unique_by=lambda row: row[:3],
    )
)
def test_with_and_without_the_short_way_the_solid_is_the_same(rows: list[tuple[str, int, int, float]]) -> None:
    made = {
        "top": lambda a, b, d: drilled(TOP, a * 20.0, b * 20.0, d, 11.0, tip_deg=118.0),
        "under": lambda a, b, d: drilled(under(), a * 20.0, b * -20.0, d, 18.0, through=True),
        "end": lambda a, b, d: drilled(far_end(600), b * 20.0, 9.0, d, a * 2.0),
        "edge": lambda a, b, d: drilled(near_edge(), a * 20.0, 9.0, d, b * 2.0),
    }
    part = board(600, 300, 18, DADO, *(made[face](a, b, d) for face, a, b, d in rows))
    quick = solid_of(part)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(solids, "bored", lambda feature, blank: None)
        patch.setattr(solids, "carved", lambda size, boxes: None)
        slow = solid_of(part)
    assert BRepCheck_Analyzer(quick.wrapped).IsValid()
    assert quick.Volume() == pytest.approx(slow.Volume(), rel=1e-9)
    assert quick.Area() == pytest.approx(slow.Area(), rel=1e-6)


def test_a_panel_with_two_dados_and_ten_holes_by_hand() -> None:
    holes = [drilled(TOP, 200 + 32 * n, 37, 5, 10) for n in range(10)]
    solid = solid_of(board(600, 300, 18, DADO, across(TOP, 560, 18, 300, 6), *holes))
    assert solid.Volume() == pytest.approx(600 * 300 * 18 - 2 * 18 * 6 * 300 - 10 * math.pi * 2.5**2 * 10, rel=1e-12)
    # blank 6, of which the top is in 3 pieces; 2 x (2 walls, floor); 10 x (wall, floor)
    assert len(solid.Faces()) == 8 + 6 + 20
    assert BRepCheck_Analyzer(solid.wrapped).IsValid()


def test_a_countersunk_screw_hole_goes_the_short_way_too() -> None:
    assert clear(SINK) == [True]
    solid = solid_of(board(600, 300, 18, SINK))
    kinds = sorted(face.geomType() for face in solid.Faces())
    assert kinds == ["CONE", "CYLINDER"] + ["PLANE"] * 6
    # frustum 5 -> 2.5 mm over 2.5 mm, then 15.5 mm of 5 mm hole
    assert 600 * 300 * 18 - solid.Volume() == pytest.approx(math.pi * (2.5 / 3 * (25 + 12.5 + 6.25) + 6.25 * 15.5), rel=1e-9)
