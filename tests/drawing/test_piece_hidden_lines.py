"""What a picture shows is what is seen: compared with hand counts, with rays, with shadows, and with another library's cuts."""

import math
from pathlib import Path

import cadquery as cq
import manifold3d
import numpy as np
import pytest
import shapely
from pictured import hits, shadow, triangles, wires_of

from build123.drawing.piece_cut import loops, polygon
from build123.drawing.piece_look import DIMETRIC, FRONT, RIGHT, TOP, Picture, Placed
from build123.drawing.piece_scene import Scene
from build123.kernel.hidden_lines import wireframe_of
from build123.kernel.mesh import is_closed
from build123.model.frame import Frame
from build123.pipeline import compile_file

SPECS = Path(__file__).parents[2] / "specs"


def box(x, y, z, at=(0.0, 0.0, 0.0), name="box"):
    return Placed(name, wireframe_of(cq.Workplane().box(x, y, z, centered=False).val()), Frame(at))


def rod(diameter, length, name="rod"):
    return Placed(name, wireframe_of(cq.Solid.makeCylinder(diameter / 2, length)), Frame())


def length(stroke):
    return sum(math.dist(a, b) for a, b in zip(stroke.points, stroke.points[1:], strict=False))


@pytest.fixture(scope="module")
def rack(store):
    return compile_file(SPECS / "wall-rack.yaml", store=store)[0]


def test_a_box_shows_four_edges_from_the_front_and_nine_of_twelve_at_an_angle():
    assert len(Picture([box(30, 20, 10)], FRONT).strokes()) == 4
    assert len(Picture([box(30, 20, 10)], DIMETRIC).strokes()) == 9


def test_a_dimetric_picture_has_the_proportions_of_its_standard():
    """ISO 5456-3 (from memory): axes at 7 and 42 degrees, scales 1 : 1/2 : 1."""
    x, y, z = (np.array(DIMETRIC.see(axis)[:2]) for axis in ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)))
    assert np.linalg.norm(y) / np.linalg.norm(x) == pytest.approx(0.5, abs=1e-3)
    assert np.linalg.norm(z) / np.linalg.norm(x) == pytest.approx(1.0, abs=1e-3)
    assert math.degrees(math.atan2(-x[1], x[0])) == pytest.approx(7.18, abs=0.1)
    assert math.degrees(math.atan2(y[1], y[0])) == pytest.approx(41.4, abs=0.1)


def test_what_stands_in_front_hides_to_the_exact_point():
    """A board 10 wide in front of one 30 wide leaves its long edges from 0 to 8 and from 18 to 30."""
    strokes = Picture([box(30, 5, 10, (0.0, 20.0, 0.0), "far"), box(10, 5, 40, (8.0, 0.0, -5.0), "near")], FRONT).strokes()
    far = sorted((s.points[0][0], s.points[1][0]) for s in strokes if s.body == 0 and abs(s.points[0][1] - s.points[1][1]) < 1e-9)
    assert np.array(sorted(map(sorted, far))) == pytest.approx(np.array([[0, 8], [0, 8], [18, 30], [18, 30]]), abs=1e-5)


def test_faces_that_touch_do_not_hide_each_other():
    strokes = Picture([box(30, 5, 10), box(30, 5, 10, (0.0, 0.0, 10.0))], FRONT).strokes()
    assert sum(map(length, strokes)) == pytest.approx(2 * (30 + 30 + 10 + 10))


def test_a_rod_is_a_circle_from_its_end_and_a_rectangle_from_its_side():
    (top,) = Picture([rod(8, 40)], TOP).strokes()
    assert top.arc is not None and top.arc[1] == pytest.approx(4.0) and abs(top.arc[3] - top.arc[2]) == pytest.approx(math.tau)
    side = Picture([rod(8, 40)], FRONT).strokes()
    straight = [s for s in side if len(s.points) == 2 and abs(s.points[0][0] - s.points[1][0]) < 1e-9]
    assert sorted(s.points[0][0] for s in straight) == pytest.approx([-4.0, 4.0])


def test_part_of_a_circle_that_is_hidden_leaves_a_true_arc():
    strokes = Picture([rod(20, 5), box(40, 40, 5, (0.0, -20.0, 10.0))], TOP).strokes()
    (arc,) = [s.arc for s in strokes if s.arc is not None]
    assert abs(arc[3] - arc[2]) == pytest.approx(math.pi, abs=1e-3)
    assert arc[0] == pytest.approx((0.0, 0.0)) and arc[1] == pytest.approx(10.0)


def test_small_holes_are_filled_and_large_ones_kept():
    panel = (
        cq.Workplane().box(100, 60, 18).faces(">Z").workplane().pushPoints([(-20, 0), (20, 0)]).hole(5, 9).faces(">Z").workplane().hole(30)
    )
    solid = panel.val()
    whole, plain = wireframe_of(solid), wireframe_of(solid, 10.0)
    assert is_closed(whole.triangles) and is_closed(plain.triangles)
    assert len([e for e in whole.edges if e.ring]) == 6
    assert sorted(e.ring.radius_mm for e in plain.edges if e.ring) == [15.0, 15.0]
    corners = plain.corners[plain.triangles]
    volume = float(np.einsum("ij,ij->i", corners[:, 0], np.cross(corners[:, 1], corners[:, 2])).sum() / 6)
    assert volume == pytest.approx(100 * 60 * 18 - math.pi * 15**2 * 18, rel=2e-3)


