"""The volume by another road agrees with a calculation by hand, and with the solid."""

from __future__ import annotations

import math

import pytest
from wood import across, board, drilled, far_end, near_edge, rectangle, top, under

from build123.kernel.solids import solid_of
from build123.kernel.union import union_volume_mm3
from build123.model.feature import Datum, EndKind, Geometry, Hole, HoleStep, Mark, Pocket, Profile, Trench, TrenchEnd, Trim, Vertex
from build123.model.frame import Frame, Plane

PI, ROOT = math.pi, math.sqrt(0.5)
TOP = top(18)
SQUARE, ROUND, SCOOP = TrenchEnd(EndKind.square), TrenchEnd(EndKind.round, 4.0), TrenchEnd(EndKind.scoop, 50.0)
BULGED = (Vertex(50, 30), Vertex(90, 30, 1.0), Vertex(90, 60), Vertex(50, 60, 1.0))
FAR = tuple(Vertex(70 + (v.x - 70) * 0.8, 45 + (v.y - 45) * 0.8, v.bulge) for v in BULGED)
SLANTED = Datum(Frame((382, 0, 18), (0, 1, 0), (-ROOT, 0, ROOT), (ROOT, 0, ROOT)), "trim")

BY_HAND: list[tuple[str, tuple[Geometry, ...], float]] = [
    ("dado", (across(TOP, 200, 18, 100, 6),), 18 * 100 * 6),
    ("dado below", (Trench(under(), (200, -100), (200, 0), 18, 6),), 18 * 100 * 6),
    (
        "dado across a rabbet",
        (across(TOP, 200, 18, 100, 6), Trench(TOP, (0, 97), (400, 97), 6, 6, open_left=True)),
        6 * (18 * 100 + 400 * 6 - 18 * 6),
    ),
    ("stopped dado", (Trench(TOP, (200, 0), (200, 70), 18, 6, end_end=SQUARE),), 18 * 70 * 6),
    ("open end within the wood", (Trench(TOP, (200, 10), (200, 70), 18, 6),), 18 * 60 * 6),
    ("round ends", (Trench(TOP, (100, 50), (200, 50), 8, 6, ROUND, ROUND),), 6 * (92 * 8 + PI * 16)),
    ("leaning dado", (across(TOP, 200, 18, 100, 6, lean_deg=20),), 18 / math.cos(math.radians(20)) * 100 * 6),
    ("dovetail way", (across(TOP, 200, 18, 100, 6, flare_deg=8),), 100 * 6 * (18 + 6 * math.tan(math.radians(8)))),
    ("biscuit slot", (Trench(near_edge(), (150, 9), (220, 9), 4, 12, SCOOP, SCOOP),), 0.0),
    ("pocket", (Pocket(TOP, rectangle(50, 20, 120, 60), depth_mm=9),), 70 * 40 * 9),
    (
        "round pocket with an island",
        (Pocket(TOP, BULGED, islands=(rectangle(60, 40, 70, 50),), depth_mm=9),),
        9 * (40 * 30 + PI * 225 - 100),
    ),
    ("through pocket", (Pocket(TOP, rectangle(50, 20, 120, 60)),), 70 * 40 * 18),
    ("tapered through pocket", (Pocket(TOP, rectangle(50, 20, 70, 30), far_outline=rectangle(48, 20, 72, 30)),), 22 * 10 * 18),
    ("tapered round pocket", (Pocket(TOP, BULGED, depth_mm=9, far_outline=FAR),), 9 * (40 * 30 + PI * 225) * (1 + 0.8 + 0.64) / 3),
    ("hole", (drilled(TOP, 100, 50, 8, 12),), PI * 16 * 12),
    ("hole in an end", (drilled(far_end(400), 50, 9, 8, 20, tip_deg=118),), PI * 16 * (20 + 4 / math.tan(math.radians(59)) / 3)),
    ("through hole", (drilled(TOP, 100, 50, 8, 18, through=True),), PI * 16 * 18),
    (
        "countersunk screw hole",
        (Hole(TOP, (100, 50), (HoleStep(10, 3, 90.0), HoleStep(4, 18)), through=True),),
        PI / 3 * 3 * (25 + 10 + 4) + PI * 4 * 15,
    ),
    ("slotted hole", (Hole(TOP, (100, 50), (HoleStep(5, 18),), through=True, slot=(6, 0)),), 18 * (PI * 6.25 + 30)),
    ("leaning hole", (Hole(TOP, (100, 50), (HoleStep(6, 10),), axis=(0.6, 0, -0.8)),), PI * 9 * 10),
    ("mitre", (Trim(Plane((ROOT, 0.0, ROOT), ROOT * 400)),), 18 * 18 / 2 * 100),
    (
        "hole in a mitre",
        (Trim(Plane((ROOT, 0, ROOT), ROOT * 400)), Hole(SLANTED, (50, -12), (HoleStep(5, 6),))),
        18 * 18 / 2 * 100 + PI * 6.25 * 6,
    ),
    ("chamfer", (Profile((0, 0, 18), (400, 0, 18), (0, -1, 0), (0, 0, 1), (Vertex(0, 0), Vertex(-5, 0), Vertex(0, -5))),), 12.5 * 400),
    (
        "round over",
        (
            Profile(
                (0, 0, 18),
                (400, 0, 18),
                (0, -1, 0),
                (0, 0, 1),
                (Vertex(0, 0), Vertex(-6, 0, -math.tan(PI / 8)), Vertex(0, -6)),
            ),
        ),
        (36 - PI * 9) * 400,
    ),
    ("mark", (Mark(TOP, points=((5, 5),)),), 0.0),
]


@pytest.mark.parametrize(
    ("geometry", "removed"),
    [case[1:] for case in BY_HAND if case[0] != "biscuit slot"],
    ids=[c[0] for c in BY_HAND if c[0] != "biscuit slot"],
)
def test_the_volume_is_what_a_calculation_by_hand_says(geometry: tuple[Geometry, ...], removed: float) -> None:
    assert union_volume_mm3(board(400, 100, 18, *geometry)) == pytest.approx(400 * 100 * 18 - removed, abs=2e-4 * removed + 0.01)


@pytest.mark.parametrize("geometry", [case[1] for case in BY_HAND], ids=[c[0] for c in BY_HAND])
def test_the_solid_has_the_same_volume(geometry: tuple[Geometry, ...]) -> None:
    part = board(400, 100, 18, *geometry)
    volume = solid_of(part).Volume()
    removed = 400 * 100 * 18 - volume
    assert union_volume_mm3(part) == pytest.approx(volume, abs=2e-4 * removed + 0.01)
