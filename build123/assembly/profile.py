"""One mesh seen along a direction: the faces that look ahead and those that look back, flattened, with their heights.

A body that moves ahead without end meets another exactly where some line along the move has wood of the mover before wood of
the other: so where a face of the mover that looks back lies, on that line, before a face of the other that looks ahead. That
is the whole of the swept test, with no steps that something thin could be jumped by.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

from build123.model.frame import Vec, cross, unit

Floats = NDArray[np.float64]

WALL = 1e-5
"""Cosine below which a face lies along the move: a thousandth of a millimetre over a hundred."""
PLANE_DECIMALS = 6
OFFSET_DECIMALS = 4
LEAST_MM2 = 1e-6
"""Triangles smaller than this, seen along the move, are left out: less than any overlap that is reported."""
CHORD_DEG = 30.0
"""Neighbouring facets of a mesh that turn by less are chords of a curve; joinery has no flat faces so near one another."""
HAIR_MM = 1e-5
"""A cover is taken this much wider, so that edges which only touch its rim need no exact comparison; far below what counts as deep."""
FEW = 50
"""Fewer triangles are quicker compared than sorted out."""
COVERS = 4
"""How many of the largest faces are tried as cover for smaller ones behind them."""


@dataclass(frozen=True, eq=False)
class Side:
    """Faces as shapely outlines in (u, v), height = `base` + `slope` . (u, v); `low`, `high` (n, 2) and `least`, `most` bound them."""

    outlines: NDArray[Any]
    base: Floats
    slope: Floats
    low: Floats
    high: Floats
    least: Floats
    most: Floats

    def moved(self, turn: Floats, shift: Floats, height: float) -> Side:
        """The faces with (u, v) taken to `turn` @ (u, v) + `shift`, all higher by `height`."""
        slope = self.slope @ turn.T
        middle, half = 0.5 * (self.low + self.high) @ turn.T + shift, 0.5 * (self.high - self.low) @ np.abs(turn).T
        outlines = shapely.transform(self.outlines, lambda flat: flat @ turn.T + shift)
        base = self.base + height - slope @ shift
        return Side(outlines, base, slope, middle - half, middle + half, self.least + height, self.most + height)


@dataclass(frozen=True, eq=False)
class Profile:
    """A body seen along `ahead`. `u`, `v`, `ahead` are a right-handed frame."""

    ahead: Vec
    u: Vec
    v: Vec
    front: Side
    back: Side


def axes_of(ahead: Vec) -> tuple[Vec, Vec]:
    """Two unit vectors square to a direction and to each other."""
    least = min(range(3), key=lambda k: (abs(ahead[k]), k))
    u = unit(cross((float(least == 0), float(least == 1), float(least == 2)), ahead))
    return u, cross(ahead, u)


def profile_of(vertices: Floats, faces: NDArray[np.int64], ahead: Vec) -> Profile:
    """The profile of a closed mesh (outward faces) along a unit vector, in the mesh's own frame."""
    u, v = axes_of(ahead)
    corners, normals = facets(vertices, faces)
    cosines = normals @ np.array(ahead)
    frame = np.array([u, v, ahead])
    return Profile(ahead, u, v, _side(corners, normals, cosines > WALL, frame, 1.0), _side(corners, normals, cosines < -WALL, frame, -1.0))


def facets(vertices: Floats, faces: NDArray[np.int64]) -> tuple[Floats, Floats]:
    """Corners (m, 3, 3) and outward unit normals (m, 3) of a mesh's triangles, crumbs left out."""
    corners = vertices[faces]
    square = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    length = np.linalg.norm(square, axis=1)
    kept = length > LEAST_MM2
    return corners[kept], square[kept] / length[kept, None]


def is_round(normals: Floats) -> bool:
    """Whether a mesh has facets of a curve: two normals that nearly agree and do not quite."""
    some = np.unique(np.round(normals, 4), axis=0)
    if len(some) > 200:
        return True
    cosines = some @ some.T
    return bool(np.any((cosines > np.cos(np.radians(CHORD_DEG))) & (cosines < 1 - 1e-6)))


def _side(corners: Floats, normals: Floats, chosen: NDArray[np.bool_], frame: Floats, ahead: float) -> Side:
    """The faces of one side, joined where they share a plane; what larger ones further out cover is left out."""
    corners, normals = corners[chosen] @ frame.T, normals[chosen] @ frame.T
    offsets = np.einsum("ij,ij->i", normals, corners[:, 0])
    keys = np.column_stack([np.round(normals, PLANE_DECIMALS), np.round(offsets, OFFSET_DECIMALS)]) + 0.0
    _, which = np.unique(keys, axis=0, return_inverse=True)
    which = which.reshape(-1)
    flat = shapely.polygons(corners[:, :, :2])
    kept = _outer(flat, which, ahead * corners[:, :, 2])
    order = np.nonzero(kept)[0]
    order = order[np.argsort(which[order], kind="stable")]
    _, starts = np.unique(which[order], return_index=True)
    groups = np.split(order, starts[1:]) if len(order) else []
    outlines = np.array([flat[g[0]] if len(g) == 1 else shapely.coverage_union_all(flat[g]) for g in groups], dtype=object)
    first = np.array([g[0] for g in groups], dtype=np.int64)
    n = normals[first]
    bounds = shapely.bounds(outlines).reshape(-1, 4)
    least = np.array([corners[g, :, 2].min() for g in groups])
    most = np.array([corners[g, :, 2].max() for g in groups])
    return Side(outlines, offsets[first] / n[:, 2], -n[:, :2] / n[:, 2:], bounds[:, :2], bounds[:, 2:], least, most)


def _outer(flat: NDArray[Any], which: NDArray[np.int64], heights: Floats) -> NDArray[np.bool_]:
    """The triangles that the largest faces, together, do not cover from further out; `heights` grow outwards."""
    kept = np.ones(len(flat), dtype=bool)
    if len(flat) < FEW:
        return kept
    areas = np.bincount(which, weights=shapely.area(flat))
    largest = np.argsort(-areas, kind="stable")[:COVERS]
    tops, depths = heights.max(axis=1), np.array([heights[which == k].min() for k in largest])
    cover: Any = shapely.Polygon()
    for n in np.argsort(-depths, kind="stable").tolist():
        mine = which == largest[n]
        cover = shapely.union(cover, shapely.coverage_union_all(flat[mine]))
        behind = np.nonzero(kept & ~mine & (tops <= depths[n]))[0]
        if len(behind):
            wider = shapely.buffer(cover, HAIR_MM, join_style="mitre")
            shapely.prepare(wider)
            kept[behind[shapely.contains_properly(wider, flat[behind])]] = False
    return kept
