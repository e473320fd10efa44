"""Hatching of cut wood (ISO 128-3): thin lines at 45 degrees, neighbours the other way or in another pitch, thin wood solid."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping

import shapely

from build123.drawing.vocabulary import Area, Item, Line
from build123.model.frame import Vec2

STYLES = ((45.0, 1.6), (135.0, 1.6), (45.0, 2.4), (135.0, 2.4), (45.0, 1.1), (135.0, 1.1))
"""Angle and pitch, mm; never below 0.7 mm (ISO 128-2)."""
SOLID_MM = 0.8
"""Cut wood thinner than this on paper is black (ISO 128-3 custom)."""
TOUCH_MM = 0.5
"""Wood this near on paper is a neighbour."""


def styles(areas: Mapping[int, shapely.Geometry]) -> dict[int, tuple[float, float]]:
    """A style for each area, other than those of its neighbours as far as there are enough."""
    order = sorted(areas, key=lambda k: (-areas[k].area, k))
    tree = shapely.STRtree([areas[k] for k in order])
    chosen: dict[int, int] = {}
    for k in order:
        near = [order[n] for n in tree.query(areas[k], predicate="dwithin", distance=TOUCH_MM) if order[n] != k]
        taken = {chosen[other] for other in near if other in chosen}
        chosen[k] = next((n for n in range(len(STYLES)) if n not in taken), 0)
    return {k: STYLES[n] for k, n in chosen.items()}


def hatched(area: shapely.Geometry, style: tuple[float, float]) -> Iterator[Item]:
    """The hatching of an area on paper."""
    for piece in getattr(area, "geoms", [area]):
        if piece.is_empty or piece.geom_type != "Polygon":
            continue
        if piece.buffer(-SOLID_MM / 2).is_empty:
            yield Area(_points(piece))
        else:
            yield from _lines(piece, *style)


def _points(piece: shapely.Polygon) -> tuple[Vec2, ...]:
    return tuple((float(x), float(y)) for x, y in list(piece.exterior.coords)[:-1])


def _lines(piece: shapely.Polygon, angle_deg: float, pitch: float) -> Iterator[Item]:
    dx, dy = math.cos(math.radians(angle_deg)), math.sin(math.radians(angle_deg))
    left, low, right, high = piece.bounds
    corners = [(x, y) for x in (left, right) for y in (low, high)]
    offs = [dx * y - dy * x for x, y in corners]
    alongs = [dx * x + dy * y for x, y in corners]
    first, last = math.ceil(min(offs) / pitch), math.floor(max(offs) / pitch)
    ruled = shapely.MultiLineString(
        [
            [(dx * t - dy * n * pitch, dy * t + dx * n * pitch) for t in (min(alongs) - 1.0, max(alongs) + 1.0)]
            for n in range(first, last + 1)
        ]
    )
    for line in shapely.get_parts(shapely.intersection(ruled, piece)):
        if line.geom_type == "LineString" and line.length > 0.05:
            a, b = line.coords[0], line.coords[-1]
            yield Line((float(a[0]), float(a[1])), (float(b[0]), float(b[1])))
