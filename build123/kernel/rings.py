"""Plane faces given by rings of shared, straight edges, and the solid that they close."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from OCP.BRep import BRep_Builder
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge, BRepBuilderAPI_MakeVertex
from OCP.Geom import Geom_Plane
from OCP.gp import gp_Ax3, gp_Dir, gp_Pnt
from OCP.TopoDS import TopoDS_Face, TopoDS_Shell, TopoDS_Solid, TopoDS_Wire

Corner = tuple[float, float, float]
Ring = tuple[tuple[int, int, Corner], ...]
"""Edges in order: the edge's number, 1 or -1 as it is walked towards its greater end or not, and the corner it starts from."""
KERNEL_MM = 1e-7
"""The kernel's own tolerance (Precision::Confusion)."""


@dataclass(frozen=True, slots=True)
class Face:
    """A face square to an axis of the bench, looking along it (sign 1) or against it; the outer ring comes first."""

    axis: int
    sign: int
    rings: tuple[Ring, ...]


def outer_first(rings: Sequence[Ring], axis: int, sign: int) -> tuple[Ring, ...]:
    """Rings by area, walked counter-clockwise seen from outside: only the outer one's is positive."""
    b, c = (axis + 1) % 3, (axis + 2) % 3

    def area(ring: Ring) -> float:
        corners = [at for _, _, at in ring]
        return sign * sum(p[b] * q[c] - q[b] * p[c] for p, q in zip(corners, (*corners[1:], corners[0]), strict=True))

    return tuple(sorted(rings, key=area, reverse=True))


def closed_solid(faces: Sequence[Face]) -> TopoDS_Solid:
    """The solid within faces that share their edges by number."""
    builder = BRep_Builder()
    vertices: dict[Corner, Any] = {}
    edges: dict[int, Any] = {}

    def vertex(at: Corner) -> Any:
        if at not in vertices:
            vertices[at] = BRepBuilderAPI_MakeVertex(gp_Pnt(*at)).Vertex()
        return vertices[at]

    shell, solid = TopoDS_Shell(), TopoDS_Solid()
    builder.MakeShell(shell)
    for face in faces:
        normal = [0.0, 0.0, 0.0]
        normal[face.axis] = float(face.sign)
        made = TopoDS_Face()
        builder.MakeFace(made, Geom_Plane(gp_Ax3(gp_Pnt(*face.rings[0][0][2]), gp_Dir(*normal))), KERNEL_MM)
        for ring in face.rings:
            wire = TopoDS_Wire()
            builder.MakeWire(wire)
            for (number, way, at), (_, _, after) in zip(ring, (*ring[1:], ring[0]), strict=True):
                if number not in edges:
                    low, high = (at, after) if way > 0 else (after, at)
                    edges[number] = BRepBuilderAPI_MakeEdge(vertex(low), vertex(high)).Edge()
                builder.Add(wire, edges[number] if way > 0 else edges[number].Reversed())
            wire.Closed(True)
            builder.Add(made, wire)
        builder.Add(shell, made)
    shell.Closed(True)
    builder.MakeSolid(solid)
    builder.Add(solid, shell)
    return solid
