"""The sheets of the whole piece: legible, whole, and true to the solids."""

import itertools
import math
import time
from functools import cache
from pathlib import Path

import numpy as np
import pytest
import shapely
from pictured import hits, triangles, wires_of
from reading_sheets import clashes, dimensions, labels, texts

from build123.drawing.lettering import label_box
from build123.drawing.numbers import Numbers
from build123.drawing.piece_hatch import STYLES, hatched, styles
from build123.drawing.piece_openings import openings
from build123.drawing.piece_scene import Scene, cuts, hidden_joints
from build123.drawing.piece_sheets import piece_sheets
from build123.drawing.standard import standard
from build123.drawing.svg import render
from build123.drawing.vocabulary import Circle, Leader, Line, Table
from build123.kernel import Store
from build123.pipeline import build, compile_file, compile_text

GALLERY = sorted((Path(__file__).parents[2] / "specs").glob("*.yaml"))
STORE = Store()


@cache
def made(path):
    return compile_file(path, store=STORE)[0]


@cache
def sheets(path, failed=False):
    compiled = made(path)
    return piece_sheets(compiled.design, wires_of(STORE), compiled.glue_up, failed, "0123abcd")


def rows(path):
    return [
        row
        for s in sheets(path).values()
        for g in s.groups
        for i in g.items
        if isinstance(i, Table) and i.rows[0][0] == "mark"
        for row in i.rows[1:]
    ]


def balloons(sheet):
    """(mark, body) of every mark of a pictorial."""
    groups = [g for v in sheet.views for g in v.groups if any(isinstance(i, Circle) for i in g.items) and g.role == "note"]
    return [(next(i.text for i in g.items if hasattr(i, "text")), g.features[0]) for g in groups]


def size_of(path):
    corners, _ = triangles(made(path).design, STORE)
    return np.ptp(corners.reshape(-1, 3), axis=0)


@pytest.mark.parametrize("path", GALLERY, ids=lambda path: path.stem)
def test_nothing_lies_on_anything_else(path):
    for name, sheet in sheets(path).items():
        assert clashes(sheet) == [], name


@pytest.mark.parametrize("path", GALLERY, ids=lambda path: path.stem)
def test_marks_stand_clear_of_all_lines(path):
    sheet = sheets(path)["assembly_apart"]
    for group in sheet.views[0].groups:
        for item in group.items:
            if isinstance(item, Circle) and group.role == "note":
                disc = shapely.Point(item.centre).buffer(item.radius)
                lines = [i for g in sheet.views[0].groups if g.role == "outline" for i in g.items if isinstance(i, Line)]
                assert not any(disc.intersects(shapely.LineString((line.start, line.end))) for line in lines)


@pytest.mark.parametrize("path", GALLERY, ids=lambda path: path.stem)
def test_every_part_is_on_the_list_and_has_its_mark(path):
    design, n = made(path).design, Numbers(standard(made(path).design.units).units)
    listed = {row[0]: row for row in rows(path)}
    marked = balloons(sheets(path)["assembly_apart"])
    assert {mark for mark, _ in marked} == set(listed)
    for mark, body in marked:
        part = design.by_name.get(body)
        if part is not None:
            assert listed[mark][3] == part.stock.name
            assert listed[mark][4] == " × ".join(map(n.length, (part.thickness_mm, part.width_mm, part.length_mm)))
    assert {row[1] for row in listed.values()} >= {thing.label for thing in design.hardware}
    assert not any("…" in text for sheet in sheets(path).values() for text in texts(sheet, "table")), "nothing on the list is cut off"
    counts = [int(row[2]) for row in rows(path)]
    assert sum(counts) == len(design.parts) + len(design.hardware)
    assert {
        tuple(sorted(p.name for p in same)) for same in design.kinds.values() if not any(p.name in {b for _, b in marked} for p in same)
    } == set()


