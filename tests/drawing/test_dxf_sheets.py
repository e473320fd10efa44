"""The DXF of a sheet: real dimensions of true size, sound for a reader that is not ours, the same every time."""

import hashlib
import io
import os
import subprocess
import sys
from pathlib import Path

import ezdxf
import pytest
from drawn_parts import SAMPLES, all_kinds, part, side
from reading_sheets import dimensions, texts

from build123.drawing.dxf import printed, render
from build123.drawing.sheet import SheetAbout, draw_part

HERE = Path(__file__).parent
PROGRAM = """
import hashlib, sys
sys.path.insert(0, sys.argv[1])
from drawn_parts import all_kinds
from build123.drawing.dxf import render
from build123.drawing.sheet import SheetAbout, draw_part
print(hashlib.sha256(render(draw_part([all_kinds()], SheetAbout("x", "mm")), "mm")).hexdigest())
"""


def read(sheet, units="mm"):
    return ezdxf.read(io.StringIO(render(sheet, units).decode("utf-8")))


def shown(dimension):
    """What a CAD program prints for a dimension."""
    factor = dimension.get_dim_style().dxf.dimlfac
    return dimension.dxf.text or printed(dimension.get_measurement() * factor, "in" if factor < 0.5 else "mm")


@pytest.mark.parametrize("units", ["mm", "in"])
@pytest.mark.parametrize("make", SAMPLES, ids=lambda make: make.__name__)
def test_the_auditor_finds_nothing(make, units):
    audit = read(draw_part([make()], SheetAbout("x", units)), units).audit()
    assert (audit.errors, audit.fixes) == ([], [])


@pytest.mark.parametrize("units", ["mm", "in"])
@pytest.mark.parametrize("make", SAMPLES, ids=lambda make: make.__name__)
def test_every_dimension_is_real_measures_the_wood_and_prints_our_figure(make, units):
    sheet = draw_part([make()], SheetAbout("x", units))
    found = read(sheet, units).modelspace().query("DIMENSION")
    ours = [d for _, d in dimensions(sheet)]
    assert [shown(d) for d in found] == [d.label.text for d in ours]
    unit = 25.4 if units == "in" else 1.0
    measured = [d.get_measurement() * d.get_dim_style().dxf.dimlfac * unit for d in found]
    assert measured == pytest.approx([d.value_mm for d in ours], abs=1e-6)
    assert all(d.get_geometry_block() is not None for d in found)


def test_the_worked_face_lies_at_the_origin_in_full_size():
    doc = read(draw_part([side()], SheetAbout("x", "mm")))
    assert doc.header["$INSUNITS"] == 4
    lines = [p for line in doc.modelspace().query("LWPOLYLINE") if line.dxf.layer.endswith("VISIBLE") for p in line.get_points("xy")]
    assert {(0.0, 0.0), (764.0, 300.0)} <= {(round(x, 6) + 0.0, round(y, 6) + 0.0) for x, y in lines}


def test_text_leaders_and_tables_are_there():
    sheet = draw_part([all_kinds()], SheetAbout("x", "mm"))
    doc = read(sheet)
    assert set(texts(sheet, "note", "table", "title")) <= {t.dxf.text for t in doc.modelspace().query("TEXT")}
    assert len(doc.modelspace().query("LEADER")) > 3
    assert all(t.dxf.layer == "TEXT" for t in doc.modelspace().query("TEXT"))


def test_what_shows_a_feature_is_a_group_with_its_id():
    doc = read(draw_part([side()], SheetAbout("x", "mm")))
    groups = {group.dxf.description: [e.dxftype() for e in group] for _, group in doc.groups}
    # Its position on the face, its width and depth in the section.
    assert groups["dado: shelf 2 in left side"].count("DIMENSION") == 3
    assert groups["dowel hole at 50"].count("DIMENSION") == 2
    assert "face: right face (worked face)" in groups and "section A: 3 × dado, slip fit to shelf 1, shelf 2, shelf 3" in groups


def test_line_types_and_widths_are_layers():
    doc = read(draw_part([side()], SheetAbout("x", "mm")))
    widths = {layer.dxf.name: layer.dxf.lineweight for layer in doc.layers}
    assert widths["01.2 VISIBLE"] == 50 and widths["02.1 HIDDEN"] == 25
    assert doc.layers.get("02.1 HIDDEN").dxf.linetype == "SHEET_HIDDEN"
    assert {e.dxf.linetype for e in doc.modelspace()} == {"BYLAYER"}


def test_names_cannot_turn_into_control_codes():
    piece = part("50%%c of ^I \\U+0041 it\nand\x00 on", 400, 200, 18, [])
    doc = read(draw_part([piece], SheetAbout("x", "mm")))
    assert any("50% %c of" in t.dxf.text for t in doc.modelspace().query("TEXT"))
    assert doc.audit().errors == []


def test_the_order_of_hashes_does_not_show():
    digests = set()
    for seed in ("1", "2"):
        ran = subprocess.run(
            [sys.executable, "-c", PROGRAM, str(HERE)],
            env={**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": str(HERE.parents[1])},
            capture_output=True,
            text=True,
            check=True,
        )
        digests.add(ran.stdout.strip())
    assert digests == {hashlib.sha256(render(draw_part([all_kinds()], SheetAbout("x", "mm")), "mm")).hexdigest()}
