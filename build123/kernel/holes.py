"""Holes without a boolean: a hole's walls are put into the faces that they start and end on.

Only for holes that are proved clear: wholly within the blank (their mouths apart) and apart from every tool and from one
another by `CLEAR_MM`. Then the solid about the hole is untouched blank, its mouth lies wholly within one plane face, and
taking the hole out is exact. The cost grows with the number of holes, not with its square.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray
from OCP.Bnd import Bnd_Box
from OCP.BRep import BRep_Builder
from OCP.BRepAdaptor import BRepAdaptor_Surface
from OCP.BRepBndLib import BRepBndLib
from OCP.BRepClass import BRepClass_FaceClassifier
from OCP.BRepTools import BRepTools
from OCP.GeomAbs import GeomAbs_Plane
from OCP.gp import gp_Pnt
from OCP.TopAbs import TopAbs_FORWARD, TopAbs_IN, TopAbs_REVERSED
from OCP.TopoDS import TopoDS, TopoDS_Face, TopoDS_Iterator, TopoDS_Shape, TopoDS_Shell, TopoDS_Solid, TopoDS_Wire

from build123.kernel.blank import Blank
from build123.kernel.drills import Turned, turned, turned_section
from build123.kernel.tool import Tool
from build123.kernel.walk import faces_of
from build123.model.feature import Feature, Hole
from build123.model.frame import EXACT_MM, Box, Vec, add, dot, scale

CLEAR_MM = 0.01
"""A hole nearer than this to anything else is left to the boolean: far above rounding, below anything in a shop."""


@dataclass(frozen=True, eq=False)
class Bored:
    """A plain hole, square to a face of the blank: `at` on that face, `axis` into the wood, `depth_mm` its whole depth."""

    feature: Feature
    section: Turned
    at: Vec
    axis: Vec
    across: Vec
    depth_mm: float
    radius_mm: float
    through: bool


def bored(feature: Feature, blank: Blank) -> Bored | None:
    """The hole where it is round, square to a face of the blank and within its outline; else None."""
    hole = feature.geometry
    if not isinstance(hole, Hole) or hole.axis != (0.0, 0.0, -1.0) or hole.slot != (0.0, 0.0):
        return None
    frame = hole.datum.frame
    normal = [k for k in range(3) if abs(frame.z[k]) == 1.0]
    if len(normal) != 1 or hole.datum.surface == "trim":
        return None
    k = normal[0]
    at, axis, size = frame.point((*hole.point, 0.0)), scale(frame.z, -1.0), blank.size
    surface = size[k] if frame.z[k] > 0 else 0.0
    if abs(at[k] - surface) > EXACT_MM:
        return None
    at = (surface if k == 0 else at[0], surface if k == 1 else at[1], surface if k == 2 else at[2])
    section = turned_section(hole, 0.0, size[k])
    depth, radius = section[-1][1], max(r for r, _ in section)
    if section[-1][1] > size[k] - CLEAR_MM and not hole.through:
        return None
    if any(at[j] < radius + CLEAR_MM or at[j] > size[j] - radius - CLEAR_MM for j in range(3) if j != k):
        return None
    return Bored(feature, section, at, axis, frame.x, depth, radius, hole.through)


def clear_of(holes: Sequence[Bored], tools: Sequence[Tool]) -> list[bool]:
    """For each hole whether it is apart from every tool and every other hole, by boxes about them."""
    if not holes:
        return []
    start = np.array([h.at for h in holes])
    half = np.array([scale(h.axis, h.depth_mm / 2) for h in holes])
    middle = start + half
    radius = np.array([h.radius_mm for h in holes])[:, None] + CLEAR_MM
    axis = np.array([h.axis for h in holes])
    clear = np.ones(len(holes), dtype=bool)
    for tool in tools:
        axes = np.array([tool.frame.x, tool.frame.y, tool.frame.z])
        at = (middle - np.array(tool.frame.origin)) @ axes.T
        reach = _reach(half @ axes.T, axis @ axes.T, radius)
        clear &= np.any((at + reach < np.array(tool.low)) | (at - reach > np.array(tool.high)), axis=1)
    reach = _reach(half, axis, radius)
    return [bool(one) for one in clear & _apart(middle - reach, middle + reach, holes)]


def _reach(half: NDArray[np.float64], axis: NDArray[np.float64], radius: NDArray[np.float64]) -> NDArray[np.float64]:
    """Half the extent of round holes along some axes: half the depth's share and the disc's."""
    return np.asarray(np.abs(half) + radius * np.sqrt(np.clip(1.0 - axis * axis, 0.0, 1.0)) + CLEAR_MM)


def _apart(low: NDArray[np.float64], high: NDArray[np.float64], holes: Sequence[Bored]) -> NDArray[np.bool_]:
    """Holes with overlapping boxes, unless they are parallel and their axes far enough from each other, are not apart."""
    order = np.argsort(low[:, 0], kind="stable")
    apart = np.ones(len(holes), dtype=bool)
    sorted_low = low[order]
    last = np.searchsorted(sorted_low[:, 0], high[order, 0], side="right")
    for n, i in enumerate(order):
        others = order[n + 1 : last[n]]
        meet = np.all((low[others] <= high[i]) & (high[others] >= low[i]), axis=1)
        for j in others[meet]:
            if not _axes_apart(holes[i], holes[j]):
                apart[i] = apart[j] = False
    return apart


def _axes_apart(a: Bored, b: Bored) -> bool:
    if abs(dot(a.axis, b.axis)) < 0.5:
        return False
    gap = sum((p - q) ** 2 for p, q, n in zip(a.at, b.at, a.axis, strict=True) if n == 0.0) ** 0.5
    return gap > a.radius_mm + b.radius_mm + CLEAR_MM


def with_holes(solid: TopoDS_Shape, holes: Sequence[Bored]) -> TopoDS_Solid:
    """The solid with clear holes taken out. LookupError where a mouth lies in no face."""
    faces = [_Mouths(face) for face in faces_of(solid)]
    looking: dict[Vec, list[_Mouths]] = {}
    walls: list[TopoDS_Shape] = []
    for hole in holes:
        up = scale(hole.axis, -1.0)
        for normal in (up, hole.axis):
            if normal not in looking:
                looking[normal] = [face for face in faces if face.looks(normal)]
        for face in faces_of(turned(hole.section, hole.at, hole.axis, hole.across)):
            depth = _depth(face, hole)
            if depth is not None and abs(depth) <= EXACT_MM:
                _at(looking[up], hole.at).rims.append(BRepTools.OuterWire_s(face))
            elif depth is not None and hole.through and abs(depth - hole.depth_mm) <= EXACT_MM:
                far = add(hole.at, scale(hole.axis, hole.depth_mm))
                _at(looking[hole.axis], far).rims.append(BRepTools.OuterWire_s(face))
            else:
                walls.append(face.Reversed())
    return _closed([_pierced(one.face, one.rims) for one in faces] + walls)


def _depth(face: TopoDS_Face, hole: Bored) -> float | None:
    """How deep a face of a hole's solid lies; None for one that is not plane (its plane faces are square to the axis)."""
    surface = BRepAdaptor_Surface(face, False)
    if surface.GetType() != GeomAbs_Plane:
        return None
    return dot(hole.axis, surface.Plane().Location().Coord()) - dot(hole.axis, hole.at)