def bored(*cutters):
    """A board 120 x 60 x 18 with its worked face up, less what is cut away."""
    solid = cq.Workplane().box(120, 60, 18, centered=False)
    for cutter in cutters:
        solid = solid.cut(cutter)
    return solid.val()


def drill(diameter, top=18.0, bottom=-1.0, at=(60.0, 30.0)):
    return cq.Workplane(cq.Solid.makeCylinder(diameter / 2, top - bottom, cq.Vector(*at, bottom)))


def sink(wide, narrow, at=(60.0, 30.0)):
    """A countersink of 90 degrees at the worked face."""
    deep = (wide - narrow) / 2
    return cq.Workplane(cq.Solid.makeCone(narrow / 2, wide / 2, deep, cq.Vector(*at, 18.0 - deep)))


def slot(long, diameter, top=18.0, bottom=-1.0, at=(60.0, 30.0)):
    return cq.Workplane("XY", origin=(*at, bottom)).slot2D(long, diameter).extrude(top - bottom)


PEG = cq.Workplane().box(120, 60, 18, centered=False).union(cq.Workplane("XY", origin=(60, 30, 18)).circle(4).extrude(10)).val()
HOLED = {
    "plain": bored(drill(4)),
    "countersunk": bored(drill(4), sink(9, 4)),
    "counterbored": bored(drill(4), drill(9, bottom=10.0)),
    "slot": bored(slot(12, 4)),
    "slot with a wider slot": bored(slot(12, 4), slot(17, 9, bottom=12.0)),
    "countersunk in a slot": bored(slot(12, 4), sink(9, 4)),
    "counterbored from both faces": bored(drill(4), drill(9, bottom=12.0), drill(9, top=6.0)),
    "two that meet": bored(drill(4), cq.Workplane(cq.Solid.makeCylinder(2, 60, cq.Vector(60, 0, 9), cq.Vector(0, 1, 0)))),
    "in a dado": bored(cq.Workplane().box(18, 60, 6, centered=False).translate((51, 0, 12)), drill(4, top=12.0, bottom=5.0)),
    "through the wall of a large hole": bored(
        drill(20, bottom=4.0), cq.Workplane(cq.Solid.makeCylinder(2, 30, cq.Vector(60, 0, 9), cq.Vector(0, 1, 0)))
    ),
    "peg": PEG,
    "screw": cq.Workplane().circle(5).extrude(3).faces("<Z").workplane().circle(2).extrude(30).val(),
}


@pytest.mark.parametrize("mirrored", [False, True], ids=["", "mirrored"])
@pytest.mark.parametrize("name", HOLED)
def test_a_solid_stays_closed_whatever_holes_are_filled_and_is_cut_as_another_library_cuts_it(name, mirrored):
    """Through the axis of every hole, along every face and beside them: areas against Manifold's own slices of the same skin."""
    solid = HOLED[name].mirror("YZ") if mirrored else HOLED[name]
    for least in (0.0, 3.0, 5.0, 8.5, 10.0, 30.0):
        wire = wireframe_of(solid, least)
        assert is_closed(wire.triangles), least
        body = Placed(name, wire, Frame())
        for eye, depths in (
            (FRONT, (-30.0, -29.3, -60.0, 0.0)),
            (RIGHT, (60.0, -60.0, 61.7, 51.0, 0.0)),
            (TOP, (12.0, 18.0, 10.0, 6.0, 3.0)),
        ):
            skin = manifold3d.Manifold(manifold3d.Mesh64(wire.corners @ eye.matrix.T, wire.triangles.astype(np.uint64)))
            assert skin.status() == manifold3d.Error.NoError
            for depth in depths:
                mine = polygon(list(loops(body, eye, depth)))
                assert mine.area == pytest.approx(skin.slice(depth - 2e-6).area(), abs=1e-3), (least, depth)
                Picture([body], eye, depth, [(0, ring) for ring in loops(body, eye, depth)]).strokes()


@pytest.mark.parametrize("name", HOLED)
def test_a_hole_is_filled_whole_or_not_at_all(name):
    """The wood that is left is that of the board, or as much as before; what stands out of a face stays."""

    def volume(least):
        wire = wireframe_of(HOLED[name], least)
        corners = wire.corners[wire.triangles]
        return float(np.einsum("ij,ij->i", corners[:, 0], np.cross(corners[:, 1], corners[:, 2])).sum() / 6)

    open_mm3, full_mm3 = volume(0.0), 120 * 60 * (18 if name != "in a dado" else 18 - 6 * 18 / 120)
    kept = {"slot", "slot with a wider slot", "countersunk in a slot", "through the wall of a large hole", "peg", "screw"}
    wide = 5.0 if name in ("plain", "two that meet", "in a dado") else 10.0
    assert volume(wide) == pytest.approx(open_mm3 if name in kept else full_mm3)
    assert volume(5.0) == pytest.approx(full_mm3 if wide == 5.0 else open_mm3)


