"""Orthographic and axonometric pictures of many solids: which stretches of their edges are seen.

A segment is hidden where it lies within a triangle, seen from the eye, and behind it. Both are straight, so the stretch is an
interval with exact ends; no raster and no sampling. Time is bounded by the pairs of boxes that meet in the picture.
Coordinates of a picture are (u right, v up, w towards the eye), mm of wood.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from numpy.typing import NDArray

from build123.model.frame import Frame, Vec, Vec2, cross, unit
from build123.model.wireframe import Edge, Floats, Ints, Wireframe

BEHIND_MM = 0.01
"""Nearer than this one surface does not hide what lies on it: faces that touch."""
GROWN_MM = 1e-6
"""What lies exactly under a rim is hidden: the rim itself is drawn there."""
EDGE_ON = 1e-6
"""Cosine between a face and the eye below which it is seen as a line."""
LEAST_T = 1e-7
FIRST = 400
"""So many of the largest triangles are tried first; what they hide is not tried again."""


@dataclass(frozen=True, slots=True)
class Eye:
    """Where a picture is seen from: unit vectors of the piece, right-handed, `towards` the eye."""

    right: Vec
    up: Vec
    towards: Vec

    @classmethod
    def at(cls, towards: Vec, up: Vec = (0.0, 0.0, 1.0)) -> Eye:
        """From a direction, with `up` upwards on paper."""
        w = unit(towards)
        u = unit(cross(up, w))
        return cls(u, cross(w, u), w)

    @property
    def matrix(self) -> Floats:
        """Rows: u, v, w."""
        return np.array([self.right, self.up, self.towards])

    def see(self, p: Vec) -> Vec:
        """A point of the piece in the picture."""
        u, v, w = (self.matrix @ np.array(p)).tolist()
        return (u, v, w)


FRONT = Eye((1.0, 0.0, 0.0), (0.0, 0.0, 1.0), (0.0, -1.0, 0.0))
LEFT = Eye((0.0, -1.0, 0.0), (0.0, 0.0, 1.0), (-1.0, 0.0, 0.0))
RIGHT = Eye((0.0, 1.0, 0.0), (0.0, 0.0, 1.0), (1.0, 0.0, 0.0))
TOP = Eye((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
BACKED = 0.881917
DIMETRIC = Eye.at((1.0 / 3.0, -BACKED, 1.0 / 3.0))
"""ISO 5456-3: width and height in one scale, depth in half of it (the axes at 7 and 42 degrees)."""


@dataclass(frozen=True, eq=False)
class Placed:
    """A solid in its place. `whole` ones are not cut by a section: pins and dowels along it (ISO 128-3 custom)."""

    name: str
    wire: Wireframe
    placement: Frame
    shift: Vec = (0.0, 0.0, 0.0)
    whole: bool = False

    @cached_property
    def turn(self) -> Floats:
        """Columns: the axes of the solid in the piece."""
        f = self.placement
        turn: Floats = np.array([f.x, f.y, f.z]).T
        return turn

    @cached_property
    def origin(self) -> Floats:
        """Where the solid's origin lies in the piece."""
        origin: Floats = np.array(self.placement.origin) + np.array(self.shift)
        return origin

    def seen(self, eye: Eye, points: Floats) -> Floats:
        """Points of the solid's frame (n, 3) in the picture."""
        matrix = eye.matrix
        seen: Floats = points @ (matrix @ self.turn).T + matrix @ self.origin
        return seen


@dataclass(frozen=True, slots=True)
class Stroke:
    """A stretch of an edge that is seen: two points of a line, or more of a curve. `arc` is (centre, radius, from, to), radians."""

    body: int
    points: tuple[Vec2, ...]
    arc: tuple[Vec2, float, float, float] | None = None


