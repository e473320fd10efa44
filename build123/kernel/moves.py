"""Whether bodies that move collide, where only the geometry kernel or a mesh boolean can tell."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from build123.kernel.bodies import Floats, Pose
from build123.model.frame import Vec, add, scale
from build123.model.part import Hardware, Part, Rod

if TYPE_CHECKING:
    import manifold3d

    from build123.kernel.store import Store

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


def thinned(body: Part | Hardware, vertices: Floats) -> Floats:
    """The vertices of a mesh; those of a rod drawn in by `ROUND_SLACK_MM` towards its axis."""
    if isinstance(body, Part) or not isinstance(body.solid, Rod):
        return vertices
    share = max(0.0, 1.0 - 2 * ROUND_SLACK_MM / body.solid.diameter_mm)
    return vertices * np.array([share, share, 1.0])
