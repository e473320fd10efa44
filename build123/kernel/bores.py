"""Bores of one part, and the wood beside and beyond them."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely

from build123.kernel.faces import CylinderFace, ShapeFaces
from build123.model.frame import add, dot, scale
from build123.model.measured import Bore, BoreWall

ALONG = 1e-6
"""Sine below which a bore runs along a face."""
NEAR_MM = 1e-3
"""A face that a bore cuts open comes within this of the bore's surface."""


def bores_of(faces: ShapeFaces) -> tuple[Bore, ...]:
    """All cylindrical faces; `base` is the mouth of a blind hole. The round end of a trench has `whole` 0.5."""
    return tuple(Bore(c.base, c.tip, c.radius_mm, c.hollow, min(1.0, c.whole)) for c in faces.cylinders)


def bore_walls(faces: ShapeFaces) -> tuple[BoreWall, ...]:
    """For each drilled hole (numbered as in `bores_of`) the least wood beside it, and beyond the bottom of a blind one.

    Beside: to plane faces along the axis, over the bore's own stretch; negative where the face cuts the bore open.
    Beyond: from the bottom, or from the point of a drill's cone, along the axis to the face there.
    """
    return tuple(wall for n, bore in enumerate(faces.cylinders) if bore.drilled for wall in _walls(faces, n, bore))


def _walls(faces: ShapeFaces, n: int, bore: CylinderFace) -> Iterator[BoreWall]:
    beside = _beside(faces, n, bore)
    if beside is not None:
        yield beside
    if not bore.open_tip:
        beyond = _beyond(faces, n, bore)
        if beyond is not None:
            yield beyond


def _beside(faces: ShapeFaces, n: int, bore: CylinderFace) -> BoreWall | None:
    inside = faces.offsets - faces.normals @ np.array(bore.base)
    possible = np.nonzero((np.abs(faces.normals @ np.array(bore.axis)) < ALONG) & (inside > -bore.radius_mm))[0]
    best: BoreWall | None = None
    for k in possible[np.argsort(inside[possible], kind="stable")].tolist():
        depth = float(inside[k])
        if best is not None and depth - bore.radius_mm >= best.wall_mm:
            break
        face = faces.planes[k]
        line = shapely.LineString([(dot(p, face.u), dot(p, face.v)) for p in (bore.base, bore.tip)])
        aside = float(shapely.distance(line, face.outline))
        if depth < bore.radius_mm:
            if aside * aside + depth * depth > (bore.radius_mm + NEAR_MM) ** 2:
                continue
            wall = depth - bore.radius_mm
        else:
            wall = float(np.hypot(depth, aside)) - bore.radius_mm
        if best is None or wall < best.wall_mm:
            spot = shapely.shortest_line(line, face.outline).coords[-1]
            best = BoreWall(n, round(wall, 9) + 0.0, face.point((spot[0], spot[1])), "beside")
    return best


def _beyond(faces: ShapeFaces, n: int, bore: CylinderFace) -> BoreWall | None:
    bottom = add(bore.tip, scale(bore.axis, bore.point_mm))
    slopes = faces.normals @ np.array(bore.axis)
    ahead = np.nonzero(slopes > 0.1)[0]
    rises = (faces.offsets[ahead] - faces.normals[ahead] @ np.array(bottom)) / slopes[ahead]
    for rise, k in sorted(zip(rises.tolist(), ahead.tolist(), strict=True)):
        face = faces.planes[k]
        hit = add(bottom, scale(bore.axis, rise))
        reach = bore.radius_mm if slopes[k] > 1 - ALONG else 0.0
        if rise > 0 and shapely.distance(shapely.Point(dot(hit, face.u), dot(hit, face.v)), face.outline) <= reach:
            return BoreWall(n, round(rise, 9), hit, "beyond")
    return None
