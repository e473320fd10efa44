"""Rods in holes, exactly and without a boolean: a thousand dowels cost no more than their arithmetic."""

from __future__ import annotations

import math

import manifold3d
import numpy as np

from build123.kernel.bodies import Floats, Pose
from build123.kernel.faces import WHOLE_ROUND, CylinderFace, ShapeFaces
from build123.model.frame import EXACT_MM
from build123.model.part import Rod, Screw

SIDES = 64
ROUNDING_MM = 2e-8
"""Rounding of a pose (`bodies`) over the length of a rod."""
REST_MM = 1e-6
AIR_MM3 = 1e-6


def prism_about(rod: Rod, low_mm: float, high_mm: float) -> manifold3d.Manifold:
    """A prism that holds the stretch of the rod, in the rod's frame: what misses it misses the rod."""
    about = 0.5 * rod.diameter_mm / math.cos(math.pi / SIDES)
    return manifold3d.Manifold.cylinder(high_mm - low_mm, about, about, SIDES).translate([0.0, 0.0, low_mm])


def turned_about(screw: Screw) -> manifold3d.Manifold:
    """A body of flats that holds the screw, in its frame: what misses it misses the screw."""
    about = 1.0 / math.cos(math.pi / SIDES)
    corners = screw.section
    ring = [(0.0, corners[0][1]), *((r * about, z) for r, z in corners)]
    return manifold3d.Manifold.revolve(manifold3d.CrossSection([ring]), SIDES)


def rod_is_clear(rod: Rod, pose: Pose, faces: ShapeFaces, wood: manifold3d.Manifold) -> bool:
    """Whether the rod, lying at `pose` in a part's frame, surely claims none of its wood.

    The stretches that lie within whole holes are clear by their radii. What is left of the rod is clear where the prism
    about it misses the part's mesh, which never has less wood than the part beside hollow faces.
    """
    base, along = pose.shift, pose.turn[:, 2]
    rest = [(0.0, rod.length_mm)]
    for hole in faces.holes:
        stretch = _within(rod, base, along, hole)
        if stretch is not None:
            rest = [piece for low, high in rest for piece in _less(low, high, *stretch)]
    matrix = np.column_stack([pose.turn, pose.shift])
    return all(((prism_about(rod, low, high).transform(matrix)) ^ wood).volume() <= AIR_MM3 for low, high in rest)


def _within(rod: Rod, base: Floats, along: Floats, hole: CylinderFace) -> tuple[float, float] | None:
    """The stretch of the rod, along its own axis, that lies in a hole wide enough for it where it lies."""
    if hole.whole < WHOLE_ROUND or 2 * hole.radius_mm < rod.diameter_mm - EXACT_MM:
        return None
    axis, foot = np.array(hole.axis), np.array(hole.base)
    if abs(float(axis @ along)) < 1.0 - 1e-12:
        return None
    heights = sorted((float((foot - base) @ along), float((np.array(hole.tip) - base) @ along)))
    low, high = max(0.0, heights[0]), min(rod.length_mm, heights[1])
    if high - low < REST_MM:
        return None
    for height in (low, high):
        aside = base + along * height - foot
        aside = aside - axis * float(aside @ axis)
        if float(np.linalg.norm(aside)) + 0.5 * rod.diameter_mm > hole.radius_mm + ROUNDING_MM:
            return None
    return low, high


def _less(low: float, high: float, cut_low: float, cut_high: float) -> list[tuple[float, float]]:
    """What is left of a stretch without another, crumbs left out."""
    pieces = [(low, min(high, cut_low)), (max(low, cut_high), high)]
    return [(a, b) for a, b in pieces if b - a > REST_MM]
