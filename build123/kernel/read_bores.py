"""Reads one cylindrical face: where its axis begins and ends, and what closes it."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from OCP.BRepAdaptor import BRepAdaptor_Curve, BRepAdaptor_Surface
from OCP.BRepGProp import BRepGProp
from OCP.BRepTools import BRepTools
from OCP.GeomAbs import GeomAbs_CurveType, GeomAbs_SurfaceType
from OCP.GProp import GProp_GProps
from OCP.TopAbs import TopAbs_Orientation, TopAbs_ShapeEnum
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS

from build123.kernel.faces import CylinderFace
from build123.model.frame import Vec, add, dot, scale, sub, unit

PARALLEL = 1e-9
"""Below this sine an axis lies along a plane."""

FULL_TURN = 2 * math.pi - 1e-9
MEET_MM = 1e-6
"""Stretches this near each other meet (plan rounding)."""
SAME_AXIS = 7
"""Decimals (mm and unit vectors) to which two faces count as lying on one cylinder."""


class _End:
    """What stands at one end of the axis: where the planes there cut it, whether wood closes it, a drill's point."""

    def __init__(self) -> None:
        self.cuts: list[float] = []
        self.closed = False
        self.circles = 0
        self.point_mm = 0.0


@dataclass(frozen=True, slots=True)
class RoundFace:
    """One cylindrical face before those of one bore are put together.

    `foot` is the point of the axis nearest the origin; `low`, `high` are heights along `axis` from there.
    """

    foot: Vec
    axis: Vec
    radius_mm: float
    hollow: bool
    low: float
    high: float
    area_mm2: float
    ends: tuple[_End, _End]


def read_cylinder(face: Any, surface: BRepAdaptor_Surface, owners: Any) -> RoundFace:
    """One cylindrical face; `owners` maps each edge of the solid to its faces."""
    cylinder = surface.Cylinder()
    centre, direction = cylinder.Location(), cylinder.Axis().Direction()
    axis = unit((direction.X(), direction.Y(), direction.Z()))
    if axis < scale(axis, -1.0):
        axis = scale(axis, -1.0)
    origin: Vec = (centre.X(), centre.Y(), centre.Z())
    foot = sub(origin, scale(axis, dot(origin, axis)))
    radius = cylinder.Radius()
    hollow = (face.Orientation() == TopAbs_Orientation.TopAbs_REVERSED) == cylinder.Position().Direct()
    _, _, v0, v1 = BRepTools.UVBounds_s(face)
    low, high = sorted(_height(surface, v, axis) for v in (v0, v1))
    ends = (_End(), _End())
    edges = TopExp_Explorer(face, TopAbs_ShapeEnum.TopAbs_EDGE)
    while edges.More():
        edge = TopoDS.Edge_s(edges.Current())
        edges.Next()
        other = _beyond(edge, face, owners)
        if other is not None:
            _note(edge, other, (foot, axis, radius, 0.5 * (low + high)), ends)
    start = max(low, min(ends[0].cuts, default=low))
    stop = max(start, min(high, max(ends[1].cuts, default=high)))
    area = 2 * math.pi * radius * (stop - start)
    if any(end.circles != 1 for end in ends):
        properties = GProp_GProps()
        BRepGProp.SurfaceProperties_s(face, properties)
        area = properties.Mass()
    return RoundFace(foot, axis, radius, hollow, start, stop, area, ends)


def _height(surface: BRepAdaptor_Surface, v: float, axis: Vec) -> float:
    p = surface.Value(0.0, v)
    return dot(axis, (p.X(), p.Y(), p.Z()))


def _beyond(edge: Any, face: Any, owners: Any) -> Any:
    """The other face at an edge; None at the cylinder's own seam."""
    found = owners.FindFromKey(edge)
    for other in (found.First(), found.Last()):
        if not other.IsSame(face):
            return TopoDS.Face_s(other)
    return None


