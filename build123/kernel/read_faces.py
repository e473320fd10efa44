"""Reads the faces of an OCC solid into plain data."""

from __future__ import annotations

import math
from typing import Any

import cadquery as cq
import numpy as np
import shapely
from OCP.Bnd import Bnd_Box
from OCP.BRep import BRep_Tool
from OCP.BRepAdaptor import BRepAdaptor_Curve, BRepAdaptor_Surface
from OCP.BRepBndLib import BRepBndLib
from OCP.BRepTools import BRepTools, BRepTools_WireExplorer
from OCP.GeomAbs import GeomAbs_CurveType, GeomAbs_SurfaceType
from OCP.TopAbs import TopAbs_Orientation, TopAbs_ShapeEnum
from OCP.TopExp import TopExp, TopExp_Explorer
from OCP.TopoDS import TopoDS
from OCP.TopTools import TopTools_IndexedDataMapOfShapeListOfShape

from build123.kernel.faces import Floats, PlaneFace, ShapeFaces, box_of, plane_axes
from build123.kernel.read_bores import joined_bores, read_cylinder
from build123.model.frame import Box, Vec, unit


def _turn(sides: int) -> Floats:
    """A polygon about the unit circle with the circle's area."""
    step = 2 * math.pi / sides
    at = np.arange(sides) * step
    return np.stack([np.cos(at), np.sin(at)], axis=1) * math.sqrt(step / math.sin(step))


_BORE, _DISC = _turn(48), _turn(192)
BORE_MM = 25.0
"""Circles up to this radius take 48 sides, larger ones 192."""
CHORD_RAD = 2 * math.pi / 96
SAME_PLANE = 9
"""Decimals (mm and unit vectors) to which faces count as lying in one plane."""


def read_faces(solid: cq.Shape) -> ShapeFaces:
    """All plane and cylinder faces of a solid, in its own frame. Plane faces that touch in one plane are joined."""
    shape = solid.wrapped
    owners = TopTools_IndexedDataMapOfShapeListOfShape()
    TopExp.MapShapesAndAncestors_s(shape, TopAbs_ShapeEnum.TopAbs_EDGE, TopAbs_ShapeEnum.TopAbs_FACE, owners)
    planes: dict[tuple[float, ...], list[PlaneFace]] = {}
    cylinders = []
    bulges: list[Box] = []
    others = crossed = 0
    explorer = TopExp_Explorer(shape, TopAbs_ShapeEnum.TopAbs_FACE)
    while explorer.More():
        face = TopoDS.Face_s(explorer.Current())
        explorer.Next()
        surface = BRepAdaptor_Surface(face, False)
        kind = surface.GetType()
        if kind == GeomAbs_SurfaceType.GeomAbs_Plane:
            plane, is_crossed = _plane(face, surface)
            crossed += is_crossed
            if plane is not None:
                key = tuple(round(x, SAME_PLANE) + 0.0 for x in (*plane.normal, plane.offset))
                planes.setdefault(key, []).append(plane)
            continue
        hollow = False
        if kind == GeomAbs_SurfaceType.GeomAbs_Cylinder:
            cylinder = read_cylinder(face, surface, owners)
            cylinders.append(cylinder)
            hollow = cylinder.hollow
        else:
            others += 1
            hollow = kind == GeomAbs_SurfaceType.GeomAbs_Cone and is_hollow(face, surface.Cone())
        if not hollow:
            bulges.append(_bounds(face))
    joined = tuple(p for group in planes.values() for p in _joined(group))
    return ShapeFaces(joined, joined_bores(cylinders), tuple(bulges), others, _bounds(shape), crossed)


def is_hollow(face: Any, surface: Any) -> bool:
    """Whether a face on a cylinder or cone has its wood outside."""
    reversed_ = face.Orientation() == TopAbs_Orientation.TopAbs_REVERSED
    return bool(reversed_ == surface.Position().Direct())


def _bounds(shape: Any) -> Box:
    box = Bnd_Box()
    BRepBndLib.AddOptimal_s(shape, box, False, False)
    box.SetGap(0.0)
    x0, y0, z0, x1, y1, z1 = box.Get()
    return Box((x0, y0, z0), (x1, y1, z1))


