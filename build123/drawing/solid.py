"""A part as bodies to draw: the blank as a convex polyhedron, each feature as prisms of removed wood. Bench frame, mm.

This is built from the features' numbers alone. Holes are not here: they are drawn as circles (`bores`), and marks remove
nothing.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from typing_extensions import assert_never

from build123.model.feature import EndKind, Feature, Hole, Mark, Outline, Pocket, Profile, Trench, TrenchEnd, Trim
from build123.model.frame import Frame, Plane, Vec, Vec2, add, cross, dot, norm, scale, sub, unit
from build123.model.part import Part

TOUCH_MM = 0.01
"""A point this near to a plane lies on it, for the eye."""
ARC_STEP_DEG = 7.5
"""Arcs are followed in steps of this; they are drawn as arcs again (`linework`)."""


@dataclass(frozen=True, slots=True)
class Prism:
    """Removed wood between two rings of as many points, ruled from one to the other.

    `flat` is the ring in its own plane. `islands` (only where both rings are equal) are left standing.
    """

    feature: int
    flat: tuple[Vec2, ...]
    near: tuple[Vec, ...]
    far: tuple[Vec, ...]
    flat_islands: tuple[tuple[Vec2, ...], ...] = ()
    islands: tuple[tuple[tuple[Vec, ...], tuple[Vec, ...]], ...] = ()


@dataclass(frozen=True, slots=True)
class Polyhedron:
    """A convex body by its faces: loops of points, with the outward normal of each."""

    faces: tuple[tuple[Vec, ...], ...]
    normals: tuple[Vec, ...]

    def clipped(self, plane: Plane) -> Polyhedron:
        """Less all that lies outside a plane."""
        kept: list[tuple[Vec, ...]] = []
        normals: list[Vec] = []
        rim: list[Vec] = []
        for face, normal in zip(self.faces, self.normals, strict=True):
            far = [plane.distance(p) for p in face]
            loop: list[Vec] = []
            for k, p in enumerate(face):
                q, dp, dq = face[(k + 1) % len(face)], far[k], far[(k + 1) % len(face)]
                if dp <= TOUCH_MM / 100:
                    loop.append(p)
                    if dp >= -TOUCH_MM / 100:
                        rim.append(p)
                if (dp < -TOUCH_MM / 100 and dq > TOUCH_MM / 100) or (dp > TOUCH_MM / 100 and dq < -TOUCH_MM / 100):
                    cut = add(p, scale(sub(q, p), dp / (dp - dq)))
                    loop.append(cut)
                    rim.append(cut)
            if len(loop) > 2:
                kept.append(tuple(loop))
                normals.append(normal)
        cap = around(rim, plane.normal)
        if len(cap) > 2 and max(plane.distance(p) for face in self.faces for p in face) > TOUCH_MM:
            kept.append(cap)
            normals.append(plane.normal)
        return Polyhedron(tuple(kept), tuple(normals))

    def on_skin(self, p: Vec) -> bool:
        """Whether a point lies on the body's surface or outside of it."""
        return any(dot(n, sub(p, face[0])) >= -TOUCH_MM for face, n in zip(self.faces, self.normals, strict=True))


def around(points: Sequence[Vec], normal: Vec) -> tuple[Vec, ...]:
    """Points of one convex face, doubles left out, counter-clockwise seen against `normal`."""
    single: list[Vec] = []
    for p in points:
        if all(norm(sub(p, q)) > TOUCH_MM / 10 for q in single):
            single.append(p)
    if len(single) < 3:
        return tuple(single)
    middle = scale((sum(p[0] for p in single), sum(p[1] for p in single), sum(p[2] for p in single)), 1 / len(single))
    x = unit(sub(single[0], middle))
    frame = Frame(middle, x, cross(normal, x), normal)
    angles = [(math.atan2(*reversed(frame.local_point(p)[:2])), p) for p in single]
    return tuple(p for _, p in sorted(angles))


def box_of(part: Part) -> Polyhedron:
    """The box of the part."""
    length, width, thick = part.length_mm, part.width_mm, part.thickness_mm
    c = [(x, y, z) for x in (0.0, length) for y in (0.0, width) for z in (0.0, thick)]
    loops = ((0, 1, 3, 2), (4, 6, 7, 5), (0, 4, 5, 1), (2, 3, 7, 6), (0, 2, 6, 4), (1, 5, 7, 3))
    normals: tuple[Vec, ...] = ((-1.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, -1.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, -1.0), (0.0, 0.0, 1.0))
    return Polyhedron(tuple(tuple(c[k] for k in loop) for loop in loops), normals)


