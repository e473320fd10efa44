"""Every kind of feature takes away the wood that a calculation by hand says, and leaves one valid solid."""

from __future__ import annotations

import math

import pytest
from OCP.BRepCheck import BRepCheck_Analyzer
from wood import across, board, drilled, far_end, near_edge, rectangle, top, under

from build123.kernel.solids import solid_of
from build123.model.feature import Datum, EndKind, Hole, HoleStep, Mark, Pocket, Profile, Trench, TrenchEnd, Trim, Vertex
from build123.model.frame import Frame, Plane

PI = math.pi
ROOT = math.sqrt(0.5)
ROUND5 = TrenchEnd(EndKind.round, 5.0)
SQUARE = TrenchEnd(EndKind.square)


def removed(*geometry, size=(600.0, 300.0, 18.0)) -> float:
    """Volume taken off a blank, after checking the solid."""
    solid = solid_of(board(*size, *geometry))
    assert BRepCheck_Analyzer(solid.wrapped).IsValid()
    assert solid.Volume() > 0
    return size[0] * size[1] * size[2] - solid.Volume()


TOP = top(18.0)
SCOOP = TrenchEnd(EndKind.scoop, 50.0)
SEGMENT = 50**2 * math.acos(42 / 50) - 42 * math.sqrt(50**2 - 42**2)
"""The segment of a disc of radius 50 that goes 8 mm deep."""
HALF_CHORD = math.sqrt(50**2 - 42**2)