@pytest.mark.parametrize("path", GALLERY, ids=lambda path: path.stem)
def test_a_leader_ends_on_what_its_mark_names(path):
    """The dot lies in the shadow of the body, within the line that is drawn about it."""
    sheet = sheets(path)["assembly_apart"]
    design = made(path).design
    drawn = {g.features[0]: g for g in sheet.views[0].groups if g.role == "outline"}
    for group in sheet.views[0].groups:
        if group.role == "note":
            tip = next(i.points[0] for i in group.items if isinstance(i, Leader))
            points = [p for i in drawn[group.features[0]].items for p in (_ends(i))]
            assert shapely.MultiPoint(points).convex_hull.buffer(0.5).contains(shapely.Point(tip)), group.features
    assert len(drawn) <= len(design.parts) + len(design.hardware)


def _ends(item):
    if isinstance(item, Line):
        return [item.start, item.end]
    if hasattr(item, "points"):
        return [p[:2] for p in item.points]
    return [(item.centre[0] + dx, item.centre[1] + dy) for dx in (-item.radius, item.radius) for dy in (-item.radius, item.radius)]


@pytest.mark.parametrize("path", GALLERY, ids=lambda path: path.stem)
def test_overall_sizes_are_those_of_the_solids(path):
    sheet = sheets(path)["assembly"]
    width, depth, height = size_of(path)
    overall = [(view.key, d.along, d.value_mm) for view, d in dimensions(sheet) if d.kind == "overall"]
    side = sheet.views[1].key
    assert sorted(overall) == sorted(
        [("front", "x", pytest.approx(width)), ("front", "y", pytest.approx(height)), (side, "x", pytest.approx(depth))], key=str
    ) or {(k, a): v for k, a, v in overall} == pytest.approx({("front", "x"): width, ("front", "y"): height, (side, "x"): depth})
    for view, d in dimensions(sheet):
        k = 0 if d.along == "x" else 1
        assert abs(d.b[k] - d.a[k]) == pytest.approx(d.value_mm * view.scale, abs=1e-6), "drawn to scale"


@pytest.mark.parametrize("path", GALLERY, ids=lambda path: path.stem)
def test_clear_openings_are_those_between_the_faces(path):
    """Each clear size is measured again with rays through the meshes from the middle of its dimension line."""
    sheet, design = sheets(path)["assembly"], made(path).design
    corners, _ = triangles(design, STORE)
    norm = standard(design.units)
    at = next((cut.at_mm for cut in cuts(design, norm.projection) if cut.axis == 1), (corners[..., 1].min() + corners[..., 1].max()) / 2)
    found = [(view, d) for view, d in dimensions(sheet) if d.kind == "reference"]
    for view, d in found:
        middle = [((a + b) / 2 - o) / view.scale for a, b, o in zip(d.a, d.b, view.origin, strict=True)]
        start = np.array([middle[0], at, middle[1]])
        way = np.array([1.0, 0.0, 0.0] if d.along == "x" else [0.0, 0.0, 1.0])
        assert min(hits(corners, start, way)) + min(hits(corners, start, -way)) == pytest.approx(d.value_mm, abs=1e-3)
        assert Numbers(norm.units).length(d.value_mm) in d.label.text
        assert not len(hits(corners, start, np.array([0.0, -1.0, 0.0]))), "nothing stands before it"
    assert bool(found) == bool(_hollows(corners, at)), "a panel that fills its frame leaves none"


def _hollows(corners, at):
    """Points of a raster in the plane y = `at` that are in no wood and have wood on all four sides, 40 mm or more from face to face."""
    low, high = corners.reshape(-1, 3).min(axis=0), corners.reshape(-1, 3).max(axis=0)
    found = []
    for u, v in itertools.product(np.linspace(low[0], high[0], 14)[1:-1] + 0.37, np.linspace(low[2], high[2], 14)[1:-1] + 0.37):
        ways = [hits(corners, np.array([u, at, v]), np.array(way)) for way in ((1.0, 0, 0), (-1.0, 0, 0), (0, 0, 1.0), (0, 0, -1.0))]
        if all(len(way) and not len(way) % 2 for way in ways):
            left, right, down, up = (min(way) for way in ways)
            if left + right >= 40.0 and down + up >= 40.0:
                found.append((u, v))
    return found


