"""A small picture of a part from the front, the right and above, made from its features alone.

The blank is convex, so it hides nothing of itself but its back. A convex hollow is seen only through its mouth on a side
that faces the reader, and all of it that lies behind the mouth: its edges are clipped to the mouths' outlines. Hollows that
are not convex are shown by their mouths.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import shapely

from build123.drawing.layout import Block
from build123.drawing.solid import Polyhedron, Prism, around
from build123.drawing.standard import Standard
from build123.drawing.vocabulary import Group, Item, Label, Line, Pen, SheetView
from build123.model.feature import Hole
from build123.model.frame import Plane, Vec, Vec2, add, cross, dot, norm, scale, sub, unit
from build123.model.part import Part

SIZE_MM = (56.0, 34.0)
"""The largest picture on paper."""
TOWARDS: Vec = unit((1.0, -1.0, 1.0))
"""The reader looks at the right end, the front edge and the worked face alike (isometric)."""
RIGHT: Vec = unit((1.0, 1.0, 0.0))
UP: Vec = cross(TOWARDS, RIGHT)
INSIDE_MM = 0.02
RING = 16
"""Corners of a hole's rim."""

_Segment = tuple[Vec, Vec]


def _flat(p: Vec) -> Vec2:
    return (dot(RIGHT, p), dot(UP, p))


@dataclass(frozen=True, slots=True)
class Picture:
    """Lines in mm of wood, still to be placed."""

    lines: tuple[tuple[Vec2, Vec2], ...]
    low: Vec2
    high: Vec2
    standard: Standard

    @property
    def factor(self) -> float:
        """The scale that fills the room; a picture is not measured."""
        return min(SIZE_MM[0] / (self.high[0] - self.low[0]), SIZE_MM[1] / (self.high[1] - self.low[1]), 1.0)

    @property
    def block(self) -> Block:
        """The room that it takes."""
        wide, high = (self.high[0] - self.low[0]) * self.factor, (self.high[1] - self.low[1]) * self.factor
        return Block(max(wide, 40.0) + 2.0, high + self.standard.text_mm + 5.0)

    def placed(self, corner: Vec2) -> SheetView:
        """The picture with the upper left corner of its block there."""
        height = self.standard.text_mm
        top = corner[1] - height - 3.0
        origin = (corner[0] + 1.0 - self.low[0] * self.factor, top - self.high[1] * self.factor)
        items: list[Item] = []
        for a, b in self.lines:
            p, q = ((origin[0] + x * self.factor, origin[1] + y * self.factor) for x, y in (a, b))
            items.append(Line(p, q, Pen.thin))
        title = Label("picture, not to scale", (corner[0], corner[1] - height), height, bold=True)
        return SheetView("picture", title.text, self.factor, origin, (Group("note", (title,)), Group("section", tuple(items))))


def picture(part: Part, body: Polyhedron, prisms: Sequence[tuple[Prism, Prism]], standard: Standard) -> Picture:
    """The lines that are seen."""
    hollows = [hollow for _, coarse in prisms for hollow in _convex(coarse)]
    mouths: list[Any] = []
    found: list[tuple[Vec2, Vec2]] = []
    facing = [(face, way) for face, way in zip(body.faces, body.normals, strict=True) if dot(way, TOWARDS) > 1e-9]
    rims: list[_Segment] = []
    for hollow in hollows:
        mine = []
        for face, way in facing:
            mouth = _mouth(hollow, face, way)
            if len(mouth) > 2:
                mine.append(shapely.Polygon([_flat(p) for p in mouth]))
                rims += [(a, b) for a, b in zip(mouth, mouth[1:] + mouth[:1], strict=True) if not _on_edge(body, a, b)]
        mouths.append(shapely.union_all(mine) if mine else None)
    edges = [(face[k], face[(k + 1) % len(face)]) for face, _ in facing for k in range(len(face))]
    single: dict[tuple[Vec, Vec], _Segment] = {}
    for a, b in edges:
        key = tuple(sorted((_rounded(a), _rounded(b))))
        single[(key[0], key[1])] = (a, b)
    for a, b in (*single.values(), *rims):
        for p, q in _outside((a, b), hollows):
            found.append((_flat(p), _flat(q)))
    for k, (hollow, mouth) in enumerate(zip(hollows, mouths, strict=True)):
        if mouth is None:
            continue
        others = hollows[:k] + hollows[k + 1 :]
        for edge in _edges(hollow):
            within = _inside(edge, body)
            for a, b in _outside(within, others) if within else ():
                seen = shapely.LineString([_flat(a), _flat(b)]).intersection(mouth)
                found += [(run.coords[0], run.coords[-1]) for run in shapely.get_parts(seen) if run.length > 0]
    for feature in part.features:
        if isinstance(feature.geometry, Hole):
            found += _hole(feature.geometry, facing)
    points = [_flat(p) for face in body.faces for p in face]
    low, high = (min(p[0] for p in points), min(p[1] for p in points)), (max(p[0] for p in points), max(p[1] for p in points))
    return Picture(tuple(line for line in found if math.dist(*line) > 1e-3), low, high, standard)


def _rounded(p: Vec) -> Vec:
    return (round(p[0], 4), round(p[1], 4), round(p[2], 4))


@dataclass(frozen=True, slots=True)
class _Hollow:
    near: tuple[Vec, ...]
    far: tuple[Vec, ...]
    planes: tuple[Plane, ...]