BY_HAND = {
    "no feature": ((), 0.0),
    "a mark": ((Mark(TOP, points=((10.0, 10.0),)),), 0.0),
    "trim of an end at 45 degrees": ((Trim(Plane((ROOT, 0.0, ROOT), 600 * ROOT)),), 18 * 18 / 2 * 300),
    "trim square, 10 off": ((Trim(Plane((1.0, 0.0, 0.0), 590.0)),), 10 * 300 * 18),
    "trim that meets no wood": ((Trim(Plane((1.0, 0.0, 0.0), 600.0)),), 0.0),
    "dado": ((across(TOP, 100, 18, 300, 6),), 18 * 6 * 300),
    "dado written from the other edge": ((Trench(TOP, (100, 300), (100, 0), 18, 6),), 18 * 6 * 300),
    "dado in the under face": ((Trench(under(), (100, 0), (100, -300), 18, 6),), 18 * 6 * 300),
    "groove in an edge": ((Trench(near_edge(), (0, 9), (600, 9), 6, 8),), 6 * 8 * 600),
    "dado stopped square": ((Trench(TOP, (100, 0), (100, 280), 18, 6, end_end=SQUARE),), 18 * 6 * 280),
    "dado stopped at both ends": ((Trench(TOP, (100, 20), (100, 280), 18, 6, SQUARE, SQUARE),), 18 * 6 * 260),
    "dado stopped with corners of radius 5": (
        (Trench(TOP, (100, 0), (100, 280), 18, 6, end_end=ROUND5),),
        6 * (18 * 280 - (2 - PI / 2) * 25),
    ),
    "groove with full round ends": (
        (Trench(TOP, (100, 50), (300, 50), 10, 6, ROUND5, ROUND5),),
        6 * (10 * 190 + PI * 25),
    ),
    "rabbet": ((Trench(TOP, (0, 295), (600, 295), 10, 8, open_left=True),), 10 * 8 * 600),
    "rabbet on the other edge": ((Trench(TOP, (0, 5), (600, 5), 10, 8, open_right=True),), 10 * 8 * 600),
    "rabbet stopped with a round corner": (
        (Trench(TOP, (0, 295), (400, 295), 10, 8, end_end=ROUND5, open_left=True),),
        8 * (10 * 400 - (1 - PI / 4) * 25),
    ),
    "rabbet whose outer side lies in a wider rabbet": (
        (Trench(TOP, (0, 295), (600, 295), 10, 4, open_left=True), Trench(TOP, (0, 285), (600, 285), 10, 8, open_left=True)),
        (10 * 4 + 10 * 8) * 600,
    ),
    "open end that stops in the wood ends there": ((Trench(TOP, (100, 0), (100, 290), 18, 6),), 18 * 6 * 290),
    "dado into a rabbet": (
        (Trench(TOP, (0, 295), (600, 295), 10, 8, open_left=True), Trench(TOP, (100, 0), (100, 290), 18, 6)),
        10 * 8 * 600 + 18 * 6 * 290,
    ),
    "dado turned by 45 degrees runs out past its corners": (
        (Trench(TOP, (100, 0), (400, 300), 20, 6),),
        20 / ROOT * 300 * 6,
    ),
    "dado that leans 30 degrees": ((across(TOP, 100, 18, 300, 6, lean_deg=30),), 18 / math.cos(PI / 6) * 6 * 300),
    "dovetail way": ((across(TOP, 100, 18, 300, 6, flare_deg=14),), (18 + 6 * math.tan(math.radians(14))) * 6 * 300),
    "stopped dovetail way with a square end": (
        (Trench(TOP, (100, 0), (100, 200), 18, 6, end_end=SQUARE, flare_deg=14),),
        (18 + 6 * math.tan(math.radians(14))) * 6 * 200,
    ),
    "dovetail way along an edge, no outer wall": (
        (Trench(TOP, (0, 295), (600, 295), 10, 6, open_left=True, flare_deg=14),),
        (10 + 6 * math.tan(math.radians(14)) / 2) * 6 * 600,
    ),
    "notch through the thickness": ((Trench(TOP, (100, 0), (100, 50), 18, 18, end_end=SQUARE),), 18 * 18 * 50),
    "biscuit slot": (
        (Trench(near_edge(), (100 - HALF_CHORD, 9), (100 + HALF_CHORD, 9), 4, 8, SCOOP, SCOOP),),
        SEGMENT * 4,
    ),
    "dado with one scooped end": (
        (Trench(TOP, (100, 0), (100, 250), 4, 8, end_end=SCOOP),),
        4 * (8 * (250 - HALF_CHORD) + SEGMENT / 2),
    ),
    "scoop of a wheel smaller than the depth": (
        (Trench(TOP, (100, 0), (100, 250), 4, 8, end_end=TrenchEnd(EndKind.scoop, 5.0)),),
        4 * (8 * 250 - (1 - PI / 4) * 25),
    ),
    "pocket": ((Pocket(TOP, rectangle(50, 50, 150, 100), depth_mm=7),), 100 * 50 * 7),
    "pocket through": ((Pocket(TOP, rectangle(50, 50, 150, 100)),), 100 * 50 * 18),
    "round pocket of two half circles": ((Pocket(TOP, (Vertex(50, 100, 1), Vertex(150, 100, 1)), depth_mm=7),), PI * 2500 * 7),
    "pocket with an island": ((Pocket(TOP, rectangle(50, 50, 150, 100), (rectangle(80, 60, 120, 90),), 7),), (100 * 50 - 40 * 30) * 7),
    "tenon: end pocket with an island": (
        (Pocket(far_end(600), rectangle(-5, -5, 305, 23), (rectangle(20, 5, 280, 13),), 30),),
        (300 * 18 - 260 * 8) * 30,
    ),
    "pocket ruled to a larger floor": (
        (Pocket(TOP, rectangle(50, 50, 150, 100), depth_mm=6, far_outline=rectangle(48, 48, 152, 102)),),
        6 / 6 * (100 * 50 + 4 * 102 * 52 + 104 * 54),
    ),
    "pocket ruled through": (
        (Pocket(TOP, rectangle(50, 50, 150, 100), far_outline=rectangle(48, 50, 152, 100)),),
        102 * 50 * 18,
    ),
    "blind hole": ((drilled(TOP, 100, 100, 5, 10),), PI * 6.25 * 10),
    "through hole": ((drilled(TOP, 100, 100, 5, 18, through=True),), PI * 6.25 * 18),
    "hole in the end": ((drilled(far_end(600), 100, 9, 8, 30),), PI * 16 * 30),
    "hole in the under face": ((drilled(under(), 100, -100, 8, 12),), PI * 16 * 12),
    "hole with a point of 90 degrees": ((drilled(TOP, 100, 100, 8, 10, tip_deg=90),), PI * 16 * 10 + PI * 16 * 4 / 3),
    "counterbored through hole": (
        (Hole(TOP, (100, 100), (HoleStep(10, 6), HoleStep(4, 18)), through=True),),
        PI * 25 * 6 + PI * 4 * 12,
    ),
    "countersunk through hole": (
        (Hole(TOP, (100, 100), (HoleStep(8, 2, cone_deg=90), HoleStep(4, 18)), through=True),),
        PI * 2 / 3 * (16 + 8 + 4) + PI * 4 * 16,
    ),
    "slot through": (
        (Hole(TOP, (100, 100), (HoleStep(5, 18),), through=True, slot=(10.0, 0.0)),),
        (PI * 6.25 + 50) * 18,
    ),
    "countersunk slot": (
        (Hole(TOP, (100, 100), (HoleStep(8, 2, cone_deg=90), HoleStep(4, 18)), through=True, slot=(6.0, 8.0)),),
        PI * 2 / 3 * (16 + 8 + 4) + PI * 4 * 16 + 10 * (2 * 6 + 16 * 4),
    ),
    "hole that leans 45 degrees through": (
        (Hole(TOP, (100, 100), (HoleStep(5, 1),), axis=(ROOT, 0.0, -ROOT), through=True),),
        PI * 6.25 / ROOT * 18,
    ),
    "hole half over the edge": ((drilled(TOP, 100, 0, 10, 9),), PI * 25 / 2 * 9),
    "hole with its mouth on the floor of a dado": (
        (across(TOP, 100, 18, 300, 6), drilled(Datum(Frame((0, 0, 12)), "+z"), 100, 150, 8, 5)),
        18 * 6 * 300 + PI * 16 * 5,
    ),
    "hole from the face through the floor of a dado": (
        (across(TOP, 100, 18, 300, 6), drilled(TOP, 100, 150, 8, 10)),
        18 * 6 * 300 + PI * 16 * 4,
    ),
    "two holes that overlap": ((drilled(TOP, 100, 100, 8, 6), drilled(TOP, 100, 100, 8, 10)), PI * 16 * 10),
    "holes that cross inside": (
        (drilled(TOP, 100, 9, 6, 18, through=True), drilled(near_edge(), 100, 9, 6, 18)),
        PI * 9 * 36 - 16 * 27 / 3,
    ),
    "chamfer": (
        (Profile((0, 0, 18), (600, 0, 18), (0, -1, 0), (0, 0, 1), (Vertex(0, 0), Vertex(-5, 0), Vertex(0, -5))),),
        5 * 5 / 2 * 600,
    ),
    "rounded arris": (
        (Profile((0, 0, 18), (600, 0, 18), (0, -1, 0), (0, 0, 1), (Vertex(0, 0), Vertex(-5, 0, -math.tan(PI / 8)), Vertex(0, -5))),),
        (1 - PI / 4) * 25 * 600,
    ),
    "stopped chamfer with run-out": (
        (Profile((100, 0, 18), (500, 0, 18), (0, -1, 0), (0, 0, 1), (Vertex(0, 0), Vertex(-5, 0), Vertex(0, -5)), 10, 20),),
        5 * 5 / 2 * 430,
    ),
}


@pytest.mark.parametrize("name", BY_HAND)
def test_volume_taken_off_is_the_one_worked_by_hand(name):
    geometry, expected = BY_HAND[name]
    assert removed(*geometry) == pytest.approx(expected, rel=1e-9, abs=1e-4)
