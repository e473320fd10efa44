"""Closed outlines of lines and arcs (bulges), and the solids that stand on them."""

from __future__ import annotations

import math
from collections.abc import Sequence

from OCP.BRep import BRep_Tool
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge, BRepBuilderAPI_MakeFace, BRepBuilderAPI_MakeVertex, BRepBuilderAPI_MakeWire
from OCP.BRepOffsetAPI import BRepOffsetAPI_ThruSections
from OCP.BRepPrimAPI import BRepPrimAPI_MakePrism
from OCP.BRepTools import BRepTools, BRepTools_ReShape
from OCP.GC import GC_MakeArcOfCircle
from OCP.GeomAbs import GeomAbs_BSplineSurface
from OCP.GeomAdaptor import GeomAdaptor_Surface
from OCP.GeomLib import GeomLib_IsPlanarSurface
from OCP.gp import gp_Ax3, gp_Dir, gp_Pln, gp_Pnt, gp_Vec
from OCP.TopoDS import TopoDS_Shape, TopoDS_Wire

from build123.kernel.walk import faces_of
from build123.model.feature import Outline, Vertex
from build123.model.frame import EXACT_MM, PLAN_MM, Frame, Vec, Vec2


def arc_middle(a: Vertex, b: Vertex) -> Vec2:
    """The middle of the arc from `a` to `b`; a positive bulge bends to the right of the chord."""
    return ((a.x + b.x) / 2 + a.bulge * (b.y - a.y) / 2, (a.y + b.y) / 2 - a.bulge * (b.x - a.x) / 2)


def area_mm2(outline: Sequence[Vertex]) -> float:
    """Signed area, positive for counter-clockwise: the polygon's and the segments' beyond the chords."""
    total = 0.0
    for a, b in zip(outline, (*outline[1:], outline[0]), strict=True):
        total += (a.x * b.y - b.x * a.y) / 2
        if a.bulge:
            angle = 4 * math.atan(a.bulge)
            radius = math.hypot(b.x - a.x, b.y - a.y) / 2 / math.sin(angle / 2)
            total += radius * radius * (angle - math.sin(angle)) / 2
    return total


def bounds(outline: Sequence[Vertex]) -> tuple[Vec2, Vec2]:
    """A box about an outline: the corners, and about each arc a box that is sure to hold it."""
    xs, ys = [v.x for v in outline], [v.y for v in outline]
    for a, b in zip(outline, (*outline[1:], outline[0]), strict=True):
        if a.bulge:
            chord = math.hypot(b.x - a.x, b.y - a.y)
            out = chord / 2 * max(1.0, abs(a.bulge))
            mid = arc_middle(a, b)
            xs += [mid[0] - out, mid[0] + out]
            ys += [mid[1] - out, mid[1] + out]
    return (min(xs), min(ys)), (max(xs), max(ys))


def without_doubles(outline: Sequence[Vertex]) -> Outline:
    """The outline without sides of no length."""
    following = (*outline[1:], outline[0])
    return tuple(a for a, b in zip(outline, following, strict=True) if abs(a.x - b.x) > PLAN_MM or abs(a.y - b.y) > PLAN_MM)


def between(near: Outline, far: Outline, share: float) -> Outline:
    """`near` at 0, `far` at 1, and on past them in straight lines."""
    return tuple(Vertex(a.x + (b.x - a.x) * share, a.y + (b.y - a.y) * share, a.bulge) for a, b in zip(near, far, strict=True))


def point(frame: Frame, x: float, y: float, z: float) -> gp_Pnt:
    """A point of a frame, for the kernel."""
    return gp_Pnt(*frame.point((x, y, z)))


def plane(frame: Frame, z: float) -> gp_Pln:
    """The plane parallel to a frame's xy plane at height z."""
    return gp_Pln(gp_Ax3(point(frame, 0, 0, z), gp_Dir(*frame.z), gp_Dir(*frame.x)))


def wire(outline: Outline, frame: Frame, z: float) -> TopoDS_Wire:
    """The outline as a wire of the frame at height z."""
    corners = [point(frame, v.x, v.y, z) for v in outline]
    vertices = [BRepBuilderAPI_MakeVertex(p).Vertex() for p in corners]
    made = BRepBuilderAPI_MakeWire()
    for k, a in enumerate(outline):
        j = (k + 1) % len(outline)
        if a.bulge:
            mid = arc_middle(a, outline[j])
            arc = GC_MakeArcOfCircle(corners[k], point(frame, *mid, z), corners[j]).Value()
            made.Add(BRepBuilderAPI_MakeEdge(arc, vertices[k], vertices[j]).Edge())
        else:
            made.Add(BRepBuilderAPI_MakeEdge(vertices[k], vertices[j]).Edge())
    return made.Wire()


def prism(outline: Outline, frame: Frame, low_z: float, high_z: float, shift: Vec2 = (0.0, 0.0)) -> TopoDS_Shape:
    """The solid from `outline` at low_z up to the same outline, shifted, at high_z. Faces: planes, cylinders."""
    face = BRepBuilderAPI_MakeFace(plane(frame, low_z), wire(outline, frame, low_z)).Face()
    run: Vec = frame.vector((shift[0], shift[1], high_z - low_z))
    return BRepPrimAPI_MakePrism(face, gp_Vec(*run)).Shape()


def ruled(low: Outline, high: Outline, frame: Frame, low_z: float, high_z: float) -> TopoDS_Shape:
    """The solid between two outlines of as many corners. Faces: planes where they can be, cones, ruled surfaces."""
    shifts = [(b.x - a.x, b.y - a.y) for a, b in zip(low, high, strict=True)]
    if all(abs(s[0] - shifts[0][0]) <= EXACT_MM and abs(s[1] - shifts[0][1]) <= EXACT_MM for s in shifts):
        return prism(low, frame, low_z, high_z, shifts[0])
    sections = BRepOffsetAPI_ThruSections(True, True)
    sections.CheckCompatibility(False)
    sections.AddWire(wire(low, frame, low_z))
    sections.AddWire(wire(high, frame, high_z))
    sections.Build()
    return _planes_made_plain(sections.Shape())


def _planes_made_plain(solid: TopoDS_Shape) -> TopoDS_Shape:
    """Ruled faces that are flat become planes, so that they are measured as planes."""
    reshape = BRepTools_ReShape()
    for face in faces_of(solid):
        surface = BRep_Tool.Surface_s(face)
        if GeomAdaptor_Surface(surface).GetType() == GeomAbs_BSplineSurface:
            flat = GeomLib_IsPlanarSurface(surface, 1e-7)
            if flat.IsPlanar():
                reshape.Replace(face, BRepBuilderAPI_MakeFace(flat.Plan(), BRepTools.OuterWire_s(face)).Face())
    return reshape.Apply(solid)
