"""The lines of a view: true outlines, visible and hidden edges.

The part is looked at in slices square to the line of sight. Within a slice every body has the same walls, so the wood
in it is a polygon at its near and at its far side; where the two are equal the walls stand square to the paper and their lines
are edges; where they differ a wall slopes, and only its ends that do not run on into the next slice are edges. What lies
behind wood that was passed before is hidden.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any, TypeAlias

import shapely

from build123.drawing.solid import Polyhedron, Prism
from build123.drawing.viewing import Viewing
from build123.model.frame import Vec, Vec2, dot, sub

Region: TypeAlias = Any
"""A shapely geometry."""

GRID_MM = 1e-4
"""Coordinates of a drawing are told apart to this."""
NEAR_MM = 0.02
"""An edge this near to the rim of what covers it is seen."""
SPECK_MM = 0.05
"""A shorter run of an edge, as is left at such a rim, is not drawn."""


@dataclass(frozen=True, slots=True)
class Edge:
    """A run of edges in view coordinates (mm of wood). `feature` is the number of the feature that made it, -1 the blank."""

    points: tuple[Vec2, ...]
    hidden: bool
    feature: int


@dataclass(frozen=True, slots=True)
class Seen:
    """All edges of a view; `shape` is the silhouette, `low` and `high` its corners."""

    edges: tuple[Edge, ...]
    shape: Region
    low: Vec2
    high: Vec2


class _Slab:
    """A convex body in view coordinates, to be cut across the line of sight."""

    def __init__(self, feature: int, points: Sequence[Vec], edges: Iterable[tuple[int, int]]) -> None:
        self.feature = feature
        self.points = [(p[0], p[1], round(p[2], 6)) for p in points]
        self.edges = list(edges)
        self.low = min(p[2] for p in self.points)
        self.high = max(p[2] for p in self.points)
        self._known: dict[float, Region] = {}

    def levels(self) -> set[float]:
        return {p[2] for p in self.points}

    def at(self, level: float) -> Region:
        found = self._known.get(level)
        if found is None:
            cut: list[Vec2] = []
            for i, j in self.edges:
                p, q = self.points[i], self.points[j]
                if p[2] == level:
                    cut.append(p[:2])
                if q[2] == level:
                    cut.append(q[:2])
                if (p[2] < level < q[2]) or (q[2] < level < p[2]):
                    f = (level - p[2]) / (q[2] - p[2])
                    cut.append((round(p[0] + f * (q[0] - p[0]), 7), round(p[1] + f * (q[1] - p[1]), 7)))
            found = shapely.convex_hull(shapely.multipoints(cut))
            # A body that comes to a ridge or a point has no section there.
            found = self._known[level] = found if found.geom_type == "Polygon" else shapely.Polygon()
        return found


class _Plain:
    """A prism along the line of sight: one polygon through its whole depth."""

    def __init__(self, feature: int, shape: Region, low: float, high: float) -> None:
        self.feature, self.shape, self.low, self.high = feature, shape, round(low, 6), round(high, 6)

    def levels(self) -> set[float]:
        return {self.low, self.high}

    def at(self, level: float) -> Region:
        return self.shape


_Cut: TypeAlias = _Slab | _Plain


def _ring_edges(count: int) -> list[tuple[int, int]]:
    rings = [(k, (k + 1) % count) for k in range(count)]
    return rings + [(a + count, b + count) for a, b in rings] + [(k, k + count) for k in range(count)]


def _of_prism(fine: Prism, coarse: Prism, view: Viewing) -> list[_Cut]:
    along = view.at(sub(fine.far[0], fine.near[0]))
    prism = fine if abs(along[0]) + abs(along[1]) < 1e-6 else coarse
    near, far = [view.at(p) for p in prism.near], [view.at(p) for p in prism.far]
    levels_near, levels_far = {round(p[2], 6) for p in near}, {round(p[2], 6) for p in far}
    straight = all(abs(p[0] - q[0]) < 1e-7 and abs(p[1] - q[1]) < 1e-7 for p, q in zip(near, far, strict=True))
    if straight and len(levels_near) == len(levels_far) == 1:
        holes = [[view.at(p)[:2] for p in island] for island, _ in prism.islands]
        ends = sorted((near[0][2], far[0][2]))
        return [_Plain(prism.feature, shapely.Polygon([p[:2] for p in near], holes), ends[0], ends[1])]
    shape = shapely.Polygon(prism.flat, prism.flat_islands)
    if not prism.islands and shape.area > shape.convex_hull.area * (1 - 1e-9):
        return [_plain(_Slab(prism.feature, near + far, _ring_edges(len(near))))]
    place = dict(zip(prism.flat, zip(near, far, strict=True), strict=True))
    for flat, (a, b) in zip(prism.flat_islands, prism.islands, strict=True):
        place.update(zip(flat, zip(map(view.at, a), map(view.at, b), strict=True), strict=True))
    pieces: list[_Cut] = []
    for triangle in shapely.constrained_delaunay_triangles(shape).geoms:
        corners = [place[(x, y)] for x, y in triangle.exterior.coords[:3]]
        pieces.append(_Slab(prism.feature, [c[0] for c in corners] + [c[1] for c in corners], _ring_edges(3)))
    return pieces


def _plain(slab: _Slab) -> _Cut:
    """A body with two levels and the same section at both, as a prism."""
    if len(slab.levels()) == 2 and slab.at(slab.low).equals(slab.at(slab.high)):
        return _Plain(slab.feature, slab.at(slab.low), slab.low, slab.high)
    return slab


def _of_blank(body: Polyhedron, view: Viewing) -> _Cut:
    points: list[Vec] = []
    edges: list[tuple[int, int]] = []
    for face in body.faces:
        first = len(points)
        points += [view.at(p) for p in face]
        edges += [(first + k, first + (k + 1) % len(face)) for k in range(len(face))]
    return _plain(_Slab(-1, points, edges))


def look(body: Polyhedron, prisms: Sequence[tuple[Prism, Prism]], view: Viewing) -> Seen:
    """Every edge of the part as the view shows it."""
    base = _of_blank(body, view)
    cuts = [cut for fine, coarse in prisms for cut in _of_prism(fine, coarse, view)]
    levels = sorted({w for body in (base, *cuts) for w in body.levels() if base.low <= w <= base.high}, reverse=True)
    visible: list[Region] = []
    hidden: list[Region] = []
    cover: Region = None
    narrow: Region = None
    before: Region = shapely.Polygon()
    last_active: list[_Cut] | None = None
    last_sloped = True
    rims: list[tuple[int, Region]] = []

    def take(lines: Region) -> None:
        if narrow is None:
            visible.append(lines)
        else:
            visible.append(lines.difference(narrow))
            hidden.append(lines.intersection(narrow))

    base_plain = isinstance(base, _Plain)
    known_rims: set[tuple[int, int]] = set()
    for high, low in itertools.pairwise(levels):
        active = [cut for cut in cuts if cut.low <= low and cut.high >= high]
        sloped = not base_plain or any(isinstance(cut, _Slab) and not cut.at(high).equals(cut.at(low)) for cut in active)
        if not sloped and not last_sloped and active == last_active:
            continue
        top = _less(base.at(high), [cut.at(high) for cut in active])
        bottom = _less(base.at(low), [cut.at(low) for cut in active]) if sloped else top
        for cut in active:
            for level in (high, low) if sloped else (high,):
                shape = cut.at(level)
                if (id(cut), id(shape)) not in known_rims:
                    known_rims.add((id(cut), id(shape)))
                    rims.append((cut.feature, shape.boundary))
        rim_top, rim_before = top.boundary, before.boundary
        if sloped:
            rim_bottom = bottom.boundary
            take(rim_top.intersection(rim_bottom))
            take(rim_top.difference(rim_before, grid_size=GRID_MM))
        else:
            take(rim_top)
        if last_sloped and not rim_before.is_empty:
            take(rim_before.difference(rim_top, grid_size=GRID_MM))
        cover = top if cover is None else cover.union(top)
        if sloped:
            cover = cover.union(_passed(base, active, high, low))
        if sloped or low > levels[-1]:
            narrow = cover.buffer(-NEAR_MM, join_style="mitre")
        before, last_active, last_sloped = bottom, active, sloped
    if last_sloped:
        take(before.boundary)
    if not base_plain:
        _slanted(body, view, visible, hidden)
    outline = (-1, base.at(levels[0]).boundary if base_plain else shapely.union_all([base.at(w) for w in levels]).boundary)
    seen = _lines(visible)
    unseen = _lines(hidden)
    unseen = unseen if unseen.is_empty else unseen.difference(seen, grid_size=GRID_MM)
    edges = [*_told_apart(seen, False, outline, rims), *_told_apart(unseen, True, outline, rims)]
    box = shapely.total_bounds([base.at(w) for w in levels])
    return Seen(tuple(edges), cover, (float(box[0]), float(box[1])), (float(box[2]), float(box[3])))


def _passed(base: _Cut, cuts: Sequence[_Cut], high: float, low: float) -> Region:
    """All that a slice with sloping walls covers."""

    def swept(body: _Cut) -> Region:
        return shapely.convex_hull(shapely.union(body.at(high), body.at(low))) if isinstance(body, _Slab) else body.at(high)

    return _less(swept(base), [swept(cut) for cut in cuts])


def _less(shape: Region, cuts: Sequence[Region]) -> Region:
    if not cuts:
        return shape
    return shape.difference(shapely.union_all(cuts) if len(cuts) > 1 else cuts[0], grid_size=GRID_MM)


def _lines(parts: Sequence[Region]) -> Region:
    """Only the lines, broken where they meet, each once."""
    lines = [line for line in shapely.get_parts(shapely.get_parts(parts)) if line.geom_type in ("LineString", "LinearRing")]
    return shapely.union_all(lines, grid_size=GRID_MM)


def _slanted(body: Polyhedron, view: Viewing, visible: list[Region], hidden: list[Region]) -> None:
    """Edges of a trimmed blank that are neither square to the line of sight nor along it."""
    found: dict[tuple[Vec, Vec], list[bool]] = {}
    for face, normal in zip(body.faces, body.normals, strict=True):
        faces_us = dot(normal, view.towards) > 1e-9
        for k, p in enumerate(face):
            a, b = sorted((_rounded(view.at(p)), _rounded(view.at(face[(k + 1) % len(face)]))))
            if abs(a[2] - b[2]) > 1e-3 and abs(a[0] - b[0]) + abs(a[1] - b[1]) > 1e-3:
                found.setdefault((a, b), []).append(faces_us)
    for (a, b), sides in found.items():
        (visible if any(sides) else hidden).append(shapely.LineString([a[:2], b[:2]]))


def _rounded(p: Vec) -> Vec:
    return (round(p[0], 5), round(p[1], 5), round(p[2], 5))


def _told_apart(lines: Region, is_hidden: bool, outline: tuple[int, Region], rims: Sequence[tuple[int, Region]]) -> Iterable[Edge]:
    """The lines by the feature that made them, joined to runs."""
    pieces = [line for line in shapely.get_parts(lines) if line.length > SPECK_MM]
    if not pieces:
        return
    middles = shapely.line_interpolate_point(pieces, 0.5, normalized=True)
    owner = [-1] * len(pieces)
    free = set(range(len(pieces)))
    for feature, rim in (outline, *rims):
        if not free:
            break
        order = sorted(free)
        for k, away in zip(order, shapely.distance(middles[order], rim), strict=True):
            if away < NEAR_MM:
                owner[k] = feature
                free.discard(k)
    for feature in sorted(set(owner)):
        mine = shapely.multilinestrings([piece for piece, who in zip(pieces, owner, strict=True) if who == feature])
        for run in shapely.get_parts(shapely.line_merge(mine)):
            points = run.simplify(GRID_MM).coords
            yield Edge(tuple((x, y) for x, y in points), is_hidden, feature)
