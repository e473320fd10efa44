"""How a screw, a nail or a leg of a staple stands in a part: rays through the part's mesh along and about its axis."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from build123.kernel.bodies import Floats, Pose
from build123.model.frame import Frame
from build123.model.measured import Beside, Driven, Mesh
from build123.model.part import Block, Hardware, Rod, Screw, Staple

EDGE_RAYS = 8
"""Rays along the edge of a thread; their median is told, so that one that grazes an edge of the mesh does not count."""
SPIN_RAD = 0.1234
"""Rays along the axis start turned by this, off the planes in which meshes have their edges."""
AROUND = 16
THREAD_SHARE = 0.98
"""Rays run a hair inside the thread's edge."""
HEIGHTS = (0.1, 0.5, 0.9)
"""Where what is beside is looked at, as shares of the stretch within the part."""
SAME_MM = 1e-6
REACH_MM = 120.0
"""Wood beside a fastener is told up to here: twice what the widest rule of an end distance asks of the thickest screw."""


@dataclass(frozen=True, slots=True)
class Leg:
    """A straight shank in the hardware's own frame: parallel to z through (`x_mm`, 0), from z 0 to `length_mm`.

    `head_mm` is how far down its head reaches.
    """

    x_mm: float
    diameter_mm: float
    length_mm: float
    head_mm: float = 0.0


def legs_of(thing: Hardware) -> tuple[Leg, ...]:
    """The shanks of a thing that is driven into wood; none for what only lies in its hole."""
    match thing.solid:
        case Screw() as screw:
            return (Leg(0.0, screw.diameter_mm, screw.length_mm, screw.head_height_mm if screw.countersunk else screw.washer_mm[1]),)
        case Staple(crown, wire, length):
            aside = (crown - wire) / 2
            return (Leg(-aside, wire, length), Leg(aside, wire, length))
        case Rod(diameter, length):
            return (Leg(0.0, diameter, length),) if thing.bites else ()
        case Block():
            return ()


@dataclass(frozen=True, eq=False)
class LocalDriven:
    """One leg in one part, in the frame of the hardware."""

    leg: Leg
    bite_mm: float
    broken_mm: float
    beyond_mm: float | None
    exit_mm: float
    beside: tuple[tuple[float, float, float], ...]

    def placed(self, hardware: str, part: str, frame: Frame) -> Driven:
        """The same in the piece, `frame` being the placement of the hardware."""
        beside = tuple(Beside(frame.vector((math.cos(a), math.sin(a), 0.0)), air, wood) for a, air, wood in self.beside)
        point = frame.point((self.leg.x_mm, 0.0, self.leg.length_mm))
        out = frame.point((self.leg.x_mm, 0.0, self.exit_mm))
        sizes = (self.leg.diameter_mm, self.leg.length_mm, self.bite_mm, self.broken_mm, self.beyond_mm)
        return Driven(hardware, part, frame.z, point, *sizes, out, beside)


@dataclass(frozen=True, eq=False)
class Wood:
    """A part's mesh with the boxes of its triangles, in its own frame, so that only what is near is looked at."""

    mesh: Mesh
    lows: Floats
    highs: Floats

    @classmethod
    def of(cls, mesh: Mesh) -> Wood:
        """Made ready, once for each distinct part."""
        corners = mesh.vertices[mesh.faces]
        return cls(mesh, corners.min(axis=1), corners.max(axis=1))

    def near(self, low: Floats, high: Floats) -> Floats:
        """Corners (n, 3, 3) of the triangles whose boxes meet a box."""
        hit = np.all((self.lows <= high) & (self.highs >= low), axis=1)
        found: Floats = self.mesh.vertices[self.mesh.faces[hit]]
        return found


