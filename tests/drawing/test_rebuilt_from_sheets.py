"""A part built again from what its sheet says, and from nothing else, is the part."""

import io
import math
from collections import Counter
from pathlib import Path

import ezdxf
import manifold3d
import numpy as np
import pytest
from drawn_parts import SAMPLES, UNDER, face, feature, part, right_end, side
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st
from reading_sheets import clashes, covers
from rebuild import Reader, rebuild

from build123.drawing.dxf import render
from build123.drawing.sheet import SheetAbout, draw_part, hands, part_sheets
from build123.kernel.solids import solid_of
from build123.kernel.union import _Blank, _cutters
from build123.model.feature import EndKind, Hole, HoleStep, Pocket, Trench, TrenchEnd, Trim, Vertex
from build123.model.frame import Plane, dot, unit
from build123.pipeline import compile_file

AGREE_MM = 0.01
SPECK_MM3 = 0.05
"""The smallest wall that is cut, a hole of 5 mm 10 deep, moved by 0.01 mm leaves three times that."""
GALLERY = sorted((Path(__file__).parents[2] / "specs").glob("*.yaml"))


def body(piece):
    """The blank less its features, as a mesh whose arcs are followed to a few thousandths of a millimetre."""
    blank = manifold3d.Manifold.cube((piece.length_mm, piece.width_mm, piece.thickness_mm))
    cuts = [cut for f in piece.features for cut in _cutters(f.geometry, _Blank(piece))]
    return manifold3d.Manifold.batch_boolean([blank, *cuts], manifold3d.OpType.Subtract)


def slivers(one, two):
    """Depth of every piece that one has and the other has not: twice volume over area. What is less than a grain of sand is none."""
    pieces = [p for d in (one - two, two - one) if d.volume() > SPECK_MM3 for p in d.decompose()]
    return [2 * p.volume() / p.surface_area() for p in pieces if p.volume() > SPECK_MM3 / 100]


def differs(one, two):
    """How far two bodies differ at most, mm."""
    a, b = np.array(one.bounding_box()), np.array(two.bounding_box())
    return max([float(np.abs(a - b).max()), *slivers(one, two)])


def sheet_of(piece, units):
    return render(draw_part([piece], SheetAbout("x", units)), units)


@pytest.mark.parametrize("units", ["mm", "in"])
@pytest.mark.parametrize("make", SAMPLES, ids=lambda make: make.__name__)
def test_every_kind_of_feature(make, units):
    assert differs(body(make()), body(rebuild(sheet_of(make(), units)))) < AGREE_MM


@pytest.mark.parametrize("path", GALLERY, ids=lambda path: path.stem)
def test_every_part_of_the_gallery_and_its_opposite_hand(path):
    for compiled in compile_file(path, dry=False):
        design = compiled.design
        sheets = part_sheets(design, failed=False)
        for parts, others in hands(design):
            read = Reader(render(sheets[parts[0].name], design.units))
            again = body(read.part())
            assert differs(body(parts[0]), again) < AGREE_MM, parts[0].name
            assert solid_of(parts[0]).Volume() == pytest.approx(again.volume(), rel=1e-4), parts[0].name
            if others:
                axis = np.array(read.mirror())
                mirrored = again.mirror(axis).translate(np.array(read.size) * axis)
                assert differs(body(others[0]), mirrored) < AGREE_MM, others[0].name


