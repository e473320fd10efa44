"""Sheet, scale and the places of views follow the standards."""

import itertools

import pytest
from drawn_parts import all_kinds, cleat, feature, part, pin_side, shelf, side
from hypothesis import given, settings
from hypothesis import strategies as st
from reading_sheets import dimensions, texts

from build123.drawing.layout import spread
from build123.drawing.lettering import text_width
from build123.drawing.sheet import SheetAbout, draw_part
from build123.model.feature import Datum, Hole, HoleStep, Trim
from build123.model.frame import Frame, Plane, dot, unit


def view(sheet, key):
    return next(v for v in sheet.views if v.key == key)


def test_first_angle_with_millimetres_third_with_inches():
    # ISO 128-3: in third angle the view from the right lies on the right, in first angle on the left (from memory).
    metric, inch = (draw_part([shelf()], SheetAbout("x", units)) for units in ("mm", "in"))
    assert view(metric, "right end").origin[0] < view(metric, "face").origin[0] < view(metric, "left end").origin[0]
    assert view(inch, "left end").origin[0] < view(inch, "face").origin[0] < view(inch, "right end").origin[0]
    assert view(metric, "front edge").origin[1] > view(metric, "face").origin[1] > view(inch, "front edge").origin[1]
    assert "first angle" in texts(metric, "title") and "third angle" in texts(inch, "title")


@pytest.mark.parametrize("units", ["mm", "in"])
def test_an_end_view_says_what_it_is_where_centre_lines_stand_out_of_it(units):
    down = Hole(Datum(Frame((0, 38, 0), (1, 0, 0), (0, 0, -1), (0, 1, 0)), "+y"), (30, -20), (HoleStep(9, 17),))
    leg = part("leg", 700, 38, 38, [feature(down, "dowel hole", "dowel hole", "rail")])
    sheet = draw_part([leg], SheetAbout("x", units))
    assert {one.title for one in sheet.views} <= set(texts(sheet))


@pytest.mark.parametrize("units", ["mm", "in"])
def test_where_a_taper_ends_is_read_beside_that_end(units):
    # both points of the cut are at or right of the middle, so that no extension line runs back along the leg
    slope = unit((38 / 3 / 600, 0.0, 1.0))
    taper = Trim(Plane(slope, dot(slope, (100.0, 0.0, 38.0))))
    sheet = draw_part([part("leg", 700, 38, 38, [feature(taper, "taper", "taper")])], SheetAbout("x", units))
    edge = view(sheet, "front edge")
    [size] = [d for v, d in dimensions(sheet) if v.key == "front edge" and d.along == "y" and d.kind == "running"]
    assert size.line_at > edge.origin[0] + 350 * edge.scale


def test_views_are_in_line():
    sheet = draw_part([shelf()], SheetAbout("x", "mm"))
    assert view(sheet, "front edge").origin[0] == view(sheet, "face").origin[0] == view(sheet, "underside").origin[0]
    assert view(sheet, "right end").origin[1] == view(sheet, "face").origin[1]


@pytest.mark.parametrize("make", [side, shelf, pin_side, all_kinds, cleat], ids=lambda make: make.__name__)
def test_scales_are_of_the_standard_series(make):
    # ISO 5455 for millimetres; US shop custom for inches (from memory).
    assert draw_part([make()], SheetAbout("x", "mm")).scale in {"1:1", "1:2", "1:5", "1:10", "1:20"}
    assert draw_part([make()], SheetAbout("x", "in")).scale in {"1:1", "1:2", "1:4", "1:8", "1:16"}


def test_title_block_says_what_the_part_is():
    said = dict(draw_part([side(), side()], SheetAbout("Seed cabinet", "mm", 2, 9, opposite=("right side",))).fields)
    assert said["stock"] == "ply: birch plywood, 18.1 measured, nominal 18"
    assert said["finished T × W × L"] == "18.1 × 300 × 764"
    assert (said["make"], said["sheet"], said["opposite hand"]) == ("2", "2 of 9", "right side")
    assert (said["worked face"], said["show face"], said["grain"]) == ("right face, up", "left face", "along L")


def test_ends_and_edges_are_named_along_the_outline():
    assert {"front edge", "back edge", "bottom end", "top end", "grain"} <= set(texts(draw_part([side()], SheetAbout("x", "mm"))))


@settings(max_examples=100, deadline=None, derandomize=True)
@given(st.lists(st.floats(1, 99), min_size=1, max_size=12))
def test_figures_keep_their_distance_and_their_order(wanted):
    placed = spread(sorted(wanted), 4.0, (0.0, 200.0))
    assert all(b - a >= 4.0 - 1e-6 for a, b in itertools.pairwise(placed))
    assert placed[0] >= 4.0 - 1e-3


def test_figures_that_stand_apart_do_not_move():
    assert spread([10.0, 20.0, 30.0], 4.0) == [10.0, 20.0, 30.0]


def test_text_takes_the_room_that_the_widest_common_font_gives_it():
    # Advances of DejaVu Sans in 1/2048 em, read from the font: digit 1303, W 2025, space 651.
    height = 0.72
    for text, units in (("0", 1303), ("W", 2025), (" ", 651)):
        assert units / 2048 <= text_width(text, height) <= units / 2048 + 0.006
