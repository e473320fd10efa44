"""Solids cut by a plane: the loops of wood in it."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely

from build123.drawing.piece_look import Eye, Placed
from build123.model.wireframe import Floats


def loops(body: Placed, eye: Eye, depth: float) -> Iterator[Floats]:
    """The outlines (n, 2) of what the plane w = `depth` cuts of a solid, in the picture; wood lies on the left."""
    seen = body.seen(eye, body.wire.corners)
    height = seen[:, 2] - depth
    above = height >= 0.0
    triangles = body.wire.triangles
    mixed = triangles[above[triangles].any(axis=1) & ~above[triangles].all(axis=1)]
    follow: dict[tuple[int, int], tuple[int, int]] = {}
    for corners in mixed.tolist():
        ups = [above[c] for c in corners]
        lone = next(k for k in range(3) if ups[k] != ups[k - 1] and ups[k] != ups[(k + 1) % 3])
        tip, after, before = corners[lone], corners[(lone + 1) % 3], corners[lone - 1]
        one, two = (min(tip, before), max(tip, before)), (min(tip, after), max(tip, after))
        if ups[lone]:
            follow[one] = two
        else:
            follow[two] = one
    while follow:
        start = next(iter(follow))
        ring = [start]
        at = follow.pop(start)
        while at != start:
            ring.append(at)
            at = follow.pop(at)
        yield _tidy(np.array([_crossing(seen, height, a, b) for a, b in ring]))


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
        area = area.symmetric_difference(shapely.Polygon(ring))
    return area
