"""Meshes of solids: welded, closed, outward, double precision (mm)."""

from __future__ import annotations

import cadquery as cq
import numpy as np
from numpy.typing import NDArray
from OCP.BRep import BRep_Tool
from OCP.BRepLib import BRepLib
from OCP.BRepMesh import BRepMesh_IncrementalMesh
from OCP.BRepTools import BRepTools
from OCP.GeomAbs import GeomAbs_C0
from OCP.IMeshTools import IMeshTools_MeshAlgoType, IMeshTools_Parameters
from OCP.TopAbs import TopAbs_EDGE, TopAbs_REVERSED
from OCP.TopExp import TopExp_Explorer
from OCP.TopLoc import TopLoc_Location
from OCP.TopoDS import TopoDS, TopoDS_Face
from OCP.TopTools import TopTools_MapOfShape

from build123.kernel.fault import KernelFault
from build123.kernel.walk import faces_of
from build123.model.measured import Mesh

SMOOTH_RAD = 0.01
"""Two faces that meet at less than this are one to the eye: their edge is not drawn."""
ANGLE_SHARE = 2.0
"""The kernel divides a circle at half the angle that it is given (measured on OCCT 7.9.3: 43 chords for 0.3 rad, not 21)."""

Point = tuple[float, float, float]


def mesh_of(solid: cq.Solid, deflection_mm: float = 0.1, angle_rad: float = 0.3) -> Mesh:
    """The solid's mesh in the solid's own frame, its vertices on the solid's surfaces.

    `angle_rad` is the most that a curve turns from chord to chord, `deflection_mm` the most that a chord leaves it.
    Nodes that two faces share are equal to the last bit, so welding is exact. `lines` are the edges where two faces meet
    at an angle, each once. Raises KernelFault where the mesh is not closed.
    """
    shape = solid.wrapped
    parameters = IMeshTools_Parameters()
    parameters.MeshAlgo = IMeshTools_MeshAlgoType.IMeshTools_MeshAlgoType_Delabella
    parameters.Deflection, parameters.Angle = deflection_mm, angle_rad * ANGLE_SHARE
    BRepTools.Clean_s(shape, True)
    BRepMesh_IncrementalMesh(shape, parameters)
    BRepLib.EncodeRegularity_s(shape, SMOOTH_RAD)
    index: dict[Point, int] = {}
    triangles: list[tuple[int, int, int]] = []
    lines: list[NDArray[np.float64]] = []
    drawn = TopTools_MapOfShape()
    for face in faces_of(shape):
        nodes = _face(face, index, triangles)
        _edges(face, nodes, drawn, lines)
    vertices = np.array(list(index), dtype=np.float64).reshape(-1, 3)
    mesh = Mesh(vertices, np.array(triangles, dtype=np.int64).reshape(-1, 3), tuple(lines))
    if not is_closed(mesh.faces):
        raise KernelFault("a solid", (), "meshing", "the mesh is not closed")
    return mesh


def is_closed(faces: NDArray[np.int64]) -> bool:
    """Whether every edge is used once each way: closed, manifold along edges, one orientation."""
    if not len(faces):
        return False
    n = int(faces.max()) + 1
    a, b = faces.ravel(), np.roll(faces, -1, axis=1).ravel()
    forth, back = np.sort(a * n + b), np.sort(b * n + a)
    return bool(np.array_equal(forth, back) and np.all(forth[1:] != forth[:-1]))


def _face(face: TopoDS_Face, index: dict[Point, int], triangles: list[tuple[int, int, int]]) -> list[Point]:
    """Adds a face's triangles and returns its nodes (first is number 1 in the kernel)."""
    place = TopLoc_Location()
    found = BRep_Tool.Triangulation_s(face, place)
    if found is None:
        raise KernelFault("a solid", (), "meshing", "a face has no mesh")
    if place.IsIdentity():
        nodes: list[Point] = [p.Coord() for p in map(found.Node, range(1, found.NbNodes() + 1))]
    else:
        moved = place.Transformation()
        nodes = [p.Transformed(moved).Coord() for p in map(found.Node, range(1, found.NbNodes() + 1))]
    welded = [-1, *(index.setdefault(p, len(index)) for p in nodes)]
    flipped = face.Orientation() == TopAbs_REVERSED
    for corners in map(found.Triangle, range(1, found.NbTriangles() + 1)):
        i, j, m = corners.Get()
        a, b, c = welded[i], welded[j], welded[m]
        if a != b and b != c and c != a:
            triangles.append((a, c, b) if flipped else (a, b, c))
    return nodes


def _edges(face: TopoDS_Face, nodes: list[Point], drawn: TopTools_MapOfShape, lines: list[NDArray[np.float64]]) -> None:
    """Adds the edges of a face that are to be seen and are not there yet."""
    place = TopLoc_Location()
    mesh = BRep_Tool.Triangulation_s(face, place)
    walk = TopExp_Explorer(face, TopAbs_EDGE)
    while walk.More():
        edge = TopoDS.Edge_s(walk.Current())
        walk.Next()
        if not drawn.Add(edge) or BRep_Tool.Degenerated_s(edge) or BRep_Tool.IsClosed_s(edge, face):
            continue
        if BRep_Tool.MaxContinuity_s(edge) != GeomAbs_C0:
            continue
        polygon = BRep_Tool.PolygonOnTriangulation_s(edge, mesh, place)
        line = [nodes[polygon.Node(k) - 1] for k in range(1, polygon.NbNodes() + 1)]
        lines.append(np.array(line, dtype=np.float64))