def test_every_clear_size_of_the_wall_is_written():
    """Nine levels as the spec's heights give them by hand: shelves at 300, 560, 1010, 1260, 1700, 1950 and two fixed ones."""
    path = next(p for p in GALLERY if p.stem == "wall-unit")
    heights = {round(d.value_mm, 1) for _, d in dimensions(sheets(path)["assembly"]) if d.kind == "reference" and d.along == "y"}
    tops = [300.0, 560.0, 787.4, 1010.0, 1260.0, 1484.8, 1700.0, 1950.0, 2182.2]
    floors = [107.8, *(t + 17.8 for t in tops[:-1])]
    assert heights == {round(t - f, 1) for t, f in zip(tops, floors, strict=True)}
    assert "9 × (484.4)" in texts(sheets(path)["assembly"])


@pytest.mark.parametrize("path", GALLERY, ids=lambda path: path.stem)
def test_sections_cross_the_joints_that_hide(path):
    """Each joint that hides, or one that has the same section: kind, stock of both parts, depth, and thickness of what seats."""
    design = made(path).design
    found = cuts(design, standard(design.units).projection)

    def same(j):
        depth, thick = sorted(round(size, 3) for k, size in enumerate(j.region.size) if k != j.axis)
        return (j.joint.kind, j.axis, design.by_name[j.joint.member].stock.name, design.by_name[j.joint.receiver].stock.name, depth, thick)

    hidden = hidden_joints(design)
    assert {same(j) for cut in found for j in cut.shown} == {same(j) for j in hidden}
    for cut in found:
        for j in cut.shown:
            assert j.region.low[cut.axis] < cut.at_mm < j.region.high[cut.axis]
        sheet = sheets(path)[f"assembly_section-{cut.letter.lower()}"]
        assert sheet.views[0].title.startswith(f"{cut.letter}–{cut.letter}")
        assert len(sheet.views) > 1, "a section has an enlarged detail of each kind of joint"
        assert texts(sheets(path)["assembly"]).count(cut.letter) == 2


@pytest.mark.parametrize("path", GALLERY, ids=lambda path: path.stem)
def test_hatching_lies_in_cut_wood_and_tells_neighbours_apart(path):
    design = made(path).design
    scene = Scene(design, wires_of(STORE), 0.2)
    for cut in cuts(design, standard(design.units).projection):
        _, _, areas = scene.section(cut)
        chosen = styles(areas)
        for a in areas:
            for b in areas:
                near = a < b and areas[a].distance(areas[b]) < 0.5
                assert not near or chosen[a] != chosen[b]
        k = max(areas, key=lambda k: areas[k].area)
        for item in hatched(areas[k], chosen[k]):
            assert areas[k].buffer(1e-6).contains(shapely.LineString((item.start, item.end)))
            turn = math.degrees(math.atan2(item.end[1] - item.start[1], item.end[0] - item.start[0])) % 180
            assert turn == pytest.approx(chosen[k][0], abs=1e-3)
    assert all(pitch >= 0.7 for _, pitch in STYLES), "ISO 128-2: lines no nearer than 0.7 mm (from memory)"


def test_a_failed_dry_fit_is_on_the_face_of_every_sheet():
    for sheet in sheets(GALLERY[0], failed=True).values():
        assert any(text.startswith("DRY FIT FAILED:") for text in texts(sheet, "band"))
        assert clashes(sheet) == []


def test_the_title_block_tells_what_where_and_from_what():
    for path in GALLERY:
        every = sheets(path)
        for number, sheet in enumerate(every.values(), 1):
            said = dict(sheet.fields)
            assert said["piece sheet"] == f"{number} of {len(every)}"
            assert said["made from"] == "spec 0123abcd"
            assert said["projection"] == f"{standard(made(path).design.units).projection} angle"
            for label in labels(sheet, "title"):
                assert label_box(label).right <= sheet.size.width - 10.0


def test_same_piece_same_bytes():
    path = GALLERY[0]
    compiled = made(path)
    again = piece_sheets(compiled.design, wires_of(Store()), compiled.glue_up, False, "0123abcd")
    assert {k: render(s) for k, s in again.items()} == {k: render(s) for k, s in sheets(path).items()}