def driven_in(legs: tuple[Leg, ...], wood: Wood, pose: Pose) -> tuple[LocalDriven, ...]:
    """Legs of a piece of hardware in a part that lies at `pose` in the hardware's frame; those that do not come into its box are left out."""
    low, high = pose.boxes(wood.lows.min(axis=0)[None], wood.highs.max(axis=0)[None])
    found = []
    for leg in legs:
        r = leg.diameter_mm / 2
        centre = np.array([leg.x_mm, 0.0])
        if np.all(low[0, :2] < centre + r) and np.all(high[0, :2] > centre - r) and low[0, 2] < leg.length_mm and high[0, 2] > 0.0:
            around = (
                np.array([leg.x_mm - REACH_MM, -REACH_MM, low[0, 2] - 1.0]),
                np.array([leg.x_mm + REACH_MM, REACH_MM, high[0, 2] + 1.0]),
            )
            own_low, own_high = pose.back().boxes(around[0][None], around[1][None])
            corners = wood.near(own_low[0], own_high[0])
            placed = pose.points(corners.reshape(-1, 3)) - np.array([leg.x_mm, 0.0, 0.0])
            found.append(_looked_at(leg, placed.reshape(-1, 3, 3), float(low[0, 2]), float(high[0, 2])))
    return tuple(found)