@st.composite
def parts(draw):
    """Parts with any kinds of feature anywhere, as a spec would give them: sizes to a hundredth."""
    mm = lambda low, high: round(draw(st.floats(low, high)), 2)  # noqa: E731
    length, width, thick = mm(150, 1500), mm(80, 500), mm(12, 40)
    top, under = face(thick), UNDER
    features = []

    def add(shape, label):
        features.append(feature(shape, f"{label} {len(features)}", label, f"part {len(features)}"))

    x = 10.0
    for _ in range(draw(st.integers(0, 4))):
        x += mm(25, 200)
        wide = mm(4, 20)
        if x + wide + 10 > length:
            break
        stops = [
            draw(st.sampled_from([TrenchEnd(), TrenchEnd(EndKind.square), TrenchEnd(EndKind.round, round(wide / 2.5, 2))])) for _ in "ab"
        ]
        ends = [mm(8, width / 3), width - mm(8, width / 3)]
        start, end = (at if stop.kind is not EndKind.open else rim for at, stop, rim in zip(ends, stops, (0.0, width), strict=True))
        lean = draw(st.sampled_from([0.0, 0.0, 7.5, -4.0])) if all(s.kind is EndKind.open for s in stops) else 0.0
        datum, y = (top, 1) if draw(st.booleans()) else (under, -1)
        trench = Trench(datum, (x + wide / 2, y * start), (x + wide / 2, y * end), wide, mm(2, thick / 2.5), *stops, lean_deg=lean)
        add(trench, "dado")
    for edge in draw(st.sets(st.sampled_from(["front", "back"]))):
        wide = mm(3, 12)
        y = wide / 2 if edge == "front" else width - wide / 2
        add(Trench(top, (0, y), (length, y), wide, mm(2, thick / 3), open_left=edge == "back", open_right=edge == "front"), "rabbet")
    if draw(st.booleans()):
        a = math.radians(mm(20, 70))
        long = mm(20, 40)
        cx, cy = length / 2, width / 2
        run = (long * math.cos(a), long * math.sin(a) * draw(st.sampled_from([1, -1])))
        ends = [TrenchEnd(EndKind.square)] * 2
        add(Trench(top, (cx - run[0] / 2, cy - run[1] / 2), (cx + run[0] / 2, cy + run[1] / 2), mm(4, 10), mm(2, 5), *ends), "slanted dado")
    for _ in range(draw(st.integers(0, 9))):
        at = (mm(12, length - 12), mm(12, width - 12))
        kind = draw(st.sampled_from(["plain", "countersunk", "slot", "leaning", "stepped", "through"]))
        d = mm(3, 9)
        deep = mm(4, thick - 1)
        shape = {
            "plain": Hole(top, at, (HoleStep(d, deep),)),
            "through": Hole(top, at, (HoleStep(d, thick),), through=True),
            "countersunk": Hole(top, at, (HoleStep(2 * d, round(d / 2, 2), 90), HoleStep(d, thick)), through=True),
            "slot": Hole(top, at, (HoleStep(d, thick),), through=True, slot=draw(st.sampled_from([(6.0, 0.0), (0.0, 8.0)]))),
            "leaning": Hole(top, at, (HoleStep(d, deep),), axis=(math.sin(math.radians(12)), 0, -math.cos(math.radians(12)))),
            "stepped": Hole(top, at, (HoleStep(round(d + 5, 2), 3.0), HoleStep(d, deep)), tip_deg=118),
        }[kind]
        add(shape, f"{kind} hole")
    if draw(st.booleans()):
        add(Hole(right_end(length), (mm(12, width - 12), thick / 2), (HoleStep(6, 20),)), "dowel hole")
    if draw(st.booleans()):
        x, y = mm(20, length - 60), mm(20, width - 45)
        corners = ((x, y), (x + 30, y), (x + 30, y + 20), (x, y + 20))
        bulges = draw(st.sampled_from([(0, 0, 0, 0), (0, 1, 0, 1), (0, 0.3, 0, 0)]))
        outline = tuple(Vertex(*c, b) for c, b in zip(corners, bulges, strict=True))
        add(Pocket(top, outline, depth_mm=draw(st.sampled_from([None, 5.5]))), "mortise")
    cut = draw(st.sampled_from(["none", "mitre", "rake", "arris", "both ways"]))
    if cut != "none":
        a = math.radians(mm(3, 20))
        normal, on = {
            "mitre": ((math.cos(a), math.sin(a), 0.0), (length, 0.0, 0.0)),
            "rake": ((-math.cos(a), 0.0, math.sin(a)), (0.0, 0.0, 0.0)),
            "arris": ((0.0, -math.sqrt(0.5), math.sqrt(0.5)), (0.0, mm(3, 8), thick)),
            "both ways": (unit((math.cos(a), math.sin(a), 0.15)), (length, 0.0, thick)),
        }[cut]
        add(Trim(Plane(normal, dot(normal, on))), "trim")
    return part("board", length, width, thick, features)


def agrees(piece, units):
    sheet = draw_part([piece], SheetAbout("x", units))
    assert clashes(sheet) == []
    counts = Counter((c.feature, c.size) for c in covers(sheet))
    assert set(counts.values()) == {1}
    assert differs(body(piece), body(rebuild(render(sheet, units)))) < AGREE_MM


# A failing part is small enough as it is; to shrink it takes minutes.
@settings(max_examples=15, deadline=None, derandomize=True, phases=[Phase.generate], suppress_health_check=list(HealthCheck))
@given(parts(), st.sampled_from(["mm", "in"]))
def test_random_parts_are_legible_and_whole(piece, units):
    agrees(piece, units)


@pytest.mark.nightly
@settings(max_examples=600, deadline=None, phases=[Phase.generate], suppress_health_check=list(HealthCheck))
@given(parts(), st.sampled_from(["mm", "in"]))
def test_many_random_parts_are_legible_and_whole(piece, units):
    agrees(piece, units)


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("3 × dado, slip fit to shelf 1,", "3 × dado, each wall flares 1°, slip"),
        ("2 × dowel hole Ø8 × 12 deep", "2 × dowel hole Ø8 × 12.03 deep"),
        ("of the front edge, corners R5;", "of the front edge, corners R6;"),
        ("rabbet along the back edge;", "rabbet along the front edge;"),
    ],
)
def test_other_words_make_another_part(old, new):
    data = sheet_of(side(), "mm").decode()
    assert old in data
    assert differs(body(side()), body(rebuild(data.replace(old, new).encode()))) > AGREE_MM


@pytest.mark.parametrize("mm", [60.0, 470.0, 740.0, 10.0, 18.15, 6.2])
def test_a_dimension_that_measures_something_else_makes_another_part(mm):
    doc = ezdxf.read(io.StringIO(sheet_of(side(), "mm").decode()))
    moved = [d for d in doc.modelspace().query("DIMENSION") if abs(d.get_measurement() * d.get_dim_style().dxf.dimlfac - mm) < 1e-6]
    assert moved
    for d in moved:
        k = 0 if d.dxf.angle == 0 else 1
        d.dxf.defpoint3 = [c + 0.05 / d.get_dim_style().dxf.dimlfac * (n == k) for n, c in enumerate(d.dxf.defpoint3)]
    out = io.StringIO()
    doc.write(out)
    assert differs(body(side()), body(rebuild(out.getvalue().encode()))) > AGREE_MM
