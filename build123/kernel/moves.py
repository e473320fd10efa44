"""Whether bodies that move collide, where only the geometry kernel or a mesh boolean can tell."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from build123.kernel.bodies import Floats, Pose
from build123.model.frame import Vec, add, scale
from build123.model.part import Hardware, Part, Rod, Screw

if TYPE_CHECKING:
    import manifold3d

    from build123.kernel.store import Store

HAIR_MM = 1e-3
ROUND_SLACK_MM = 0.15
"""Round hardware is taken this much thinner all round while it moves: more than a mesh's chords leave its hole (0.1 mm)."""


def common_depth_mm(a: Part | Hardware, b: Part | Hardware, moved: Vec, store: Store) -> float:
    """How deep two bodies are in each other with `a` moved by a vector of the piece: 2 x volume over surface, 0 where they are apart.

    KernelFault where the kernel gives up.
    """
    from build123.kernel.fault import KernelFault
    from build123.kernel.overlap_occ import common_pieces

    frame = a.placement
    pose = Pose.of(type(frame)(add(frame.origin, moved), frame.x, frame.y, frame.z), b.placement)
    try:
        pieces = common_pieces(store.shape(a), store.shape(b), pose)
    except RuntimeError as fault:
        raise KernelFault(a.name, (), f"moving it past {b.name}", str(fault)) from fault
    return max((piece.depth_mm for piece in pieces), default=0.0)


class WaysOut:
    """Tries to draw hardware out by its own length. Prepared meshes are kept."""

    def __init__(self, store: Store) -> None:
        self._store = store
        self._wood: dict[str, manifold3d.Manifold] = {}
        self._found: dict[tuple[object, ...], bool] = {}

    def draws(self, thing: Hardware, direction: Vec, travel_mm: float, body: Part | Hardware, tolerance_mm: float) -> bool:
        """Whether `thing` passes `body` on its way, a straight move along a direction of the piece.

        What the thing fills at home is left out: there its thread or a press fit may bite. The space that it then sweeps is
        the convex hull of the thing at both ends of the move, for things without hollows the very space.
        """
        local = tuple(round(x, 9) + 0.0 for x in thing.placement.local_vector(direction))
        pose = Pose.of(thing.placement, body.placement)
        key = (thing.shape_key, local, round(travel_mm, 6), body.shape_key, pose.key, tolerance_mm)
        if key not in self._found:
            self._found[key] = self._passes(thing, (local[0], local[1], local[2]), travel_mm, body, pose, tolerance_mm)
        return self._found[key]

    def _passes(self, thing: Hardware, local: Vec, travel_mm: float, body: Part | Hardware, pose: Pose, tolerance_mm: float) -> bool:
        points = thinned(thing, self._store.mesh(thing).vertices)
        if thing.bites and isinstance(thing.solid, Rod | Screw):
            if local == (0.0, 0.0, 1.0):
                return False  # nothing that is driven comes out by its point
            if local == (0.0, 0.0, -1.0) and not _reaches(points, _corners(self._store, body), travel_mm, pose):
                return True  # it sweeps only what lies behind its head, and the body is not there
        import manifold3d

        home = manifold3d.Manifold.hull_points(points)
        swept = manifold3d.Manifold.hull_points(np.concatenate([points, points + np.array(scale(local, travel_mm))]))
        matrix = np.column_stack([pose.turn, pose.shift])
        met = (swept - home) ^ self._mesh(body).transform(matrix)
        return all(2 * lump.volume() <= tolerance_mm * lump.surface_area() for lump in met.decompose())

    def _mesh(self, body: Part | Hardware) -> manifold3d.Manifold:
        from build123.kernel.interference import manifold_of

        if body.shape_key not in self._wood:
            self._wood[body.shape_key] = manifold_of(self._store.mesh(body))
        return self._wood[body.shape_key]


def _reaches(points: Floats, other: Floats, travel_mm: float, pose: Pose) -> bool:
    """Whether the box of what a fastener sweeps behind its head comes into the box of a body; `other` are corners of that box."""
    low, high = points.min(axis=0), points.max(axis=0)
    placed = pose.points(other)
    own_low, own_high = placed.min(axis=0) + HAIR_MM, placed.max(axis=0) - HAIR_MM
    swept_low, swept_high = np.array([low[0], low[1], low[2] - travel_mm]), np.array([high[0], high[1], low[2]])
    return bool(np.all(own_low < swept_high) and np.all(own_high > swept_low))


def _corners(store: Store, body: Part | Hardware) -> Floats:
    """The corners (8, 3) of a body's box, in its own frame."""
    vertices = store.mesh(body).vertices
    low, high = vertices.min(axis=0), vertices.max(axis=0)
    return np.array([[x, y, z] for x in (low[0], high[0]) for y in (low[1], high[1]) for z in (low[2], high[2])])


def thinned(body: Part | Hardware, vertices: Floats) -> Floats:
    """The vertices of a mesh; those of a rod drawn in by `ROUND_SLACK_MM` towards its axis."""
    if isinstance(body, Part) or not isinstance(body.solid, Rod):
        return vertices
    share = max(0.0, 1.0 - 2 * ROUND_SLACK_MM / body.solid.diameter_mm)
    return vertices * np.array([share, share, 1.0])
