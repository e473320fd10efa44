"""The wood that one trench or pocket takes, as a region of the face it is cut from; where it is open, and its inside corners."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from build123.cutting.flat import Flat, flat_of
from build123.cutting.operation import Side
from build123.cutting.sides import flat, seen
from build123.model.feature import EndKind, Outline, Pocket, Trench, TrenchEnd, Vertex
from build123.model.frame import PLAN_MM, Vec2
from build123.model.part import Part

QUARTER = math.tan(math.pi / 8)
"""The bulge of a quarter circle."""
Reach = tuple[float, float, float, float]
"""How far a trench runs on past its start, its end, its left and its right side, mm."""


@dataclass(frozen=True, slots=True)
class Corner:
    """A square inside corner as seen: unit vectors along its two walls, and how long these are."""

    at: Vec2
    walls: tuple[Vec2, Vec2]
    long_mm: tuple[float, float]


@dataclass(frozen=True, slots=True)
class Opening:
    """An open end or side: its middle as seen, the unit vector out of it, and how wide it is."""

    at: Vec2
    out: Vec2
    wide_mm: float


@dataclass(frozen=True)
class Taken:
    """What a feature takes. `openings` are a trench's, in the order of `Reach`; `grown` is the same run on past them."""

    flat: Flat
    depth_mm: float
    through: bool
    trench: bool
    corners: tuple[Corner, ...]
    openings: tuple[Opening | None, ...] = ()
    grown: Callable[[Reach], Flat] | None = None


def trench_taken(part: Part, side: Side, trench: Trench) -> Taken:
    """A trench square to the face, in plan."""
    frame = trench.datum.frame
    (sx, sy), (ex, ey) = trench.start, trench.end
    length = math.hypot(ex - sx, ey - sy)
    ax, ay = (ex - sx) / length, (ey - sy) / length
    half = trench.width_mm / 2

    def on_datum(x: float, y: float) -> Vec2:
        return (sx + ax * x - ay * y, sy + ay * x + ax * y)

    def paper(x: float, y: float) -> Vec2:
        return flat(side, frame.point((*on_datum(x, y), 0.0)))

    def way(x: float, y: float) -> Vec2:
        a, b = paper(0.0, 0.0), paper(x, y)
        return (b[0] - a[0], b[1] - a[1])

    def grown(reach: Reach) -> Flat:
        start, end, left, right = reach
        plan = _plan(trench, (-start, length + end), (-half - right, half + left))
        return flat_of(seen(side, trench.datum, tuple(Vertex(*on_datum(v.x, v.y), v.bulge) for v in plan)))

    opens = EndKind.open
    openings = (
        Opening(paper(0.0, 0.0), way(-1.0, 0.0), trench.width_mm) if trench.start_end.kind is opens else None,
        Opening(paper(length, 0.0), way(1.0, 0.0), trench.width_mm) if trench.end_end.kind is opens else None,
        Opening(paper(length / 2, half), way(0.0, 1.0), length) if trench.open_left else None,
        Opening(paper(length / 2, -half), way(0.0, -1.0), length) if trench.open_right else None,
    )
    corners = []
    for end, x, inward in ((trench.start_end, 0.0, 1.0), (trench.end_end, length, -1.0)):
        for is_open, y, across in ((trench.open_left, half, -1.0), (trench.open_right, -half, 1.0)):
            if end.kind is EndKind.square and not is_open:
                corners.append(Corner(paper(x, y), (way(inward, 0.0), way(0.0, across)), (length, trench.width_mm)))
    deep = deep_mm(part, side)
    cuts_through = trench.depth_mm >= deep - PLAN_MM
    return Taken(grown((0.0, 0.0, 0.0, 0.0)), min(trench.depth_mm, deep), cuts_through, True, tuple(corners), openings, grown)


def deep_mm(part: Part, side: Side) -> float:
    """The wood behind a side of the blank."""
    return {"x": part.length_mm, "y": part.width_mm, "z": part.thickness_mm}[side.surface[1]]


def _plan(trench: Trench, xs: Vec2, ys: Vec2) -> Outline:
    """The channel in its own frame: x along it, y to the left."""

    def radius(end: TrenchEnd, is_open: bool) -> float:
        return end.radius_mm if end.kind is EndKind.round and not is_open else 0.0

    start, end = trench.start_end, trench.end_end
    corners = (
        (xs[0], ys[0], radius(start, trench.open_right), (0.0, 1.0), (1.0, 0.0)),
        (xs[1], ys[0], radius(end, trench.open_right), (-1.0, 0.0), (0.0, 1.0)),
        (xs[1], ys[1], radius(end, trench.open_left), (0.0, -1.0), (-1.0, 0.0)),
        (xs[0], ys[1], radius(start, trench.open_left), (1.0, 0.0), (0.0, -1.0)),
    )
    ring: list[Vertex] = []
    for x, y, r, before, after in corners:
        if r == 0.0:
            ring.append(Vertex(x, y))
        else:
            ring += [Vertex(x + before[0] * r, y + before[1] * r, QUARTER), Vertex(x + after[0] * r, y + after[1] * r)]
    following = (*ring[1:], ring[0])
    return tuple(a for a, b in zip(ring, following, strict=True) if math.hypot(a.x - b.x, a.y - b.y) > PLAN_MM)


def pocket_taken(part: Part, side: Side, pocket: Pocket) -> Taken:
    """A pocket with upright walls, in plan. Sides on the edge of the wood are given past it already."""
    outline = seen(side, pocket.datum, pocket.outline)
    islands = [seen(side, pocket.datum, island) for island in pocket.islands]
    deep = deep_mm(part, side)
    depth = deep if pocket.depth_mm is None else min(pocket.depth_mm, deep)
    return Taken(flat_of(outline, islands), depth, depth >= deep - PLAN_MM, False, tuple(square_corners(outline)))


def square_corners(ring: Outline, outwards: bool = False) -> Iterator[Corner]:
    """Where two straight sides of a counter-clockwise ring meet and turn left; with `outwards`, where they turn right."""
    hand = -1.0 if outwards else 1.0
    for k, at in enumerate(ring):
        before, after = ring[k - 1], ring[(k + 1) % len(ring)]
        if before.bulge or at.bulge:
            continue
        u, v = (before.x - at.x, before.y - at.y), (after.x - at.x, after.y - at.y)
        long_u, long_v = math.hypot(*u), math.hypot(*v)
        u, v = (u[0] / long_u, u[1] / long_u), (v[0] / long_v, v[1] / long_v)
        if hand * (v[0] * u[1] - v[1] * u[0]) > TURN:
            yield Corner((at.x, at.y), (u, v), (long_u, long_v))


TURN = math.sin(math.radians(1.0))
"""Two sides that turn by less are one wall to a cutter."""