class _Mouths:
    """A face of the solid with the rims of holes that start or end in it."""

    def __init__(self, face: TopoDS_Face) -> None:
        self.face = face
        self.rims: list[TopoDS_Wire] = []
        surface = BRepAdaptor_Surface(face, False)
        self._normal: Vec | None = None
        if surface.GetType() == GeomAbs_Plane:
            position = surface.Plane().Position()
            turned_over = (face.Orientation() == TopAbs_REVERSED) == position.Direct()
            self._normal = scale(position.Direction().Coord(), -1.0 if turned_over else 1.0)

    def looks(self, normal: Vec) -> bool:
        """Whether it is plane and its outward normal is `normal`."""
        return self._normal is not None and dot(self._normal, normal) > 1 - EXACT_MM

    @cached_property
    def box(self) -> Box:
        """A box about it."""
        box = Bnd_Box()
        BRepBndLib.Add_s(self.face, box, False)
        x0, y0, z0, x1, y1, z1 = box.Get()
        return Box((x0, y0, z0), (x1, y1, z1))


def _at(faces: Sequence[_Mouths], p: Vec) -> _Mouths:
    """The one of some faces that holds `p`."""
    found = [one for one in faces if one.box.holds(p)]
    for one in found:
        if len(found) == 1 or BRepClass_FaceClassifier(one.face, gp_Pnt(*p), 1e-7).State() == TopAbs_IN:
            return one
    raise LookupError("no face at the mouth of a hole")


def _pierced(face: TopoDS_Face, rims: Sequence[TopoDS_Wire]) -> TopoDS_Shape:
    """The face with the rims of holes as further inner wires. A rim runs counter-clockwise seen from outside the wood."""
    if not rims:
        return face
    builder = BRep_Builder()
    made = TopoDS.Face_s(face.EmptyCopied())
    made.Orientation(TopAbs_FORWARD)
    wires = TopoDS_Iterator(face.Oriented(TopAbs_FORWARD))
    while wires.More():
        builder.Add(made, wires.Value())
        wires.Next()
    for rim in rims:
        builder.Add(made, rim if face.Orientation() == TopAbs_REVERSED else rim.Reversed())
    made.Orientation(face.Orientation())
    return made


def _closed(faces: Sequence[TopoDS_Shape]) -> TopoDS_Solid:
    builder = BRep_Builder()
    shell, solid = TopoDS_Shell(), TopoDS_Solid()
    builder.MakeShell(shell)
    for face in faces:
        builder.Add(shell, face)
    shell.Closed(True)
    builder.MakeSolid(solid)
    builder.Add(solid, shell)
    return solid