def test_a_plane_through_an_edge_of_a_solid_is_a_cut_like_any_other():
    """A ridge that just reaches the plane: a hair behind it there is no more than a hair of wood."""
    roof = cq.Workplane("YZ").polyline([(0, 0), (20, 0), (10, 10)]).close().extrude(50).val()
    for turn in (0.0, 90.0, 37.0):
        body = Placed("roof", wireframe_of(roof.rotate(cq.Vector(), cq.Vector(0, 0, 1), turn)), Frame())
        assert polygon(list(loops(body, TOP, 10.0))).area < 1e-3
        assert polygon(list(loops(body, TOP, 5.0))).area == pytest.approx(50 * 10)
        assert polygon(list(loops(body, TOP, 0.0))).area == pytest.approx(0.0)


@pytest.mark.parametrize("eye", [FRONT, RIGHT, TOP, DIMETRIC], ids=["front", "right", "top", "dimetric"])
def test_the_outline_covers_what_the_meshes_cover(rack, store, eye):
    """The lines that are seen enclose the shadow of all solids: no line of the outline is missing and none lies outside."""
    scene = Scene(rack.design, wires_of(store), 1.0)
    lines = shapely.union_all([shapely.LineString(s.points) for s in scene.picture(eye).strokes()], grid_size=1e-4)
    drawn = shapely.union_all(list(shapely.polygonize([lines]).geoms))
    drawn = shapely.union_all([shapely.Polygon(p.exterior) for p in getattr(drawn, "geoms", [drawn])])
    meant = shadow(triangles(rack.design, store)[0], eye)
    outer = shapely.union_all([shapely.Polygon(p.exterior) for p in getattr(meant, "geoms", [meant])])
    assert drawn.symmetric_difference(outer).area < 1e-3 * outer.area


def test_lines_are_seen_where_no_ray_from_them_meets_wood(rack, store):
    """Points along every edge, drawn or not, against rays through the full meshes."""
    scene = Scene(rack.design, wires_of(store), 1.0)
    corners, _ = triangles(rack.design, store)
    way = np.array(DIMETRIC.towards)
    seen = shapely.union_all([shapely.LineString(s.points) for s in scene.picture(DIMETRIC).strokes()])
    wrong = tried = 0
    for body in scene.standing:
        for edge in body.wire.edges:
            if edge.ring is not None:
                continue
            for share in (0.13, 0.42, 0.71):
                point = body.origin + body.turn @ (edge.points[0] + (edge.points[1] - edge.points[0]) * share)
                # A little off the edge towards the eye, so that its own faces do not count.
                free = not len(hits(corners, point + way * 0.05, way))
                drawn = seen.distance(shapely.Point(DIMETRIC.see(tuple(point))[:2])) < 0.02
                tried += 1
                wrong += free and not drawn
    assert tried > 300 and wrong == 0


def test_nothing_hidden_is_drawn(rack, store):
    scene = Scene(rack.design, wires_of(store), 1.0)
    picture = scene.picture(DIMETRIC)
    corners, _ = triangles(rack.design, store)
    matrix, way = DIMETRIC.matrix, np.array(DIMETRIC.towards)
    for stroke in picture.strokes():
        (ax, ay), (bx, by) = stroke.points[0], stroke.points[1]
        flat = (ax + (bx - ax) * 0.37, ay + (by - ay) * 0.37)
        # The nearest wood under the point is the stroke's own body, or lies within a hair of it.
        start = matrix.T @ np.array([*flat, 5000.0])
        around = [start + matrix.T @ np.array([0.03 * math.cos(t), 0.03 * math.sin(t), 0.0]) for t in np.arange(8) * math.pi / 4]
        nearest = [5000.0 - min(hits(corners, p, -way), default=5000.0) for p in around]
        mine = scene.standing[stroke.body]
        own = (mine.wire.corners @ mine.turn.T + mine.origin)[mine.wire.triangles]
        under = [5000.0 - min(hits(own, p, -way), default=5000.0) for p in around]
        assert any(abs(a - b) < 0.5 for a, b in zip(nearest, under, strict=True))


def test_a_cut_shows_the_wood_that_another_library_cuts(rack, store):
    """Areas and places against Manifold's own slices of the meshes."""
    scene = Scene(rack.design, wires_of(store), 1.0)
    at = 71.3
    for body in scene.standing:
        mine = polygon(list(loops(body, FRONT, -at)))
        mesh = store.mesh(scene.bodies[body.name])
        points = (mesh.vertices @ body.turn.T + body.origin) @ FRONT.matrix.T
        solid = manifold3d.Manifold(manifold3d.Mesh64(points, mesh.faces.astype(np.uint64)))
        theirs = solid.slice(-at)
        assert mine.area == pytest.approx(theirs.area(), abs=1e-3), body.name
        if mine.area:
            assert mine.bounds == pytest.approx(theirs.bounds(), abs=1e-3)
