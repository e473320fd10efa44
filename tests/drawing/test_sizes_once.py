"""Every feature is located and sized, each size once, and what the figures say is what is drawn."""

from collections import Counter
from fractions import Fraction

import pytest
from drawn_parts import SAMPLES, pin_side, raked_shelf, shelf, side
from reading_sheets import covers, dimensions, texts

from build123.drawing.sheet import SheetAbout, draw_part
from build123.drawing.vocabulary import Table
from build123.model.feature import EndKind, Hole, Mark, Pocket, Profile, Trench, Trim


def drawn(make, units="mm"):
    return draw_part([make()], SheetAbout("Seed cabinet", units))


def wanted(feature):
    """Sizes that a maker needs to cut a feature; positions of outlines are looked at by hand below."""
    id, shape = feature.about.id, feature.geometry
    match shape:
        case Trench():
            closed = {"start": shape.start_end, "end": shape.end_end}
            sizes = ["width", "depth", *(name for name, end in closed.items() if end.kind is not EndKind.open)]
            oblique = shape.start[0] != shape.end[0] and shape.start[1] != shape.end[1]
            rabbet = shape.open_left or shape.open_right
            sizes += [] if rabbet else ["position at the start", "position at the end"] if oblique else ["position"]
            sizes += ["lean"] if shape.lean_deg else []
        case Hole():
            sizes = ["across u", "across v", "diameter", "depth"]
        case Pocket():
            sizes = ["depth", "u1", "v1"]
        case Trim():
            sizes = ["angle"]
        case Profile():
            sizes = ["section"]
        case Mark():
            sizes = []
    return {(id, size) for size in sizes}


@pytest.mark.parametrize("units", ["mm", "in"])
@pytest.mark.parametrize("make", SAMPLES, ids=lambda make: make.__name__)
def test_each_size_is_given_exactly_once(make, units):
    counts = Counter((c.feature, c.size) for c in covers(drawn(make, units)))
    assert {key for key, count in counts.items() if count != 1} == set()
    need = {size for f in make().features for size in wanted(f)} | {("part", size) for size in ("length", "width", "thickness")}
    assert need - set(counts) == set()


@pytest.mark.parametrize("units", ["mm", "in"])
@pytest.mark.parametrize("make", SAMPLES, ids=lambda make: make.__name__)
def test_figures_say_what_is_drawn(make, units):
    for view, d in dimensions(drawn(make, units)):
        k = 0 if d.along == "x" else 1
        assert abs(d.b[k] - d.a[k]) == pytest.approx(d.value_mm * view.scale, abs=1e-6)
        written = sum(Fraction(word) for word in d.label.text.split()) * (Fraction("25.4") if units == "in" else 1)
        assert float(written) == pytest.approx(d.value_mm, abs=0.051 if d.kind == "running" else 0.013)


def test_a_side_is_laid_out_from_one_end_and_from_the_front_edge():
    across = sorted(d.value_mm for _, d in dimensions(drawn(side)) if d.along == "x" and d.kind == "running")
    up = sorted(d.value_mm for _, d in dimensions(drawn(side)) if d.along == "y" and d.kind == "running")
    assert across == pytest.approx([60, 260, 470, 620, 740])
    assert up == pytest.approx([10, 50, 200])
    assert sorted(d.label.text for _, d in dimensions(drawn(side)) if d.kind == "overall") == ["18.1", "300", "764"]


def test_notes_say_width_depth_fit_and_which_way_a_depth_goes():
    said = texts(drawn(side), "table")
    assert "dado 18.15 wide × 6 deep, slip fit" in said
    assert "stopped dado 18.15 wide × 6 deep, end corners R5" in said
    assert "rabbet 6.2 in from the edge × 10 into the face" in said
    assert "dowel hole Ø8 × 12 deep" in said
    assert {"A shelf 1", "A shelf 2", "A shelf 3", "B top shelf", "C back", "D (2×) rail"} <= set(texts(drawn(side), "note"))


def test_a_notch_is_given_by_its_corner():
    across = sorted(d.value_mm for v, d in dimensions(drawn(shelf)) if d.along == "x" and d.kind == "running" and v.key == "face")
    assert across == pytest.approx([6, 758])


def test_long_and_short_points_of_a_raked_shelf():
    # 20 mm at 10 degrees: 20 tan 10 = 3.5265 (worked by hand).
    points = sorted(d.value_mm for v, d in dimensions(drawn(raked_shelf)) if d.kind == "running" and v.key == "front edge")
    assert points == pytest.approx([3.5265, 572.4735], abs=1e-4)
    table = next(i for g in drawn(raked_shelf).groups for i in g.items if isinstance(i, Table))
    words = " ".join(row[1] for row in table.rows)
    assert "(10°) off square through the thickness" in words and "walls lean 10°, deeper towards the left end" in words


def test_rows_of_holes_are_one_line_of_a_table():
    tables = [i for g in drawn(pin_side).groups for i in g.items if isinstance(i, Table)]
    holes = next(t for t in tables if t.title == "holes, right face")
    assert holes.rows[0] == ("hole", "from bottom end", "from front edge")
    assert holes.rows[1] == ("B1–B30", "200, then 29 more, 32 apart", "37")
    assert holes.rows[3] == ("C1", "1500", "200")