def _plane(face: Any, surface: BRepAdaptor_Surface) -> tuple[PlaneFace | None, bool]:
    plane = surface.Plane()
    direction = plane.Axis().Direction()
    sign = 1.0 if plane.Position().Direct() else -1.0
    if face.Orientation() == TopAbs_Orientation.TopAbs_REVERSED:
        sign = -sign
    normal = unit((sign * direction.X(), sign * direction.Y(), sign * direction.Z()))
    u, v = plane_axes(normal)
    basis = np.array([u, v]).T
    centre = plane.Location()
    offset = normal[0] * centre.X() + normal[1] * centre.Y() + normal[2] * centre.Z()
    outer = BRepTools.OuterWire_s(face)
    shell: Floats | None = None
    holes: list[Floats] = []
    wires = TopExp_Explorer(face, TopAbs_ShapeEnum.TopAbs_WIRE)
    while wires.More():
        wire = TopoDS.Wire_s(wires.Current())
        wires.Next()
        ring = _ring(wire, face, basis)
        if len(ring) < 3:
            continue
        if wire.IsSame(outer):
            shell = ring
        else:
            holes.append(ring)
    if shell is None:
        return None, True
    outline = shapely.Polygon(shell, holes)
    crossed = not outline.is_valid
    if crossed:
        outline = shapely.make_valid(outline)
    solid_points = shell @ np.array([u, v]) + np.array(normal) * offset
    return PlaneFace(normal, offset, u, v, outline, outline.area, box_of(solid_points)), crossed


def _ring(wire: Any, face: Any, basis: Floats) -> Floats:
    """Plane coordinates (n, 2) of a wire, in its own sense."""
    rows: list[Floats] = []
    walk = BRepTools_WireExplorer(wire, face)
    while walk.More():
        edge = walk.Current()
        walk.Next()
        if BRep_Tool.Degenerated_s(edge):
            continue
        rows.append(_edge(edge, basis))
    return np.concatenate(rows) if rows else np.zeros((0, 2))


def _edge(edge: Any, basis: Floats) -> Floats:
    """Points of an edge in plane coordinates without its last one."""
    curve = BRepAdaptor_Curve(edge)
    first, last = curve.FirstParameter(), curve.LastParameter()
    forward = edge.Orientation() != TopAbs_Orientation.TopAbs_REVERSED
    kind = curve.GetType()
    if kind == GeomAbs_CurveType.GeomAbs_Line:
        return np.array([_xyz(curve.Value(first if forward else last))]) @ basis
    if kind == GeomAbs_CurveType.GeomAbs_Circle and last - first > 2 * math.pi - 1e-9:
        circle = curve.Circle()
        return np.array(_xyz(circle.Location())) @ basis + circle.Radius() * (_BORE if circle.Radius() < BORE_MM else _DISC)
    sweep = last - first if kind in (GeomAbs_CurveType.GeomAbs_Circle, GeomAbs_CurveType.GeomAbs_Ellipse) else 2 * math.pi
    steps = max(2, math.ceil(abs(sweep) / CHORD_RAD))
    at = np.linspace(first, last, steps + 1)
    if not forward:
        at = at[::-1]
    return np.array([_xyz(curve.Value(float(t))) for t in at[:-1]]) @ basis


def _xyz(point: Any) -> Vec:
    return (point.X(), point.Y(), point.Z())


def _joined(group: list[PlaneFace]) -> list[PlaneFace]:
    """Faces of one plane, those that touch made one (a boolean may leave a face in pieces)."""
    outlines = [p.outline for p in group]
    if len(group) == 1 or shapely.STRtree(outlines).query(outlines).shape[1] == len(group):
        return group
    lead = group[0]
    whole = shapely.union_all(outlines, grid_size=1e-7)
    parts = whole.geoms if hasattr(whole, "geoms") else [whole]
    return [
        PlaneFace(lead.normal, lead.offset, lead.u, lead.v, part, part.area, box_of(lead.points(np.asarray(part.exterior.coords))))
        for part in parts
        if part.geom_type == "Polygon"
    ]
