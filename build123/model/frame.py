"""Vectors and right-handed frames as plain tuples, without numpy."""

from __future__ import annotations

import math
from dataclasses import dataclass

Vec = tuple[float, float, float]
Vec2 = tuple[float, float]

EXACT_MM = 1e-9
"""Below this two plan numbers are one number: rounding of double precision over a piece some metres long."""
PLAN_MM = 1e-6
"""Below this two placed planes are one plane; also the rounding of geometry keys (`design` asks for 1e-6 mm)."""


def add(a: Vec, b: Vec) -> Vec:
    """a + b."""
    return (a[0] + b[0], a[1] + b[1], a[2] + b[2])


def sub(a: Vec, b: Vec) -> Vec:
    """a - b."""
    return (a[0] - b[0], a[1] - b[1], a[2] - b[2])


def scale(a: Vec, by: float) -> Vec:
    """a times a number."""
    return (a[0] * by, a[1] * by, a[2] * by)


def dot(a: Vec, b: Vec) -> float:
    """Scalar product."""
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def cross(a: Vec, b: Vec) -> Vec:
    """Vector product."""
    return (a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0])


def norm(a: Vec) -> float:
    """Length of a vector."""
    return math.sqrt(dot(a, a))


def unit(a: Vec) -> Vec:
    """`a` at length 1, with values within rounding of 0 and ±1 made exact. ZeroDivisionError for a null vector."""
    length = norm(a)
    return (_snap(a[0] / length), _snap(a[1] / length), _snap(a[2] / length))


def _snap(value: float) -> float:
    nearest = round(value)
    return float(nearest) if abs(value - nearest) < 1e-14 else value


@dataclass(frozen=True, slots=True)
class Frame:
    """A right-handed frame in its parent: origin (mm) and the three unit axes in the parent's coordinates."""

    origin: Vec = (0.0, 0.0, 0.0)
    x: Vec = (1.0, 0.0, 0.0)
    y: Vec = (0.0, 1.0, 0.0)
    z: Vec = (0.0, 0.0, 1.0)

    def vector(self, v: Vec) -> Vec:
        """A direction of this frame in the parent."""
        return (
            self.x[0] * v[0] + self.y[0] * v[1] + self.z[0] * v[2],
            self.x[1] * v[0] + self.y[1] * v[1] + self.z[1] * v[2],
            self.x[2] * v[0] + self.y[2] * v[1] + self.z[2] * v[2],
        )

    def point(self, p: Vec) -> Vec:
        """A point of this frame in the parent."""
        return add(self.origin, self.vector(p))

    def local_vector(self, v: Vec) -> Vec:
        """A direction of the parent in this frame."""
        return (dot(v, self.x), dot(v, self.y), dot(v, self.z))

    def local_point(self, p: Vec) -> Vec:
        """A point of the parent in this frame."""
        return self.local_vector(sub(p, self.origin))

    def frame(self, inner: Frame) -> Frame:
        """`inner`, given in this frame, as a frame of the parent."""
        return Frame(self.point(inner.origin), self.vector(inner.x), self.vector(inner.y), self.vector(inner.z))

    def local_frame(self, outer: Frame) -> Frame:
        """`outer`, given in the parent, as a frame of this frame."""
        return Frame(self.local_point(outer.origin), self.local_vector(outer.x), self.local_vector(outer.y), self.local_vector(outer.z))


WORLD = Frame()


@dataclass(frozen=True, slots=True)
class Plane:
    """The half-space normal . p <= offset (mm); `normal` is a unit vector that points out of the wood."""

    normal: Vec
    offset: float

    def distance(self, p: Vec) -> float:
        """Signed distance of a point, positive outside."""
        return dot(self.normal, p) - self.offset

    def moved(self, by_mm: float) -> Plane:
        """Moved outwards."""
        return Plane(self.normal, self.offset + by_mm)

    def into(self, frame: Frame) -> Plane:
        """This plane of the parent, in the coordinates of `frame`."""
        return Plane(frame.local_vector(self.normal), self.offset - dot(self.normal, frame.origin))


@dataclass(frozen=True, slots=True)
class Box:
    """An axis-parallel box, mm."""

    low: Vec
    high: Vec

    @classmethod
    def around(cls, points: list[Vec]) -> Box:
        """The least box about some points (at least one)."""
        return cls(
            (min(p[0] for p in points), min(p[1] for p in points), min(p[2] for p in points)),
            (max(p[0] for p in points), max(p[1] for p in points), max(p[2] for p in points)),
        )

    def grown(self, by_mm: float) -> Box:
        """Larger by `by_mm` on all six sides."""
        d = (by_mm, by_mm, by_mm)
        return Box(sub(self.low, d), add(self.high, d))

    def meets(self, other: Box) -> bool:
        """Whether the closed boxes share a point."""
        return all(self.low[k] <= other.high[k] and other.low[k] <= self.high[k] for k in range(3))

    def holds(self, p: Vec) -> bool:
        """Whether the closed box holds a point."""
        return all(self.low[k] <= p[k] <= self.high[k] for k in range(3))

    @property
    def middle(self) -> Vec:
        """The centre."""
        return scale(add(self.low, self.high), 0.5)

    @property
    def size(self) -> Vec:
        """The three extents."""
        return sub(self.high, self.low)
