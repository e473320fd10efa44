"""Views show true outlines: worked by hand from the numbers of the features."""

import math
from itertools import pairwise

import pytest
from drawn_parts import UNDER, all_kinds, face, feature, part, raked_shelf, shelf, side

from build123.drawing.curves import with_arcs
from build123.drawing.linework import NEAR_MM, look
from build123.drawing.solid import blank, prisms, ring
from build123.drawing.viewing import viewings
from build123.model.feature import Datum, Hole, HoleStep, Pocket, Trench, Vertex
from build123.model.frame import Frame


def seen(piece, key):
    body = blank(piece)
    viewing = next(v for v in viewings(piece) if v.key == key)
    return look(body, prisms(piece, body), viewing)


def runs(view, hidden, feature):
    return [sorted((round(x, 3), round(y, 3)) for x, y in e.points) for e in view.edges if e.hidden == hidden and e.feature == feature]


def drawn_upright(view, x, hidden):
    """Length of the upright lines at a position."""
    pairs = [(a, b) for e in view.edges if e.hidden == hidden for a, b in pairwise(e.points)]
    return sum(abs(a[1] - b[1]) for a, b in pairs if abs(a[0] - x) < 1e-3 and abs(b[0] - x) < 1e-3)


def test_through_dados_are_notches_in_the_edge_and_stopped_ones_are_not():
    view = seen(side(), "front edge")
    assert view.shape.area == pytest.approx(764 * 18.1 - 3 * 18.15 * 6)
    assert runs(view, False, 0) == [[(60, 12.1), (60, 18.1), (78.15, 12.1), (78.15, 18.1)]]
    assert runs(view, False, 3) == [] and runs(view, True, 3) != []


def test_a_rabbet_is_a_step_in_the_end_view_and_a_line_on_the_face():
    assert seen(side(), "right end").shape.area == pytest.approx(300 * 18.1 - 6.2 * 10)
    assert runs(seen(side(), "face"), False, 4) == [[(0, 293.8), (764, 293.8)]]


def test_notches_take_the_corners_off_the_face():
    assert seen(shelf(), "face").shape.area == pytest.approx(764 * 290 - 2 * 6 * 10)


def test_what_lies_under_is_hidden_on_the_face_and_seen_from_below():
    low, high = sorted(runs(seen(shelf(), "face"), True, 8))
    assert low == [pytest.approx((0, 196.9), abs=NEAR_MM), pytest.approx((764, 196.9), abs=NEAR_MM)]
    assert high == [pytest.approx((0, 203.1), abs=NEAR_MM), pytest.approx((764, 203.1), abs=NEAR_MM)]
    assert runs(seen(shelf(), "face"), False, 8) == []
    assert len(runs(seen(shelf(), "underside"), False, 8)) == 2


def test_trimmed_ends_make_a_parallelogram():
    lean = 20 * math.tan(math.radians(10))
    dado_top, dado_floor = 18 / math.cos(math.radians(10)), 18 / math.cos(math.radians(10))
    area = (576 - lean) * 20 - (dado_top + dado_floor) / 2 * 6
    assert seen(raked_shelf(), "front edge").shape.area == pytest.approx(area, abs=0.01)


def test_the_undercut_end_is_hidden_from_above_and_the_other_is_seen():
    view = seen(raked_shelf(), "face")
    lean = 20 * math.tan(math.radians(10))
    assert drawn_upright(view, lean, hidden=False) == pytest.approx(121.8536, abs=0.01)
    assert drawn_upright(view, 576 - lean, hidden=True) == pytest.approx(125.38, abs=0.1)
    assert drawn_upright(view, lean, hidden=True) == drawn_upright(view, 576 - lean, hidden=False) == 0


def test_a_moulded_edge_is_seen_in_section_from_the_end():
    assert seen(all_kinds(), "right end").shape.area == pytest.approx(140 * 20 - 8 * 8 / 2)


def test_two_trenches_that_meet_from_both_faces_leave_a_gap_to_see_through():
    cuts = [
        feature(Trench(face(20), (50, 0), (50, 100), 10, 12), "above", "dado"),
        feature(Trench(UNDER, (0, -40), (200, -40), 10, 12), "below", "groove"),
    ]
    assert seen(part("lapped", 200, 100, 20, cuts), "face").shape.area == pytest.approx(200 * 100 - 10 * 10)


def test_an_island_stands_in_its_pocket():
    around = runs(seen(all_kinds(), "face"), False, 0)
    assert [(55, 68), (55, 68), (55, 76), (65, 68), (65, 76)] in around


def test_arcs_come_out_as_arcs():
    points = ring((Vertex(0, 0), Vertex(10, 0, 1.0), Vertex(10, 10), Vertex(0, 10)))
    arcs = [p for p in with_arcs([*points, points[0]]) if p[2]]
    assert arcs == [(10, 0, pytest.approx(1.0))]


def test_an_edge_that_shows_only_what_is_hidden_behind_it_has_no_view():
    dowel = Hole(Datum(Frame((0, 60, 0), (1, 0, 0), (0, 0, -1), (0, 1, 0)), "+y"), (30, -11), (HoleStep(8, 26),))
    stile = part("stile", 700, 60, 22, [feature(dowel, "dowel hole", "dowel hole", "rail")])
    assert [v.key for v in viewings(stile)] == ["face", "right end", "back edge"]


def test_every_side_with_work_on_it_has_a_view():
    assert [v.key for v in viewings(shelf())] == ["face", "front edge", "right end", "left end", "underside"]
    trimmed = raked_shelf().features[1].geometry.plane
    assert trimmed.normal[0] > 0.98


def test_a_pocket_that_only_scratches_the_corner_keeps_the_rest():
    cut = Pocket(face(20), (Vertex(-5, -5), Vertex(5, -5), Vertex(5, 5), Vertex(-5, 5)), (), 3.0)
    view = seen(part("nicked", 100, 50, 20, [feature(cut, "nick", "notch")]), "face")
    assert view.shape.area == pytest.approx(100 * 50)
    assert runs(view, False, 0) == [[(0, 5), (5, 0), (5, 5)]]
