"""Solids cut by a plane: the loops of wood in it."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely

from build123.drawing.piece_look import Eye, Placed
from build123.model.wireframe import Floats

ON_MM = 1e-7
"""A corner this near to the plane lies in it. What lies in the plane counts as before it: the cut is that of a plane a hair behind."""


def loops(body: Placed, eye: Eye, depth: float) -> Iterator[Floats]:
    """The outlines (n, 2) of what the plane w = `depth` cuts of a solid, in the picture; wood lies on the left."""
    seen = body.seen(eye, body.wire.corners)
    height = seen[:, 2] - depth
    height[np.abs(height) < ON_MM] = 0.0
    above = height >= 0.0
    triangles = body.wire.triangles
    mixed = triangles[above[triangles].any(axis=1) & ~above[triangles].all(axis=1)]
    # From crossed edge to crossed edge. Where solids touch along an edge, four triangles share it: any of the ways on serves.
    follow: dict[tuple[int, int], list[tuple[int, int]]] = {}
    for corners in mixed.tolist():
        ups = [above[c] for c in corners]
        lone = next(k for k in range(3) if ups[k] != ups[k - 1] and ups[k] != ups[(k + 1) % 3])
        tip, after, before = corners[lone], corners[(lone + 1) % 3], corners[lone - 1]
        one, two = (min(tip, before), max(tip, before)), (min(tip, after), max(tip, after))
        if ups[lone]:
            follow.setdefault(one, []).append(two)
        else:
            follow.setdefault(two, []).append(one)
    for start in follow:
        while follow[start]:
            ring = [start]
            at = follow[start].pop()
            while at != start:
                ring.append(at)
                at = follow[at].pop()
            loop = _tidy(np.array([_crossing(seen, height, a, b) for a, b in ring]))
            if len(loop) >= 3:
                yield loop


def _crossing(seen: Floats, height: Floats, a: int, b: int) -> Floats:
    share = height[a] / (height[a] - height[b])
    crossing: Floats = seen[a, :2] + (seen[b, :2] - seen[a, :2]) * share
    return crossing


def _tidy(ring: Floats) -> Floats:
    """Without points that lie on one another or on the straight between their neighbours."""
    kept = ring[np.linalg.norm(ring - np.roll(ring, 1, axis=0), axis=1) > 1e-7]
    if len(kept) < 3:
        return np.asarray(kept, dtype=np.float64)
    before, after = kept - np.roll(kept, 1, axis=0), np.roll(kept, -1, axis=0) - kept
    turn = before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0]
    bent: Floats = kept[np.abs(turn) > 1e-9 * np.linalg.norm(before, axis=1) * np.linalg.norm(after, axis=1)]
    return bent


def polygon(rings: list[Floats]) -> shapely.Geometry:
    """The area of one body's loops: even ones are wood."""
    area = shapely.Polygon()
    for ring in rings:
        # A loop may touch itself where the plane goes through an edge of the solid.
        area = area.symmetric_difference(shapely.make_valid(shapely.Polygon(ring)))
    return area