def _looked_at(leg: Leg, corners: Floats, low: float, high: float) -> LocalDriven:
    """`corners` are the triangles near the leg, `low` and `high` the ends of the part along it."""
    near = _near_axis(corners, leg.diameter_mm)
    bites, gaps, ends = [], [], []
    for k in range(EDGE_RAYS):
        angle = SPIN_RAD + 2 * math.pi * k / EDGE_RAYS
        r = THREAD_SHARE * leg.diameter_mm / 2
        wood = _stretches(corners[near], r * math.cos(angle), r * math.sin(angle))
        inside = [(max(a, 0.0), min(b, leg.length_mm)) for a, b in wood if a < leg.length_mm and b > 0.0]
        bites.append(sum(b - a for a, b in inside))
        gaps.append(sum(b[0] - a[1] for a, b in pairwise(inside)))
        last = [(a, b) for a, b in wood if a < leg.length_mm]
        ends.append(last[-1][1] if last else math.nan)
    order = np.argsort(bites, kind="stable")
    middle = int(order[EDGE_RAYS // 2])
    tip = float(np.nanmedian(ends)) if not np.all(np.isnan(ends)) else math.nan
    beyond = None if math.isnan(tip) else tip - leg.length_mm
    top, bottom = max(low, leg.head_mm, 0.0), min(high, leg.length_mm)
    axis = _stretches(corners[near], 1e-4 * math.cos(SPIN_RAD), 1e-4 * math.sin(SPIN_RAD))
    heights = [top + share * (bottom - top) for share in HEIGHTS] if bottom > top else []
    beside = _beside(corners, [(height, any(a < height < b for a, b in axis)) for height in heights]) if heights else ()
    return LocalDriven(leg, float(bites[middle]), float(gaps[middle]), beyond, tip if beyond is not None else 0.0, beside)


def _near_axis(corners: Floats, reach_mm: float) -> np.ndarray[tuple[int, ...], np.dtype[np.bool_]]:
    low, high = corners[:, :, :2].min(axis=1), corners[:, :, :2].max(axis=1)
    near: np.ndarray[tuple[int, ...], np.dtype[np.bool_]] = np.all((low < reach_mm) & (high > -reach_mm), axis=1)
    return near


def _stretches(corners: Floats, x: float, y: float) -> list[tuple[float, float]]:
    """Where a line along z through (x, y) lies in the wood, in order."""
    if not len(corners):
        return []
    a, b, c = corners[:, 0], corners[:, 1], corners[:, 2]
    ab, ac = b[:, :2] - a[:, :2], c[:, :2] - a[:, :2]
    det = ab[:, 0] * ac[:, 1] - ab[:, 1] * ac[:, 0]
    flat = np.abs(det) > 1e-12
    a, b, c, ab, ac, det = a[flat], b[flat], c[flat], ab[flat], ac[flat], det[flat]
    px, py = x - a[:, 0], y - a[:, 1]
    u = (px * ac[:, 1] - py * ac[:, 0]) / det
    v = (ab[:, 0] * py - ab[:, 1] * px) / det
    hit = (u >= -1e-12) & (v >= -1e-12) & (u + v <= 1 + 1e-12)
    heights = a[hit, 2] + u[hit] * (b[hit, 2] - a[hit, 2]) + v[hit] * (c[hit, 2] - a[hit, 2])
    # a face with det < 0 looks against z: there the line comes into the wood
    return _paired([(float(z), bool(d < 0)) for z, d in zip(heights, det[hit], strict=True)])


def _paired(crossings: list[tuple[float, bool]]) -> list[tuple[float, float]]:
    """Stretches of wood from crossings (place, comes in), each counted once however many triangles share it."""
    found: list[tuple[float, float]] = []
    start: float | None = None
    for at, comes_in in sorted(crossings):
        if comes_in and start is None:
            start = at
        elif not comes_in and start is not None:
            if at - start > SAME_MM:
                found.append((start, at))
            start = None
    return found


def _beside(corners: Floats, heights: list[tuple[float, bool]]) -> tuple[tuple[float, float, float], ...]:
    """Angle, air and wood of each direction: the least air, and the least that lies between the axis and the next face.

    `heights` tell of each whether the axis lies in the wood there.
    """
    air, reach = np.full(AROUND, REACH_MM), np.full(AROUND, REACH_MM)
    for height, inside in heights:
        segments = _cut_at(corners, height)
        for k in range(AROUND):
            stretches = _along(segments, 2 * math.pi * k / AROUND) or ([(0.0, REACH_MM)] if inside else [])
            if stretches:
                start, end = stretches[0]
                air[k], reach[k] = min(air[k], max(start, 0.0)), min(reach[k], end)
            else:
                reach[k] = 0.0
    return tuple((2 * math.pi * k / AROUND, float(air[k]), float(max(0.0, reach[k] - air[k]))) for k in range(AROUND))


def _cut_at(corners: Floats, height: float) -> Floats:
    """The outline of the mesh at a height as segments (n, 2, 2) with the wood to their left."""
    above = corners[:, :, 2] > height
    mixed = above.any(axis=1) & ~above.all(axis=1)
    tri, up = corners[mixed], above[mixed]
    if not len(tri):
        return np.zeros((0, 2, 2))
    alone = np.where(up.sum(axis=1) == 1, up.argmax(axis=1), (~up).argmax(axis=1))
    rows = np.arange(len(tri))
    p, q, s = tri[rows, alone], tri[rows, (alone + 1) % 3], tri[rows, (alone + 2) % 3]

    def crossing(one: Floats, other: Floats) -> Floats:
        share = (height - one[:, 2]) / (other[:, 2] - one[:, 2])
        met: Floats = one[:, :2] + share[:, None] * (other[:, :2] - one[:, :2])
        return met

    first, second = crossing(p, q), crossing(p, s)
    lone_up = up[rows, alone]
    start = np.where(lone_up[:, None], first, second)
    end = np.where(lone_up[:, None], second, first)
    return np.stack([start, end], axis=1)


def _along(segments: Floats, angle: float) -> list[tuple[float, float]]:
    """The stretches of wood on a ray from the axis; one that starts in the wood starts at 0, one that goes on ends at `REACH_MM`."""
    ray = np.array([math.cos(angle), math.sin(angle)])
    side = np.array([-ray[1], ray[0]])
    h0, h1 = segments[:, 0] @ side, segments[:, 1] @ side
    met = (h0 > 0) != (h1 > 0)
    start, end, h0, h1 = segments[met, 0], segments[met, 1], h0[met], h1[met]
    share = h0 / (h0 - h1)
    places = (start + share[:, None] * (end - start)) @ ray
    ahead = places > 0.0
    # with the wood to the left of a segment, one that goes down past the ray has the wood beyond it
    crossings = sorted((float(t), bool(down)) for t, down in zip(places[ahead], (h0 > h1)[ahead], strict=True) if t < REACH_MM)
    if crossings and not crossings[0][1]:
        crossings = [(0.0, True), *crossings]
    if crossings and crossings[-1][1]:
        crossings.append((REACH_MM, False))
    return _paired(crossings)
