"""A part built again from what its sheet says, and from nothing else, is the part."""

from pathlib import Path

import manifold3d
import numpy as np
import pytest
from drawn_parts import SAMPLES
from rebuild import Reader, rebuild

from build123.drawing.dxf import render
from build123.drawing.sheet import SheetAbout, draw_part, hands, part_sheets
from build123.kernel.solids import solid_of
from build123.kernel.union import _Blank, _cutters
from build123.pipeline import compile_file

AGREE_MM = 0.01
GALLERY = sorted((Path(__file__).parents[2] / "specs").glob("*.yaml"))


def body(piece):
    """The blank less its features, as a mesh whose arcs are followed to a few thousandths of a millimetre."""
    blank = manifold3d.Manifold.cube((piece.length_mm, piece.width_mm, piece.thickness_mm))
    cuts = [cut for f in piece.features for cut in _cutters(f.geometry, _Blank(piece))]
    return manifold3d.Manifold.batch_boolean([blank, *cuts], manifold3d.OpType.Subtract)


def slivers(one, two):
    """Depth of every piece that one has and the other has not: twice volume over area."""
    pieces = [p for d in (one - two, two - one) for p in d.decompose()]
    return [2 * p.volume() / p.surface_area() for p in pieces if p.volume() > 1e-6]


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
            data = render(sheets[parts[0].name], design.units)
            again = body(rebuild(data))
            assert differs(body(parts[0]), again) < AGREE_MM, parts[0].name
            if others:
                mirrored = again.mirror(Reader(data).mirror())
                size = np.array([parts[0].length_mm, parts[0].width_mm, parts[0].thickness_mm])
                mirrored = mirrored.translate(list(size * np.abs(Reader(data).mirror())))
                assert differs(body(others[0]), mirrored) < AGREE_MM, others[0].name