def _note(edge: Any, other: Any, cylinder: tuple[Vec, Vec, float, float], ends: tuple[_End, _End]) -> None:
    origin, axis, radius, middle = cylinder
    curve = BRepAdaptor_Curve(edge)
    p = curve.Value(0.5 * (curve.FirstParameter() + curve.LastParameter()))
    height = dot(sub((p.X(), p.Y(), p.Z()), origin), axis)
    full = curve.GetType() == GeomAbs_CurveType.GeomAbs_Circle and curve.LastParameter() - curve.FirstParameter() > FULL_TURN
    end = ends[1] if height > middle else ends[0]
    end.circles += 1 if full else 2
    outward = axis if height > middle else scale(axis, -1.0)
    surface = BRepAdaptor_Surface(other, False)
    kind = surface.GetType()
    if kind == GeomAbs_SurfaceType.GeomAbs_Plane:
        plane = surface.Plane()
        d, at = plane.Axis().Direction(), plane.Location()
        sign = 1.0 if (other.Orientation() == TopAbs_Orientation.TopAbs_REVERSED) != plane.Position().Direct() else -1.0
        normal: Vec = (sign * d.X(), sign * d.Y(), sign * d.Z())
        slope = dot(normal, axis)
        if abs(slope) < PARALLEL:
            return
        end.cuts.append(dot(normal, sub((at.X(), at.Y(), at.Z()), origin)) / slope)
        end.closed = end.closed or dot(normal, outward) < 0
    elif kind == GeomAbs_SurfaceType.GeomAbs_Cone:
        _, _, v0, v1 = BRepTools.UVBounds_s(other)
        u = surface.FirstUParameter()
        for v in (v0, v1):
            q = surface.Value(u, v)
            rel = sub((q.X(), q.Y(), q.Z()), origin)
            rise = dot(rel, axis)
            away = math.sqrt(max(0.0, dot(rel, rel) - rise * rise))
            if away < radius - 1e-6:
                end.closed = True
                end.point_mm = max(end.point_mm, abs(rise - height))


def joined_bores(faces: list[RoundFace]) -> tuple[CylinderFace, ...]:
    """The cylinders that faces lie on: those of equal radius on one axis whose stretches meet are one."""
    lines: dict[tuple[float, ...], list[RoundFace]] = {}
    for face in faces:
        key = tuple(round(x, SAME_AXIS) + 0.0 for x in (*face.axis, *face.foot, face.radius_mm, float(face.hollow)))
        lines.setdefault(key, []).append(face)
    return tuple(one for group in lines.values() for one in _merged(group))


def _merged(group: list[RoundFace]) -> Iterator[CylinderFace]:
    pieces: list[RoundFace] = []
    top = -math.inf
    for face in sorted(group, key=lambda f: (f.low, f.high)):
        if pieces and face.low > top + MEET_MM:
            yield from _one(pieces)
            pieces, top = [], -math.inf
        pieces.append(face)
        top = max(top, face.high)
    yield from _one(pieces)


def _one(pieces: list[RoundFace]) -> Iterator[CylinderFace]:
    """One cylinder from its faces; none where they have no height."""
    lead = pieces[0]
    low, high = lead.low, max(f.high for f in pieces)
    if high - low < MEET_MM:
        return
    first = [f.ends[0] for f in pieces if f.low < low + MEET_MM]
    last = [f.ends[1] for f in pieces if f.high > high - MEET_MM]
    base, tip = (add(lead.foot, scale(lead.axis, h)) for h in (low, high))
    if any(end.closed for end in first) and not any(end.closed for end in last):
        base, tip, first, last = tip, base, last, first
    whole = sum(f.area_mm2 for f in pieces) / (2 * math.pi * lead.radius_mm * (high - low))
    closed = [any(end.closed for end in ends) for ends in (first, last)]
    point = max(end.point_mm for end in last)
    yield CylinderFace(base, tip, lead.radius_mm, lead.hollow, round(whole, 9), not closed[0], not closed[1], point)
