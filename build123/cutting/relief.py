"""Where an inside corner is relieved: a circle through the corner, so that what is square comes home.

The circle is of a cutter that most routers hold, or of a smaller one where a wall is too short for it. It is a layer of its own: who
chops the corners square leaves it out.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

import shapely

from build123.cutting.flat import Flat, less
from build123.cutting.operation import Relieved
from build123.cutting.shapes import Corner, Taken
from build123.model.frame import PLAN_MM
from build123.trade.cutters import Cutter

MOST_MM = 6.36
"""Across: 1/4 in or 6 mm, the cutter that most routers hold; a larger one takes more than it must (common practice, from memory)."""
STRICTLY_MM = 10 * PLAN_MM


def reliefs(taken: Sequence[tuple[Taken, bool]], solid: Flat, cutters: Sequence[Cutter]) -> list[Relieved]:
    """The circles of one face; each feature comes with whether something seats in it. `solid` is the wood as seen before."""
    found: dict[tuple[float, float, float], Relieved] = {}
    for one, seats in taken:
        if not seats or not one.corners:
            continue
        deeper = [other.flat for other, _ in taken if other is not one and other.depth_mm >= one.depth_mm - PLAN_MM]
        wood = less(solid, deeper).shape
        inside = wood.buffer(-STRICTLY_MM)
        for corner in one.corners:
            if not shapely.Point(corner.at).within(inside):
                continue
            cutter = _cutter(corner, wood, cutters)
            if cutter is not None:
                circle = _circle(corner, cutter.radius_mm, one)
                found.setdefault((*circle.at, circle.depth_mm), circle)
    return sorted(found.values(), key=lambda circle: (circle.depth_mm, circle.at))


def _cutter(corner: Corner, wood: object, cutters: Iterable[Cutter]) -> Cutter | None:
    """The largest that is no wider than the walls are long, as far as these stand in the wood; else the smallest."""
    x, y = corner.at
    shortest = math.inf
    for (ux, uy), long_mm in zip(corner.walls, corner.long_mm, strict=True):
        wall = shapely.LineString([(x, y), (x + ux * long_mm, y + uy * long_mm)])
        shortest = min(shortest, float(wall.intersection(wood).length))
    small = [cutter for cutter in cutters if cutter.diameter_mm <= MOST_MM]
    return next((cutter for cutter in small if cutter.diameter_mm <= shortest + STRICTLY_MM), small[-1] if small else None)


def _circle(corner: Corner, radius_mm: float, one: Taken) -> Relieved:
    (ux, uy), (vx, vy) = corner.walls
    long = math.hypot(ux + vx, uy + vy)
    at = (corner.at[0] + (ux + vx) / long * radius_mm, corner.at[1] + (uy + vy) / long * radius_mm)
    return Relieved((round(at[0], 6), round(at[1], 6)), radius_mm, one.depth_mm, one.through)
