"""Polyhedra for the independent volume: rings, ruled solids between rings, turned solids. No OCC here."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

import manifold3d
import numpy as np
from numpy.typing import NDArray

from build123.model.feature import Vertex
from build123.model.frame import Frame, Vec

Floats = NDArray[np.float64]

SIDES = 96
"""Sides of a full circle; its radius is grown so that the polygon has the circle's area, whatever their number."""
SLOT_SIDES = 360
"""The grown radius also widens a slot between its ends: by 0.003 % with this many sides."""
ARC_RAD = math.radians(1.0)
"""Chords of other arcs: a full turn of them lacks 0.005 % of the disc's area."""


def ring(outline: Sequence[Vertex], like: Sequence[Vertex] | None = None) -> Floats:
    """The corners (n, 2) of an outline with its arcs in chords; `like` is another outline that is to get as many corners."""
    rows: list[Floats] = []
    for k, a in enumerate(outline):
        b = outline[(k + 1) % len(outline)]
        bulge = max(abs(a.bulge), abs(like[k].bulge) if like is not None else 0.0)
        steps = max(1, math.ceil(4 * math.atan(bulge) / ARC_RAD - 1e-9))
        share = np.arange(steps) / steps
        start, run = np.array([a.x, a.y]), np.array([b.x - a.x, b.y - a.y])
        if abs(a.bulge) < 1e-12:
            rows.append(start + share[:, None] * run)
            continue
        centre = start + run / 2 + np.array([-run[1], run[0]]) * (1 - a.bulge**2) / (4 * a.bulge)
        angle = 4 * math.atan(a.bulge) * share
        out = start - centre
        rows.append(
            centre + np.stack([np.cos(angle) * out[0] - np.sin(angle) * out[1], np.sin(angle) * out[0] + np.cos(angle) * out[1]], axis=1)
        )
    return np.concatenate(rows)


def ruled(low: Floats, high: Floats, low_z: float, high_z: float, frame: Frame) -> manifold3d.Manifold:
    """The solid between two counter-clockwise rings of as many corners, at two heights of a frame."""
    count = len(low)
    points = np.concatenate([np.column_stack([low, np.full(count, low_z)]), np.column_stack([high, np.full(count, high_z)])])
    near = np.arange(count)
    following = (near + 1) % count
    walls = np.concatenate(
        [np.stack([near, following, following + count], axis=1), np.stack([near, following + count, near + count], axis=1)]
    )
    floor = np.asarray(manifold3d.triangulate([low]))[:, ::-1]
    ceiling = np.asarray(manifold3d.triangulate([high])) + count
    return _closed(placed(points, frame), np.concatenate([walls, floor, ceiling]))


def prism(outline: Floats, low_z: float, high_z: float, frame: Frame) -> manifold3d.Manifold:
    """The solid over one ring between two heights of a frame."""
    return ruled(outline, outline, low_z, high_z, frame)


def frusta(section: Sequence[tuple[float, float]], axis_frame: Frame, shifts: Sequence[Vec]) -> list[manifold3d.Manifold]:
    """The solids of a turned section, corner to corner: (radius, height along z) from the top down.

    `shifts` are where the axis stands (one place, or the two ends of a slot); each piece is the hull over them.
    """
    sides = SIDES if len(shifts) == 1 else SLOT_SIDES
    step = 2 * math.pi / sides
    at = np.arange(sides) * step
    round_ = np.stack([np.cos(at), np.sin(at)], axis=1) * math.sqrt(step / math.sin(step))
    pieces = []
    for (r0, z0), (r1, z1) in pairwise(section):
        if abs(z1 - z0) < 1e-12 or max(r0, r1) <= 0.0:
            continue
        rings = [np.column_stack([round_ * r, np.full(sides, z)]) for r, z in ((r0, z0), (r1, z1))]
        local = placed(np.concatenate(rings), axis_frame)
        pieces.append(manifold3d.Manifold.hull_points(np.concatenate([local + np.array(s) for s in shifts])))
    return pieces


def placed(points: Floats, frame: Frame) -> Floats:
    """Points (n, 3) of a frame in its parent."""
    return points @ np.array([frame.x, frame.y, frame.z]) + np.array(frame.origin)


def _closed(points: Floats, faces: NDArray[np.int64]) -> manifold3d.Manifold:
    made = manifold3d.Manifold(manifold3d.Mesh64(np.ascontiguousarray(points), np.ascontiguousarray(faces, dtype=np.uint64)))
    if made.status() != manifold3d.Error.NoError:
        raise RuntimeError(f"a feature gives no closed solid: {made.status().name}")
    return made
