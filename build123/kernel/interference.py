"""Wood that two bodies both claim: boxes find pairs, meshes nominate, the geometry kernel decides."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import manifold3d
import numpy as np

from build123.kernel.bodies import Body, Pose, placed_box
from build123.kernel.faces import ShapeFaces
from build123.kernel.fault import KernelFault
from build123.kernel.rods import prism_about, rod_is_clear, turned_about
from build123.model.frame import Box, Frame, Vec
from build123.model.measured import Mesh, Overlap
from build123.model.part import Hardware, Rod, Screw

REPORT_MM = 1e-3
"""Overlaps up to this deep are not told from rounding: the honest limit measured for this method."""
NOMINATE_MM = 0.5 * REPORT_MM
"""A mesh overlap this deep is put to the geometry kernel."""
CRUMB_MM3 = 1e-9


@dataclass(frozen=True, eq=False)
class Claim:
    """One body as the interference check sees it: its faces and its mesh (a rod's and a screw's is a body of flats about it)."""

    body: Body
    faces: ShapeFaces
    mesh: manifold3d.Manifold


@dataclass(frozen=True, eq=False)
class LocalOverlap:
    """An overlap in the frame of body a."""

    volume_mm3: float
    depth_mm: float
    at: Vec
    box: Box
    mesh: Mesh | None

    def placed(self, a: str, b: str, frame: Frame) -> Overlap:
        """The overlap in the piece's frame, with `frame` the placement of a."""
        turn, origin = np.array([frame.x, frame.y, frame.z]), np.array(frame.origin)
        mesh = self.mesh
        if mesh is not None:
            mesh = Mesh(mesh.vertices @ turn + origin, mesh.faces, tuple(line @ turn + origin for line in mesh.lines))
        return Overlap(a, b, self.volume_mm3, self.depth_mm, frame.point(self.at), placed_box(self.box, frame), mesh)


def manifold_of(mesh: Mesh) -> manifold3d.Manifold:
    """A mesh for booleans, double precision; RuntimeError where it is not closed."""
    made = manifold3d.Manifold(manifold3d.Mesh64(np.ascontiguousarray(mesh.vertices, float), np.ascontiguousarray(mesh.faces, np.uint64)))
    if made.status() != manifold3d.Error.NoError:
        raise RuntimeError(f"the mesh is not closed: {made.status().name}")
    return made


def claim_of(body: Body, faces: ShapeFaces) -> Claim:
    """A body made ready for the check."""
    match body.thing.solid if body.thing is not None else None:
        case Rod() as rod:
            return Claim(body, faces, prism_about(rod, 0.0, rod.length_mm))
        case Screw() as screw:
            return Claim(body, faces, turned_about(screw))
        case _:
            return Claim(body, faces, manifold_of(body.mesh()))


def overlap_of(a: Claim, b: Claim, pose: Pose) -> LocalOverlap | None:
    """The overlap of two bodies whose boxes meet, b lying in a's frame at `pose`; None where they are apart or touch.

    None too where no lump is over `REPORT_MM` deep. `depth_mm` is twice volume over surface of the deepest lump, `at` the
    centre of the largest. Raises RuntimeError where the kernel gives up.
    """
    if not _nominated(a, b, pose):
        return None
    from build123.kernel.overlap_occ import common_pieces

    pieces = common_pieces(a.body.solid, b.body.solid, pose)
    deepest = max((piece.depth_mm for piece in pieces), default=0.0)
    if deepest <= REPORT_MM:
        return None
    largest = max(pieces, key=lambda piece: piece.volume_mm3)
    box = Box.around([corner for piece in pieces for corner in (piece.box.low, piece.box.high)])
    volume = sum(piece.volume_mm3 for piece in pieces)
    return LocalOverlap(volume, deepest, largest.at, box, _shown([piece.solid for piece in pieces if piece.depth_mm > REPORT_MM]))


def _nominated(a: Claim, b: Claim, pose: Pose) -> bool:
    """Whether the geometry kernel must decide.

    A mesh has no less wood than its solid at plane and hollow faces, so a miss there is a miss. A bulging face of a part
    may be up to the mesh's deflection fuller than its mesh: where one comes near, the kernel always decides.
    """
    if a.body.rod is not None and b.body.rod is None:
        if rod_is_clear(a.body.rod, pose.back(), b.faces, b.mesh) and not _bulge_near(b.faces, a.faces, pose.back()):
            return False
    elif b.body.rod is not None and a.body.rod is None:
        if rod_is_clear(b.body.rod, pose, a.faces, a.mesh) and not _bulge_near(a.faces, b.faces, pose):
            return False
    elif isinstance(a.body.thing, Hardware) != isinstance(b.body.thing, Hardware) and _is_screw(a, b):
        part, thing, back = (b, a, pose.back()) if a.body.thing is not None else (a, b, pose)
        if _bulge_near(part.faces, thing.faces, back):
            return True
    else:
        if a.body.rod is None and (_bulge_near(a.faces, b.faces, pose) or _bulge_near(b.faces, a.faces, pose.back())):
            return True
    return _deep(a.mesh ^ b.mesh.transform(np.column_stack([pose.turn, pose.shift])))


def _is_screw(a: Claim, b: Claim) -> bool:
    return any(one.body.thing is not None and isinstance(one.body.thing.solid, Screw) for one in (a, b))


def _bulge_near(own: ShapeFaces, other: ShapeFaces, pose: Pose) -> bool:
    """Whether the other body's box reaches into the box of a bulging face; `pose` places the other."""
    if not own.bulges:
        return False
    low, high = pose.boxes(np.array([other.box.low]), np.array([other.box.high]))
    inner = Box(tuple(low[0] + NOMINATE_MM), tuple(high[0] - NOMINATE_MM))
    return any(inner.meets(bulge) for bulge in own.bulges)


def _deep(common: manifold3d.Manifold) -> bool:
    volume = common.volume()
    if volume <= CRUMB_MM3:
        return False
    if 2 * volume > NOMINATE_MM * common.surface_area():
        return True
    return any(2 * lump.volume() > NOMINATE_MM * lump.surface_area() for lump in common.decompose())


def boxes_meet(a: Box, b: Box, pose: Pose) -> bool:
    """Whether two bodies' boxes share more than a face, each looked at along its own axes."""
    return _reaches(a, b, pose) and _reaches(b, a, pose.back())


def _reaches(a: Box, b: Box, pose: Pose) -> bool:
    low, high = pose.boxes(np.array([b.low]), np.array([b.high]))
    return bool(np.all(low[0] < np.array(a.high) - NOMINATE_MM) and np.all(high[0] > np.array(a.low) + NOMINATE_MM))


def _shown(lumps: list[Any]) -> Mesh | None:
    """Some lumps as one mesh; None where one is too thin to be meshed, which takes nothing from the finding."""
    from build123.kernel.mesh import mesh_of

    try:
        meshes = [mesh_of(lump) for lump in lumps]
    except KernelFault:
        return None
    starts = np.cumsum([0, *(len(mesh.vertices) for mesh in meshes)])
    faces = np.concatenate([mesh.faces + start for mesh, start in zip(meshes, starts, strict=False)])
    return Mesh(np.concatenate([mesh.vertices for mesh in meshes]), faces, tuple(line for mesh in meshes for line in mesh.lines))