def test_a_wall_of_144_parts_is_drawn_in_two_seconds():
    """Processor time beyond the solids, the best of two."""
    path = next(p for p in GALLERY if p.stem == "wall-unit")
    compiled = made(path)
    took = []
    for _ in range(2):
        start = time.process_time()
        piece_sheets(compiled.design, wires_of(STORE), compiled.glue_up, False)
        took.append(time.process_time() - start)
    assert min(took) < 2.0


ODD = {
    "one part": "build123: 1\npiece: Plank\nunits: mm\nsizes: {long: 900}\nstock: {pine: {board: pine, thickness: 20}}\n"
    "parts:\n  plank: {stock: pine, x: 0 to long, y: from 0 for 120, z: from 0}\n",
    "leaning": "build123: 1\npiece: Leaning shelf\nunits: mm\nsizes: {width: 600, height: 1800}\n"
    "frames: {lean: {turn: -10 deg, about: x, through: [0, 0, 0]}}\nstock: {pine: {board: pine, thickness: 20}}\n"
    "parts:\n  side: {pair: left and right, frame: lean, stock: pine, x: from 0, y: 0 to 120, z: floor to level height}\n"
    "  shelf: {stock: pine, x: left side to right side, y: front of left side to back of left side, z: [from 300, from 700], edges: follow}\n"
    "joints:\n  - dado: {of: shelf, in: side, depth: 8}\n",
}


@pytest.mark.parametrize("name", ODD)
def test_odd_pieces_are_drawn_too(name):
    compiled = compile_text(ODD[name], STORE)
    assert compiled.fit is not None, [f.message for f in compiled.findings]
    for failed in (False, True):
        every = piece_sheets(compiled.design, wires_of(STORE), compiled.glue_up, failed)
        assert all(clashes(sheet) == [] for sheet in every.values())
        assert {m for m, _ in balloons(every["assembly_apart"])} == {str(k + 1) for k in range(len(compiled.design.kinds))}


FRAMED = """
build123: 1
piece: Case with a face frame
units: mm
stock: {ply: {sheet: birch plywood, thickness: 18}, pine: {board: pine, thickness: 20}}
parts:
  side: {pair: left and right, stock: ply, x: from 0, y: 20 to 300, z: 0 to 800}
  board: {stock: ply, x: left side to right side, y: 20 to 300, z: [from 0, up to 800]}
  stile: {pair: left and right, stock: pine, x: from 0 for 50, y: from 0, z: 0 to 800}
  rail: {stock: pine, x: left stile to right stile, y: from 0, z: [from 0 for 60, up to 800 for 40]}
sizes: {width: 600, depth: 300}
joints:
  - rabbet: {of: board, in: side, depth: 9}
  - dowels: {of: rail, to: stile, count: 2}
  - glued: {of: [stile, rail], to: [side, board]}
"""


def test_the_opening_of_a_face_frame_is_on_the_front_and_the_one_behind_it_on_the_section():
    """By hand: 600 - 2 x 50 and 800 - 60 - 40 in front; 600 - 2 x 18 and 800 - 2 x 18 behind."""
    compiled = compile_text(FRAMED, STORE)
    assert compiled.fit is not None, [f.message for f in compiled.findings]
    every = piece_sheets(compiled.design, wires_of(STORE), compiled.glue_up, False)
    found = {name: {round(d.value_mm, 3) for _, d in dimensions(every[name]) if d.kind == "reference"} for name in every}
    assert found["assembly"] == {500.0, 700.0}
    assert found["assembly_section-a"] == {564.0, 764.0}