def _convex(prism: Prism) -> Iterator[_Hollow]:
    """The prism where it is convex, else its hull; the hull of what is ruled between two equal rings."""
    hull = shapely.Polygon(prism.flat).convex_hull
    corners = {(round(x, 6), round(y, 6)) for x, y in hull.exterior.coords}
    kept = [k for k, (x, y) in enumerate(prism.flat) if (round(x, 6), round(y, 6)) in corners]
    near, far = tuple(prism.near[k] for k in kept), tuple(prism.far[k] for k in kept)
    if len(near) < 3:
        return
    middle = scale(_sum((*near, *far)), 1 / (2 * len(near)))
    faces = [near, far] + [(near[k], near[(k + 1) % len(near)], far[(k + 1) % len(near)], far[k]) for k in range(len(near))]
    planes = []
    for face in faces:
        way = cross(sub(face[1], face[0]), sub(face[2], face[0]))
        if norm(way) < 1e-9:
            way = cross(sub(face[2], face[0]), sub(face[-1], face[0]))
        if norm(way) < 1e-9:
            continue
        way = unit(way)
        if dot(way, sub(middle, face[0])) > 0:
            way = scale(way, -1.0)
        planes.append(Plane(way, dot(way, face[0])))
    yield _Hollow(near, far, tuple(planes))


def _sum(points: Sequence[Vec]) -> Vec:
    return (sum(p[0] for p in points), sum(p[1] for p in points), sum(p[2] for p in points))


def _edges(hollow: _Hollow) -> Iterator[_Segment]:
    count = len(hollow.near)
    for k in range(count):
        yield hollow.near[k], hollow.far[k]
        yield hollow.far[k], hollow.far[(k + 1) % count]
        yield hollow.near[k], hollow.near[(k + 1) % count]


def _mouth(hollow: _Hollow, face: tuple[Vec, ...], way: Vec) -> tuple[Vec, ...]:
    """Where a hollow opens on a side of the blank: the side's polygon clipped to the hollow."""
    loop = list(face)
    for plane in hollow.planes:
        clipped: list[Vec] = []
        for a, b in zip(loop, loop[1:] + loop[:1], strict=True):
            da, db = plane.distance(a), plane.distance(b)
            if da <= 1e-9:
                clipped.append(a)
            if (da < -1e-9 and db > 1e-9) or (da > 1e-9 and db < -1e-9):
                clipped.append(add(a, scale(sub(b, a), da / (da - db))))
        loop = clipped
        if len(loop) < 3:
            return ()
    return around(loop, way)


def _on_edge(body: Polyhedron, a: Vec, b: Vec) -> bool:
    """Whether a line lies on an edge of the blank."""
    middle = scale(add(a, b), 0.5)
    return sum(abs(dot(way, sub(middle, face[0]))) < INSIDE_MM for face, way in zip(body.faces, body.normals, strict=True)) > 1


def _stretch(line: _Segment, planes: Sequence[Plane], slack: float) -> Vec2 | None:
    """The part of a line, as shares of its length, that lies within planes."""
    low, high = 0.0, 1.0
    for plane in planes:
        da, db = plane.distance(line[0]) - slack, plane.distance(line[1]) - slack
        if da > 0 and db > 0:
            return None
        if da > 0:
            low = max(low, da / (da - db))
        elif db > 0:
            high = min(high, da / (da - db))
    return (low, high) if high > low else None


def _between(line: _Segment, low: float, high: float) -> _Segment:
    a, way = line[0], sub(line[1], line[0])
    return add(a, scale(way, low)), add(a, scale(way, high))


def _outside(line: _Segment, hollows: Sequence[_Hollow]) -> Iterator[_Segment]:
    """What of a line lies in no hollow; a line on a hollow's wall is kept."""
    gone = sorted(s for h in hollows if (s := _stretch(line, h.planes, -INSIDE_MM)) is not None)
    at = 0.0
    for low, high in gone:
        if low > at + 1e-9:
            yield _between(line, at, low)
        at = max(at, high)
    if at < 1.0 - 1e-9:
        yield _between(line, at, 1.0)


def _inside(line: _Segment, body: Polyhedron) -> _Segment | None:
    """What of a hollow's edge lies within the blank."""
    planes = [Plane(way, dot(way, face[0])) for face, way in zip(body.faces, body.normals, strict=True)]
    found = _stretch(line, planes, INSIDE_MM / 10)
    return _between(line, *found) if found else None


def _hole(hole: Hole, facing: Sequence[tuple[tuple[Vec, ...], Vec]]) -> Iterator[tuple[Vec2, Vec2]]:
    """The rim of a hole on a side that is seen."""
    frame = hole.datum.frame
    if not any(dot(way, frame.z) > 0.9999 for _, way in facing):
        return
    half = (hole.slot[0] / 2, hole.slot[1] / 2)
    turn = math.atan2(half[1], half[0]) - math.pi / 2
    radius = hole.steps[0].diameter_mm / 2
    ring: list[Vec2] = []
    for k in range(RING):
        angle = turn + k * math.tau / RING
        side = 1.0 if k < RING / 2 else -1.0
        ring.append(
            _flat(
                frame.point(
                    (
                        hole.point[0] + radius * math.cos(angle) + side * half[0],
                        hole.point[1] + radius * math.sin(angle) + side * half[1],
                        0.0,
                    )
                )
            )
        )
    yield from zip(ring, ring[1:] + ring[:1], strict=True)