class Picture:
    """Solids seen by an eye; nearer than `cut` nothing is there but bodies that are whole."""

    def __init__(self, bodies: Sequence[Placed], eye: Eye, cut: float = math.inf, caps: Sequence[tuple[int, Floats]] = ()) -> None:
        """`caps` are loops (n, 2) of wood in the cutting plane, by body."""
        self.bodies, self.eye, self.cut = bodies, eye, cut
        self._pieces: list[tuple[int, Edge | None, Floats]] = []
        corners: list[Floats] = []
        limits: list[Floats] = []
        owners: list[Ints] = []
        for k, body in enumerate(bodies):
            limit = math.inf if body.whole else cut
            seen = body.seen(eye, body.wire.corners)
            front = body.wire.normals @ (body.turn.T @ np.array(eye.towards)) > EDGE_ON
            mine = seen[body.wire.triangles[front]]
            mine = mine[mine[:, :, 2].min(axis=1) < limit]
            corners.append(mine)
            limits.append(np.full(len(mine), limit))
            owners.append(np.full(len(mine), k, dtype=np.int64))
            self._add_edges(k, body, front, limit)
        for k, triangles in _capped(caps):
            corners.append(np.concatenate([triangles, np.full((*triangles.shape[:2], 1), cut)], axis=2))
            limits.append(np.full(len(triangles), math.inf))
            owners.append(np.full(len(triangles), k, dtype=np.int64))
        for k, loop in caps:
            ring = np.concatenate([loop, loop[:1]])
            self._pieces.append((k, None, np.column_stack([ring, np.full(len(ring), cut)])))
        self.triangles = np.concatenate(corners) if corners else np.zeros((0, 3, 3))
        self.limits = np.concatenate(limits) if limits else np.zeros(0)
        self.owner = np.concatenate(owners) if owners else np.zeros(0, dtype=np.int64)
        self._hiders = _Hiders(self.triangles, self.limits)

    def _add_edges(self, k: int, body: Placed, front: NDArray[np.bool_], limit: float) -> None:
        wire = body.wire
        looking = np.zeros(int(wire.face_of.max()) + 1 if len(wire.face_of) else 1, dtype=bool)
        looking[wire.face_of[front]] = True
        shown = [edge for edge in wire.edges if looking[edge.faces[0]] or looking[edge.faces[1]]]
        runs: list[tuple[Edge | None, Floats]] = [(edge, edge.points) for edge in shown]
        view = body.turn.T @ np.array(self.eye.towards)
        for barrel in wire.barrels:
            side = np.cross(barrel.axis, view)
            size = float(np.linalg.norm(side))
            if size < EDGE_ON:
                continue
            for out in (side / size, -side / size):
                about = math.atan2(float(np.cross(barrel.start, out) @ barrel.axis), float(barrel.start @ out)) % math.tau
                if about <= barrel.sweep_rad:
                    base = barrel.base + out * barrel.radius_mm
                    runs.append((None, np.array([base, base + barrel.axis * barrel.length_mm])))
        if not runs:
            return
        seen = body.seen(self.eye, np.concatenate([points for _, points in runs]))
        at = 0
        for edge, points in runs:
            mine = seen[at : at + len(points)]
            at += len(points)
            if mine[:, 2].min() < limit:
                self._pieces.append((k, edge, mine))

    def strokes(self) -> list[Stroke]:
        """Everything that is seen of the edges, by body."""
        if not self._pieces:
            return []
        starts = np.concatenate([points[:-1] for _, _, points in self._pieces])
        ends = np.concatenate([points[1:] for _, _, points in self._pieces])
        counts = [len(points) - 1 for _, _, points in self._pieces]
        limits = np.repeat([self._limit(k, edge, points) for k, edge, points in self._pieces], counts)
        seen = self._hiders.seen(starts, ends, limits)
        found: list[Stroke] = []
        at = 0
        for (k, edge, points), count in zip(self._pieces, counts, strict=True):
            stretches = [(n + a, n + b) for n in range(count) for a, b in seen[at + n]]
            at += count
            found.extend(self._stroke(k, edge, points, low, high) for low, high in _joined(stretches))
        return found

    def _limit(self, k: int, edge: Edge | None, points: Floats) -> float:
        on_cut = edge is None and bool(np.all(points[:, 2] == self.cut))
        return math.inf if self.bodies[k].whole or on_cut else self.cut

    def _stroke(self, k: int, edge: Edge | None, points: Floats, low: float, high: float) -> Stroke:
        first, last = math.floor(low), math.ceil(high)
        inner = points[first + 1 : last, :2].tolist()
        ends = []
        for t in (low, high):
            n = min(int(t), len(points) - 2)
            ends.append(points[n, :2] + (points[n + 1, :2] - points[n, :2]) * (t - n))
        run = tuple((float(x), float(y)) for x, y in (ends[0], *inner, ends[1]))
        ring = edge.ring if edge is not None else None
        if ring is None:
            return Stroke(k, run)
        turn = self.bodies[k].turn
        facing = float(np.array(self.eye.towards) @ turn @ ring.axis)
        if abs(facing) < 1.0 - 1e-9:
            return Stroke(k, run)
        u, v, _ = self.bodies[k].seen(self.eye, ring.centre[None])[0].tolist()
        begin = math.atan2(float(points[0, 1]) - v, float(points[0, 0]) - u)
        step = math.copysign(ring.sweep_rad, facing) / (len(points) - 1)
        return Stroke(k, run, ((u, v), ring.radius_mm, begin + step * low, begin + step * high))

    def hidden(self, points: Floats) -> NDArray[np.bool_]:
        """Whether points (n, 3) of the picture lie behind something."""
        return self._hiders.hide(points)


