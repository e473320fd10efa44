"""Regions of the plane that keep their arcs: joined and cut as polygons, given back as lines and arcs."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any, TypeAlias

import shapely

from build123.model.feature import Outline, Vertex
from build123.model.frame import Vec2

Region: TypeAlias = Any
"""A shapely geometry."""
Round: TypeAlias = tuple[float, float, float]
"""A circle: centre and radius."""

STEP_RAD = math.radians(0.25)
"""Chords of an arc. The corners lie on it; where an arc crosses another line, the crossing is 2.4e-6 of the radius off at most."""
GRID_MM = 1e-6
"""Coordinates are told apart to this."""
OFF_ARC = 3e-6
"""Of the radius: a corner this near to a circle lies on it (see STEP_RAD)."""
SPECK_MM = 1e-5
"""A shorter side is none."""


@dataclass(frozen=True)
class Flat:
    """A region and the circles that its arcs are of."""

    shape: Region
    rounds: tuple[Round, ...] = ()

    @property
    def empty(self) -> bool:
        """Whether nothing is left that has an area."""
        return bool(self.shape.is_empty) or self.shape.area < GRID_MM


def flat_of(outline: Outline, islands: Iterable[Outline] = ()) -> Flat:
    """The region within an outline."""
    holes = list(islands)
    rounds = [_round(a, b) for ring in (outline, *holes) for a, b in _sides(ring) if a.bulge]
    shape = shapely.Polygon(_corners(outline), [_corners(hole) for hole in holes])
    return Flat(shapely.set_precision(shape, GRID_MM), tuple(dict.fromkeys(rounds)))


def joined(flats: Sequence[Flat]) -> Flat:
    """Their union."""
    if len(flats) == 1:
        return flats[0]
    return Flat(shapely.union_all([one.shape for one in flats], grid_size=GRID_MM), _rounds(flats))


def less(flat: Flat, others: Sequence[Flat]) -> Flat:
    """What is left of a region without others."""
    if not others:
        return flat
    taken = shapely.union_all([one.shape for one in others], grid_size=GRID_MM)
    return Flat(flat.shape.difference(taken, grid_size=GRID_MM), _rounds([flat, *others]))


def apart(flat: Flat) -> list[Flat]:
    """Its connected pieces, from left to right."""
    pieces = [piece for piece in shapely.get_parts(flat.shape) if piece.geom_type == "Polygon" and piece.area > GRID_MM]
    return [Flat(piece, flat.rounds) for piece in sorted(pieces, key=lambda piece: piece.bounds)]


def rings(flat: Flat) -> tuple[Outline, ...]:
    """The lines of a region: each outer one counter-clockwise, then its islands, likewise."""
    found: list[Outline] = []
    for piece in apart(flat):
        # Where two lines meet at the edge, rounding may leave a side that is no longer than itself.
        for ring in (piece.shape.exterior, *piece.shape.interiors):
            corners = [(float(x), float(y)) for x, y in ring.coords[:-1]]
            corners = [p for n, p in enumerate(corners) if math.dist(p, corners[n - 1]) > SPECK_MM]
            if not ring.is_ccw:
                corners.reverse()
            found.append(_from_least(_with_arcs(corners, flat.rounds)))
    return tuple(found)


def _from_least(ring: Outline) -> Outline:
    """Begun at the leftmost of the lowest corners, wherever the library began."""
    k = min(range(len(ring)), key=lambda n: (ring[n].y, ring[n].x))
    return ring[k:] + ring[:k]


def _rounds(flats: Sequence[Flat]) -> tuple[Round, ...]:
    return tuple(dict.fromkeys(found for one in flats for found in one.rounds))


def _sides(ring: Outline) -> Iterable[tuple[Vertex, Vertex]]:
    return zip(ring, (*ring[1:], ring[0]), strict=True)


def _round(a: Vertex, b: Vertex) -> Round:
    off = (1 - a.bulge * a.bulge) / (4 * a.bulge)
    cx, cy = (a.x + b.x) / 2 - off * (b.y - a.y), (a.y + b.y) / 2 + off * (b.x - a.x)
    return (round(cx, 6), round(cy, 6), round(math.hypot(a.x - cx, a.y - cy), 6))


def _corners(ring: Outline) -> list[Vec2]:
    points: list[Vec2] = []
    for a, b in _sides(ring):
        points.append((a.x, a.y))
        if not a.bulge:
            continue
        cx, cy, radius = _round(a, b)
        sweep = 4 * math.atan(a.bulge)
        first = math.atan2(a.y - cy, a.x - cx)
        steps = max(2, math.ceil(abs(sweep) / STEP_RAD))
        points += [
            (cx + radius * math.cos(first + sweep * n / steps), cy + radius * math.sin(first + sweep * n / steps)) for n in range(1, steps)
        ]
    return points


def _with_arcs(corners: list[Vec2], rounds: Sequence[Round]) -> Outline:
    """A ring of points as lines and arcs; corners on a straight line go."""
    count = len(corners)
    of = [_arc_of(corners[k], corners[(k + 1) % count], rounds) for k in range(count)]
    if of[0] is not None and all(one == of[0] for one in of):
        half = count // 2
        return (Vertex(*_placed(corners[0]), 1.0), Vertex(*_placed(corners[half]), 1.0)) if count % 2 == 0 else _circle(corners[0], of[0])
    start = next((k for k in range(count) if of[k] != of[k - 1] or (of[k] is None and not _runs_on(corners, k))), 0)
    made: list[Vertex] = []
    k = 0
    while k < count:
        n = (start + k) % count
        length = 1
        while k + length < count and of[n] is not None and of[(n + length) % count] == of[n]:
            length += 1
        own = of[n]
        if own is not None:
            made.append(
                Vertex(
                    *_placed(corners[n]), _bulge(corners[n], corners[(n + length // 2) % count], corners[(n + length) % count], own, length)
                )
            )
        elif not (of[n - 1] is None and _runs_on(corners, n)):
            made.append(Vertex(*_placed(corners[n])))
        k += length
    return tuple(made)


def _placed(p: Vec2) -> Vec2:
    return (round(p[0], 6) + 0.0, round(p[1], 6) + 0.0)


def _circle(p: Vec2, of: Round) -> Outline:
    return (Vertex(*_placed(p), 1.0), Vertex(*_placed((2 * of[0] - p[0], 2 * of[1] - p[1])), 1.0))


def _runs_on(corners: list[Vec2], k: int) -> bool:
    """Whether a corner lies on the straight line from the one before to the one after."""
    a, b, c = corners[k - 1], corners[k], corners[(k + 1) % len(corners)]
    (ux, uy), (vx, vy) = (b[0] - a[0], b[1] - a[1]), (c[0] - b[0], c[1] - b[1])
    across = abs(ux * vy - uy * vx) / math.hypot(c[0] - a[0], c[1] - a[1])
    return ux * vx + uy * vy > 0.0 and across <= 2 * GRID_MM


def _arc_of(a: Vec2, b: Vec2, rounds: Sequence[Round]) -> Round | None:
    """The circle that a side is a chord of."""
    for one in rounds:
        cx, cy, radius = one
        near = radius * OFF_ARC + 2 * GRID_MM
        if abs(math.hypot(a[0] - cx, a[1] - cy) - radius) > near or abs(math.hypot(b[0] - cx, b[1] - cy) - radius) > near:
            continue
        if math.hypot(a[0] - b[0], a[1] - b[1]) <= radius * math.pi / 2 * 1.001 and math.hypot(a[0] - b[0], a[1] - b[1]) <= _chord(radius):
            return one
    return None


def _chord(radius: float) -> float:
    """The longest chord that an arc is cut into: a short arc is cut in two at least."""
    return 2 * radius * math.sin(STEP_RAD / 2) * 1.001 + 2 * GRID_MM


def _bulge(first: Vec2, middle: Vec2, last: Vec2, of: Round, length: int) -> float:
    """Of the arc from first to last; which way it turns and how far, the corner between them tells."""
    cx, cy, _ = of
    turn = math.atan2(last[1] - cy, last[0] - cx) - math.atan2(first[1] - cy, first[0] - cx)
    if length == 1:
        sweep = math.remainder(turn, 2 * math.pi)
    else:
        part = math.remainder(math.atan2(middle[1] - cy, middle[0] - cx) - math.atan2(first[1] - cy, first[0] - cx), 2 * math.pi)
        sweep = turn % (2 * math.pi) if part > 0 else turn % (2 * math.pi) - 2 * math.pi
    return round(math.tan(sweep / 4), 9)
