"""Every feature is located and sized, each size once, and what the figures say is what is drawn."""

from collections import Counter
from fractions import Fraction

import pytest
from drawn_parts import SAMPLES, all_kinds, face, feature, part, pin_side, raked_shelf, shelf, side
from reading_sheets import covers, dimensions, texts

from build123.drawing.sheet import SheetAbout, draw_part
from build123.drawing.vocabulary import Table
from build123.model.feature import EndKind, Hole, HoleStep, Mark, Pocket, Profile, Trench, Trim


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
            sizes = ["depth", "u1", "v1"] if feature.about.label == "notch" else ["depth", "outline"]
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
        assert (d.kind == "reference") == d.label.text.startswith("(")
        written = sum(Fraction(word) for word in d.label.text.strip("()Ø").split()) * (Fraction("25.4") if units == "in" else 1)
        # Half of the last figure, 0.01 mm or 0.0005 in.
        assert float(written) == pytest.approx(d.value_mm, abs=0.0064 if units == "in" else 0.00501)


def test_a_side_is_laid_out_from_one_end_and_from_the_front_edge():
    across = sorted(d.value_mm for _, d in dimensions(drawn(side)) if d.along == "x" and d.kind == "running")
    up = sorted(d.value_mm for _, d in dimensions(drawn(side)) if d.along == "y" and d.kind == "running")
    assert across == pytest.approx([60, 260, 470, 620, 740])
    assert up == pytest.approx([10, 50, 200])
    assert sorted(d.label.text for _, d in dimensions(drawn(side)) if d.kind == "overall") == ["18.1", "300", "764"]


def test_sections_give_width_and_depth_and_say_what_fits_there():
    sheet = drawn(side)
    cuts = {v.key: (v.title, sorted(d.value_mm for w, d in dimensions(sheet) if w is v)) for v in sheet.views if "section" in v.key}
    assert cuts["section A"] == ("3 × dado, slip fit to shelf 1, shelf 2, shelf 3", [6, 18.15])
    assert cuts["section B"] == ("stopped dado, stopped short of the front edge, corners R5; for top shelf", [6, 18.15])
    assert cuts["section C"] == ("rabbet along the back edge; for back", pytest.approx([6.2, 10]))
    notes = set(texts(sheet, "note"))
    assert {"2 × dowel hole Ø8 × 12 deep", "for rail"} <= notes
    assert {"A shelf 1", "A shelf 2", "A shelf 3", "B top shelf", "C back"} <= notes


def test_a_stepped_hole_is_drawn_in_section():
    sheet = drawn(all_kinds)
    cut = next(v for v in sheet.views if v.title == "clearance hole, through, countersunk 90°; for top")
    assert sorted(d.label.text for v, d in dimensions(sheet) if v is cut) == ["5", "Ø10", "Ø5"]


def test_clear_openings_stand_in_brackets():
    found = {d.label.text: d.value_mm for _, d in dimensions(drawn(side)) if d.kind == "reference"}
    # 260 - (60 + 18.15) and 470 - (260 + 18.15), by hand; 620 - (470 + 18.15) to the stopped one.
    assert found == {"(181.85)": pytest.approx(181.85), "(191.85)": pytest.approx(191.85), "(131.85)": pytest.approx(131.85)}


def test_the_waste_is_crossed_inside_each_near_shoulder():
    sheet = drawn(side)
    face = sheet.views[0]
    crosses = {g.features[0]: g.items for g in face.groups if g.role == "mark" and g.features}
    assert set(crosses) == {f.about.id for f in side().features if isinstance(f.geometry, Trench)}
    for number, near in enumerate((60, 260, 470), 1):
        for line in crosses[f"dado: shelf {number} in left side"]:
            for x, _ in (line.start, line.end):
                assert near < (x - face.origin[0]) / face.scale < near + 18.15


def test_outlines_that_no_few_dimensions_give_have_a_table_of_corners():
    tables = {i.title: i.rows for g in drawn(all_kinds).groups for i in g.items if isinstance(i, Table)}
    assert tables["B: corners"][0] == ("corner", "from bottom end", "from front edge", "to the next corner")
    # The arch is a quarter circle at either side; a quarter of radius 20 rises 20 (1 - cos 45) = 5.858 over its chord.
    assert ("2", "200", "10", "round, rise 5.86 (R20)") in tables["B: corners"]
    assert tables["E: wall, cut on its top end side"][1][3] == "stopped"


def test_slanting_trenches_alike_are_told_apart_by_what_goes_into_them():
    def slanting(x, member):
        return feature(Trench(face(18), (x, 0), (x + 20, 90), 18, 6), f"dado: {member}", "dado", member)

    raked = part("side", 700, 90, 18, (slanting(100, "shelf 2"), slanting(400, "shelf 1")))
    titles = {i.title for g in draw_part((raked,), SheetAbout("Rack", "mm")).groups for i in g.items if isinstance(i, Table)}
    assert {title.partition(":")[0] for title in titles if "wall" in title} == {"A shelf 1", "A shelf 2"}


def test_a_notch_is_given_by_its_corner():
    across = sorted(d.value_mm for v, d in dimensions(drawn(shelf)) if d.along == "x" and d.kind == "running" and v.key == "face")
    assert across == pytest.approx([6, 758])


def test_long_and_short_points_of_a_raked_shelf():
    # 20 mm at 10 degrees: 20 tan 10 = 3.5265 (worked by hand).
    points = sorted(d.value_mm for v, d in dimensions(drawn(raked_shelf)) if d.kind == "running" and v.key == "front edge")
    assert points == pytest.approx([3.5265, 572.4735], abs=1e-4)
    said = {*texts(drawn(raked_shelf), "note"), *(v.title for v in drawn(raked_shelf).views)}
    assert {"trim left end, short point at the top face (10°)", "trim right end, short point at the bottom face (10°)"} <= said
    assert "dado 18 wide square to its walls, walls lean 10°, deeper towards the left end; for divider" in said


def test_rows_of_holes_are_one_line_of_a_table():
    tables = [i for g in drawn(pin_side).groups for i in g.items if isinstance(i, Table)]
    holes = next(t for t in tables if t.title == "holes, right face")
    assert holes.rows[0] == ("hole", "from bottom end", "from front edge")
    assert holes.rows[1] == ("B1–B30", "200, then 29 more, 32 apart", "37")
    assert holes.rows[3] == ("C1", "1500", "200")


def test_a_pitch_that_would_add_up_is_given_by_its_ends():
    d = face(18)
    row = [feature(Hole(d, (100 + 1000 / 7 * k, 37), (HoleStep(5, 10),)), f"pin {k}", "shelf pin hole") for k in range(8)]
    sheet = draw_part([part("side", 1300, 400, 18, row)], SheetAbout("x", "mm"))
    holes = next(i for g in sheet.groups for i in g.items if isinstance(i, Table) and i.title.startswith("holes"))
    assert holes.rows[1][1] == "100 to 1100 in 7 equal steps"