TABLE = """
build123: 1
piece: Potting table
units: mm
sizes: {width: 900, depth: 600, height: 800}
stock: {ash: {board: ash, thickness: 50}, slab: {board: ash, thickness: 25}}
parts:
  leg: {pair: both, stock: ash, x: from 0, y: from 0 for 50, z: 0 to top}
  apron: {pair: front and back, stock: slab, x: front left leg to front right leg, y: from 12, z: up to top for 90}
  end apron: {pair: left and right, stock: slab, x: from 12, y: front left leg to back left leg, z: up to top for 90}
  top: {stock: slab, x: 0 to width, y: 0 to depth, z: up to height}
joints:
  - dowels: {of: [apron, end apron], to: leg, count: 2}
  - rests: {of: top, upon: leg}
"""


def test_a_piece_without_housings_is_cut_through_its_pins_which_are_not_hatched():
    """ISO 128-3 custom: pins are not cut lengthwise."""
    compiled = compile_text(TABLE, STORE)
    assert compiled.fit is not None, [f.message for f in compiled.findings]
    design = compiled.design
    (cut,) = cuts(design, "first")
    bodies, _, areas = Scene(design, wires_of(STORE), 0.1).section(cut)
    whole = [k for k, body in enumerate(bodies) if body.whole]
    assert len(whole) >= 4 and not set(whole) & set(areas)
    for thing in design.hardware:
        if abs(thing.placement.origin[cut.axis] - cut.at_mm) < 0.1 and abs(thing.placement.z[cut.axis]) < 1e-6:
            u, v, _ = cut.eye.see(thing.placement.point((0.0, 0.0, thing.solid.length_mm / 2)))
            assert not any(area.contains(shapely.Point(u, v)) for area in areas.values())
    for sheet in piece_sheets(design, wires_of(STORE), compiled.glue_up, False).values():
        assert clashes(sheet) == []


def test_many_parts_get_a_list_of_its_own():
    lines = "\n".join(f"  strip {k}: {{stock: pine, x: 0 to {300 + k}, y: from 0 for {40 + k}, z: from {k * 30}}}" for k in range(56))
    text = "build123: 1\npiece: Rack of many strips\nunits: mm\nstock: {pine: {board: pine, thickness: 20}}\nparts:\n" + lines + "\n"
    compiled = compile_text(text, STORE)
    every = piece_sheets(compiled.design, wires_of(STORE), compiled.glue_up, False)
    assert "assembly_parts" in every
    listed = [row[0] for name in every for g in every[name].groups for i in g.items if isinstance(i, Table) for row in i.rows[1:]]
    assert listed == [str(k + 1) for k in range(56)]
    assert all(clashes(sheet) == [] for sheet in every.values())


def test_openings_are_found_by_hand():
    """A frame 200 x 160 of 20 mm wood with a shelf of 20 in it leaves 160 x 50 above and below; a shelf with 1 mm of air still divides."""
    frame = shapely.box(0, 0, 200, 160).difference(shapely.box(20, 20, 180, 140))
    shelf = shapely.box(21, 70, 179, 90)
    found = openings([frame, shelf])
    assert [(o.width, o.height) for o in found] == [(pytest.approx(160), pytest.approx(50)), (pytest.approx(160), pytest.approx(50))]
    assert found[0].low == pytest.approx((20, 90)) and openings([shelf]) == []


def test_a_point_that_stands_out_of_the_piece_is_no_fault_of_the_drawing(tmp_path):
    """Fittings too thin to be drawn may reach further out than the outline; the file is written all the same."""
    text = (
        "build123: 1\npiece: Tray of long screws\nunits: mm\nstock: {ply: {sheet: birch plywood, thickness: 18}, oak: {board: white oak, thickness: 20}}\n"
        "parts:\n  rail: {stock: ply, x: 0 to 400, y: 0 to 80, z: 0 to top}\n  top: {stock: oak, x: 0 to 400, y: 0 to 80, z: from 18}\n"
        "joints:\n  - screws: {through: rail, into: top, size: 4 x 40, count: 3}\n"
    ).replace("z: 0 to top", "z: up to top")
    compiled = compile_text(text, STORE)
    assert [f.id for f in compiled.findings if f.severity.name == "error"] == ["screw-comes-through"]
    written = build(compiled, tmp_path)
    assert not [f.message for f in written.findings]
    assert (tmp_path / compiled.design.slug / "drawings" / "assembly.svg").is_file()