def blank(part: Part) -> Polyhedron:
    """The box of the part less its trims."""
    body = box_of(part)
    for feature in part.features:
        if isinstance(feature.geometry, Trim):
            body = body.clipped(feature.geometry.plane)
    return body


def prisms(part: Part, body: Polyhedron) -> list[tuple[Prism, Prism]]:
    """The wood that each feature removes, past the skin of the blank where it is open there.

    Each comes fine, for a view along it, and with its arcs in quarter turns, which is enough where they are not seen as arcs.
    """
    reach = part.length_mm + part.width_mm + part.thickness_mm
    found: list[tuple[Prism, Prism]] = []
    for number, feature in enumerate(part.features):
        fine = _prism_of(number, feature, body, reach, ARC_STEP_DEG)
        if fine is not None:
            coarse = _prism_of(number, feature, body, reach, 90.0) if len(fine.flat) > 8 else None
            found.append((fine, coarse or fine))
    return found


def _prism_of(number: int, feature: Feature, body: Polyhedron, reach: float, step_deg: float) -> Prism | None:
    shape = feature.geometry
    match shape:
        case Trench():
            return _trench(number, shape, body, step_deg)
        case Pocket():
            low = -shape.depth_mm if shape.depth_mm is not None else -reach
            frame = shape.datum.frame
            flat = ring(shape.outline, step_deg)
            far = ring(shape.far_outline, step_deg) if shape.far_outline else flat
            if len(far) != len(flat):
                far = flat
            lift = 0.0 if shape.far_outline else 1.0
            isles = tuple(ring(i, step_deg) for i in shape.islands)
            both = tuple((tuple(frame.point((x, y, lift)) for x, y in i), tuple(frame.point((x, y, low)) for x, y in i)) for i in isles)
            near_ring = tuple(frame.point((x, y, lift)) for x, y in flat)
            return Prism(number, flat, near_ring, tuple(frame.point((x, y, low)) for x, y in far), isles, both)
        case Profile():
            along = unit(sub(shape.end, shape.start))
            flat = ring(shape.section, step_deg)
            frame = Frame((0.0, 0.0, 0.0), shape.u, shape.v, cross(shape.u, shape.v))
            first = sub(shape.start, scale(along, shape.run_start_mm))
            last = add(shape.end, scale(along, shape.run_end_mm))
            points = [frame.vector((x, y, 0.0)) for x, y in flat]
            return Prism(number, flat, tuple(add(first, p) for p in points), tuple(add(last, p) for p in points))
        case Hole() | Trim() | Mark():
            return None
        case _:
            assert_never(shape)


def _trench(number: int, trench: Trench, body: Polyhedron, step_deg: float) -> Prism:
    frame = trench.datum.frame
    (sx, sy), (ex, ey) = trench.start, trench.end
    length = math.hypot(ex - sx, ey - sy)
    dx, dy = (ex - sx) / length, (ey - sy) / length
    past = 2 * (trench.depth_mm + trench.width_mm) + 5.0
    half = trench.width_mm / 2 / math.cos(math.radians(trench.lean_deg))
    own = Frame(frame.point((sx, sy, 0.0)), frame.vector((dx, dy, 0.0)), frame.vector((-dy, dx, 0.0)), frame.z)

    def open_to(end: TrenchEnd, x: float) -> float:
        return past if end.kind is EndKind.open and body.on_skin(own.point((x, 0.0, -TOUCH_MM))) else 0.0

    def side(is_open: bool, y: float) -> float:
        return past if is_open and body.on_skin(own.point((length / 2, y, -2 * TOUCH_MM))) else 0.0

    low_x, high_x = -open_to(trench.start_end, 0.0), length + open_to(trench.end_end, length)
    left = half + side(trench.open_left, half - TOUCH_MM)
    right = half + side(trench.open_right, TOUCH_MM - half)
    depth = trench.depth_mm
    if EndKind.scoop in (trench.start_end.kind, trench.end_end.kind):
        flat = _scooped(trench, low_x, high_x, 8 if step_deg < 90 else 1)
        near = tuple(own.point((x, -right, z)) for x, z in flat)
        return Prism(number, flat, near, tuple(own.point((x, left, z)) for x, z in flat))
    # From the side round corners show no lines of their own.
    start_r, end_r = (e.radius_mm if e.kind is EndKind.round and step_deg < 90.0 else 0.0 for e in (trench.start_end, trench.end_end))
    flat = rounded(low_x, -right, high_x, left, start_r, end_r, step_deg)
    shift = math.tan(math.radians(trench.lean_deg)) * depth
    flare = math.tan(math.radians(trench.flare_deg)) * depth
    slanted = shift != 0.0 or flare != 0.0
    lift = 0.0 if slanted else 1.0
    middle = (left - right) / 2
    spread = 1 + 2 * flare / (left + right)
    floor = tuple((x, middle + (y - middle) * spread + shift) for x, y in flat) if slanted else flat
    return Prism(
        number,
        flat,
        tuple(own.point((x, y, lift)) for x, y in flat),
        tuple(own.point((x, y, -depth)) for x, y in floor),
    )


