"""Plane and cylinder faces of one solid as plain data, in the solid's own frame (mm). No OCP here."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from build123.model.frame import Box, Vec, cross, unit

Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class PlaneFace:
    """A plane face: points P with `normal` . P = `offset`; `normal` points out of the wood.

    `outline` is a shapely polygon with holes in the coordinates (P . u, P . v) of `plane_axes(normal)`. Full circles are
    polygons of the circle's own area, other curves are chords of at most 3.75 degrees (area within 0.02 % of the disc).
    """

    normal: Vec
    offset: float
    u: Vec
    v: Vec
    outline: Any
    area_mm2: float
    box: Box

    def point(self, at: tuple[float, float]) -> Vec:
        """The point of the solid's frame at plane coordinates."""
        n, u, v, d = self.normal, self.u, self.v, self.offset
        return (
            u[0] * at[0] + v[0] * at[1] + n[0] * d,
            u[1] * at[0] + v[1] * at[1] + n[1] * d,
            u[2] * at[0] + v[2] * at[1] + n[2] * d,
        )

    def points(self, flat: Floats) -> Floats:
        """Plane coordinates (n, 2) as points (n, 3) of the solid's frame."""
        return flat @ np.array([self.u, self.v]) + np.array(self.normal) * self.offset


@dataclass(frozen=True, slots=True)
class CylinderFace:
    """A cylindrical face. `base` is the open end of the axis (the mouth) where one end is closed.

    An end that lies in a plane face is where the axis meets that plane. `open_base`, `open_tip` tell that no wood closes
    the bore there; `point_mm` is the height of a drill's point beyond `tip`. `whole` is the face's area over that of the
    full cylinder from base to tip.
    """

    base: Vec
    tip: Vec
    radius_mm: float
    hollow: bool
    whole: float
    open_base: bool = True
    open_tip: bool = True
    point_mm: float = 0.0

    @property
    def axis(self) -> Vec:
        """Unit vector from base to tip."""
        return unit((self.tip[0] - self.base[0], self.tip[1] - self.base[1], self.tip[2] - self.base[2]))

    @property
    def drilled(self) -> bool:
        """Hollow and more than half way round: a drilled hole, not the round end of a trench."""
        return self.hollow and self.whole > HALF_ROUND

    @property
    def length_mm(self) -> float:
        """From base to tip."""
        return float(np.linalg.norm(np.subtract(self.tip, self.base)))


@dataclass(frozen=True, eq=False)
class ShapeFaces:
    """All faces of one solid.

    `bulges` are the boxes of curved faces that are not plainly hollow; `others` counts curved faces that are neither plane
    nor cylinder and are not measured; `crossed` counts plane faces whose rims cross one another.
    """

    planes: tuple[PlaneFace, ...]
    cylinders: tuple[CylinderFace, ...]
    bulges: tuple[Box, ...]
    others: int
    box: Box
    crossed: int = 0

    @cached_property
    def normals(self) -> Floats:
        """Outward normals of the plane faces (n, 3)."""
        return np.array([p.normal for p in self.planes], dtype=float).reshape(-1, 3)

    @cached_property
    def offsets(self) -> Floats:
        """Offsets of the plane faces (n,)."""
        return np.array([p.offset for p in self.planes], dtype=float)

    @cached_property
    def lows(self) -> Floats:
        """Low corners of the plane faces' boxes (n, 3)."""
        return np.array([p.box.low for p in self.planes], dtype=float).reshape(-1, 3)

    @cached_property
    def highs(self) -> Floats:
        """High corners of the plane faces' boxes (n, 3)."""
        return np.array([p.box.high for p in self.planes], dtype=float).reshape(-1, 3)

    @cached_property
    def holes(self) -> tuple[CylinderFace, ...]:
        """Drilled holes."""
        return tuple(c for c in self.cylinders if c.drilled)

    @cached_property
    def rods(self) -> tuple[CylinderFace, ...]:
        """Bulging cylinders that go all the way round: rods, round tenons."""
        return tuple(c for c in self.cylinders if not c.hollow and c.whole > WHOLE_ROUND)


HALF_ROUND = 0.5 + 1e-4
"""The round end of a slot is half a cylinder; a drilled hole that breaks out keeps its axis in the wood and more of it."""
WHOLE_ROUND = 1.0 - 1e-6
"""A whole cylinder, up to rounding of its area."""


def plane_axes(normal: Vec) -> tuple[Vec, Vec]:
    """Two unit vectors square to `normal` and to each other, the same for equal normals; exact for bench directions."""
    least = min(range(3), key=lambda k: (abs(normal[k]), k))
    helper: Vec = (float(least == 0), float(least == 1), float(least == 2))
    u = unit(cross(helper, normal))
    return u, cross(normal, u)


def box_of(points: Floats) -> Box:
    """The box of points (n, 3)."""
    low, high = points.min(axis=0), points.max(axis=0)
    return Box((float(low[0]), float(low[1]), float(low[2])), (float(high[0]), float(high[1]), float(high[2])))