def _joined(stretches: Sequence[tuple[float, float]]) -> Iterator[tuple[float, float]]:
    low: float | None = None
    high = 0.0
    for a, b in stretches:
        if low is not None and abs(a - high) < 1e-9:
            high = b
            continue
        if low is not None:
            yield low, high
        low, high = a, b
    if low is not None:
        yield low, high


def _capped(caps: Sequence[tuple[int, Floats]]) -> Iterator[tuple[int, Floats]]:
    """The loops of each body in triangles."""
    import manifold3d

    by_body: dict[int, list[Floats]] = {}
    for k, loop in caps:
        by_body.setdefault(k, []).append(loop)
    for k, loops in by_body.items():
        points = np.concatenate(loops)
        triangles = points[np.array(manifold3d.triangulate(loops), dtype=np.int64).reshape(-1, 3)]
        one, two = triangles[:, 1] - triangles[:, 0], triangles[:, 2] - triangles[:, 0]
        turned = one[:, 0] * two[:, 1] < one[:, 1] * two[:, 0]
        triangles[turned] = triangles[turned][:, ::-1]
        yield k, triangles


class _Hiders:
    """Triangles in the picture, as three rims and a depth that are linear in (u, v)."""

    def __init__(self, corners: Floats, limits: Floats) -> None:
        a, b, c = corners[:, 0], corners[:, 1], corners[:, 2]
        normal = np.cross(b - a, c - a)
        kept = normal[:, 2] > 1e-9
        corners, normal, limits = corners[kept], normal[kept], limits[kept]
        order = np.argsort(-normal[:, 2], kind="stable")
        corners, normal, self.limits = corners[order], normal[order], limits[order]
        step = np.roll(corners, -1, axis=1)[:, :, :2] - corners[:, :, :2]
        size = np.linalg.norm(step, axis=2)
        size[size == 0.0] = 1.0
        # Rim k holds where nu u + nv v + off >= 0, in mm.
        self.rim = np.stack([-step[:, :, 1] / size, step[:, :, 0] / size], axis=2)
        self.off = -np.einsum("nkc,nkc->nk", self.rim, corners[:, :, :2])
        self.slope = -normal[:, :2] / normal[:, 2:]
        self.depth = corners[:, 0, 2] - np.einsum("nc,nc->n", self.slope, corners[:, 0, :2])
        self.slack = BEHIND_MM * (1.0 + np.linalg.norm(self.slope, axis=1))
        low, high = corners.min(axis=1), corners.max(axis=1)
        self.low, self.high = low, high
        self.near = high[:, 2]
        self.boxes = shapely.box(low[:, 0], low[:, 1], high[:, 0], high[:, 1]) if len(low) else np.array([], dtype=object)

    def seen(self, starts: Floats, ends: Floats, limits: Floats) -> list[list[tuple[float, float]]]:
        """For each segment the stretches (from, to as shares) that nothing hides and that lie behind its limit."""
        hidden: list[list[tuple[float, float]]] = [[] for _ in starts]
        rise = ends[:, 2] - starts[:, 2]
        past = np.maximum(starts[:, 2], ends[:, 2]) > limits
        for n in np.flatnonzero(past).tolist():
            at = (limits[n] - starts[n, 2]) / rise[n] if rise[n] else 0.0
            hidden[n].append((at, 1.0) if rise[n] > 0 else (0.0, at))
        left = np.arange(len(starts))
        for first, last in ((0, FIRST), (FIRST, len(self.boxes))):
            if first >= len(self.boxes) or not len(left):
                break
            for n, low, high in self._stretches(left, starts, ends, first, last):
                hidden[n].append((low, high))
            left = np.array([n for n in left if _gaps(hidden[n])], dtype=np.int64)
        return [_gaps(stretches) for stretches in hidden]

    def _stretches(self, left: Ints, starts: Floats, ends: Floats, first: int, last: int) -> Iterator[tuple[int, float, float]]:
        a, b = starts[left], ends[left]
        tree = shapely.STRtree(self.boxes[first:last])
        low, high = np.minimum(a, b) - GROWN_MM, np.maximum(a, b) + GROWN_MM
        mine, others = tree.query(shapely.box(low[:, 0], low[:, 1], high[:, 0], high[:, 1]))
        others = others + first
        reach = self.near[others] > low[mine, 2] + BEHIND_MM
        mine, others = mine[reach], others[reach]
        p, q = a[mine], b[mine]
        begin, end = np.zeros(len(mine)), np.ones(len(mine))
        for k in range(3):
            rim, off = self.rim[others, k], self.off[others, k] + GROWN_MM
            _narrow(begin, end, np.einsum("nc,nc->n", rim, p[:, :2]) + off, np.einsum("nc,nc->n", rim, q[:, :2]) + off)
        slope, depth = self.slope[others], self.depth[others]
        at_p = np.einsum("nc,nc->n", slope, p[:, :2]) + depth
        at_q = np.einsum("nc,nc->n", slope, q[:, :2]) + depth
        slack = self.slack[others]
        _narrow(begin, end, at_p - p[:, 2] - slack, at_q - q[:, 2] - slack)
        limits = self.limits[others]
        bound = np.isfinite(limits)
        room = np.where(bound, limits, 0.0) + BEHIND_MM
        _narrow(begin, end, np.where(bound, room - at_p, 1.0), np.where(bound, room - at_q, 1.0))
        for n in np.flatnonzero(end - begin > LEAST_T).tolist():
            yield int(left[mine[n]]), float(begin[n]), float(end[n])

    def hide(self, points: Floats) -> NDArray[np.bool_]:
        """Whether points lie behind a triangle."""
        found = np.zeros(len(points), dtype=bool)
        if not len(self.boxes):
            return found
        mine, others = shapely.STRtree(self.boxes).query(shapely.points(points[:, :2]))
        p = points[mine]
        depth = np.einsum("nc,nc->n", self.slope[others], p[:, :2]) + self.depth[others]
        inside = np.all(np.einsum("nkc,nc->nk", self.rim[others], p[:, :2]) + self.off[others] > -GROWN_MM, axis=1)
        found[mine[inside & (depth > p[:, 2] + self.slack[others]) & (depth <= self.limits[others] + BEHIND_MM)]] = True
        return found


def _narrow(begin: Floats, end: Floats, at_begin: Floats, at_end: Floats) -> None:
    """Keep what is positive of linear functions given at both ends of their segments."""
    begin[(at_begin < 0) & (at_end < 0)] = 2.0
    with np.errstate(divide="ignore", invalid="ignore"):
        zero = at_begin / (at_begin - at_end)
    enters, leaves = (at_begin < 0) & (at_end >= 0), (at_begin >= 0) & (at_end < 0)
    np.maximum(begin, np.where(enters, zero, 0.0), out=begin)
    np.minimum(end, np.where(leaves, zero, 1.0), out=end)


def _gaps(stretches: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """What intervals leave of 0 to 1."""
    left: list[tuple[float, float]] = []
    at = 0.0
    for low, high in sorted(stretches):
        if low > at + LEAST_T:
            left.append((at, low))
        at = max(at, high)
    if at < 1.0 - LEAST_T:
        left.append((at, 1.0))
    return left