def _scooped(trench: Trench, low_x: float, high_x: float, steps: int) -> tuple[Vec2, ...]:
    depth = trench.depth_mm
    points: list[Vec2] = [(high_x, 0.0), (low_x, 0.0)]
    for end, x, way in ((trench.start_end, low_x, 1.0), (trench.end_end, high_x, -1.0)):
        curve: list[Vec2] = [(x, -depth)]
        if end.kind is EndKind.scoop:
            radius = max(end.radius_mm, depth)
            run = math.sqrt(max(0.0, 2 * radius * depth - depth * depth))
            turn = math.atan2(run, radius - depth)
            curve = [
                (x + way * (run - radius * math.sin(turn * (1 - k / steps))), radius - depth - radius * math.cos(turn * (1 - k / steps)))
                for k in range(1, steps + 1)
            ]
        points.extend(curve if way > 0 else reversed(curve))
    return tuple(points)


def rounded(low_x: float, low_y: float, high_x: float, high_y: float, start_r: float, end_r: float, step_deg: float) -> tuple[Vec2, ...]:
    """A rectangle, counter-clockwise, whose corners at either end in x are rounded."""
    corners = (
        (low_x + start_r, low_y + start_r, start_r, 180),
        (high_x - end_r, low_y + end_r, end_r, 270),
        (high_x - end_r, high_y - end_r, end_r, 0),
        (low_x + start_r, high_y - start_r, start_r, 90),
    )
    points: list[Vec2] = []
    for x, y, r, first in corners:
        if r <= 0:
            points.append((x, y))
            continue
        steps = round(90 / step_deg)
        points += [
            (x + r * math.cos(math.radians(first + 90 * k / steps)), y + r * math.sin(math.radians(first + 90 * k / steps)))
            for k in range(steps + 1)
        ]
    return tuple(points)


def ring(outline: Outline, step_deg: float = ARC_STEP_DEG) -> tuple[Vec2, ...]:
    """An outline as points, its arcs followed in steps."""
    points: list[Vec2] = []
    for k, a in enumerate(outline):
        points.append((a.x, a.y))
        if a.bulge == 0.0:
            continue
        b = outline[(k + 1) % len(outline)]
        sweep = 4 * math.atan(a.bulge)
        cx, cy, radius = arc_centre((a.x, a.y), (b.x, b.y), a.bulge)
        first = math.atan2(a.y - cy, a.x - cx)
        steps = max(1, math.ceil(abs(math.degrees(sweep)) / step_deg - 1e-6))
        points += [
            (cx + radius * math.cos(first + sweep * n / steps), cy + radius * math.sin(first + sweep * n / steps)) for n in range(1, steps)
        ]
    return tuple(points)


def arc_centre(a: Vec2, b: Vec2, bulge: float) -> tuple[float, float, float]:
    """Centre and radius of the arc from `a` to `b`."""
    off = (1 - bulge * bulge) / (4 * bulge)
    dx, dy = b[0] - a[0], b[1] - a[1]
    cx, cy = (a[0] + b[0]) / 2 - off * dy, (a[1] + b[1]) / 2 + off * dx
    return cx, cy, math.hypot(a[0] - cx, a[1] - cy)
