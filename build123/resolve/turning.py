"""Frames and planes of the layout, exact (rationals) wherever nothing is turned by an odd angle."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction

from build123.model.frame import Frame, Plane, unit

Number = Fraction | int | float
Triple = tuple[Number, Number, Number]
Matrix = tuple[Triple, Triple, Triple]

IDENTITY: Matrix = ((1, 0, 0), (0, 1, 0), (0, 0, 1))


def dot(a: Triple, b: Triple) -> Number:
    """Scalar product; null terms are left out, so that exact numbers stay exact."""
    total: Number = Fraction(0)
    for x, y in zip(a, b, strict=True):
        if x != 0 and y != 0:
            total = total + x * y
    return total


def columns(m: Matrix) -> Matrix:
    """The transpose."""
    return (
        (m[0][0], m[1][0], m[2][0]),
        (m[0][1], m[1][1], m[2][1]),
        (m[0][2], m[1][2], m[2][2]),
    )


def times(m: Matrix, v: Triple) -> Triple:
    """Matrix times vector."""
    return (dot(m[0], v), dot(m[1], v), dot(m[2], v))


def product(a: Matrix, b: Matrix) -> Matrix:
    """Matrix times matrix."""
    c = columns(b)
    return (
        (dot(a[0], c[0]), dot(a[0], c[1]), dot(a[0], c[2])),
        (dot(a[1], c[0]), dot(a[1], c[1]), dot(a[1], c[2])),
        (dot(a[2], c[0]), dot(a[2], c[1]), dot(a[2], c[2])),
    )


def _snapped(value: Number) -> Number:
    nearest = round(value)
    return nearest if abs(float(value) - nearest) < 1e-12 else value


def turn(axis: str, degrees: float) -> Matrix:
    """A right-handed turn; quarter turns are exact."""
    a = math.radians(degrees)
    c, s = _snapped(math.cos(a)), _snapped(math.sin(a))
    if axis == "x":
        return ((1, 0, 0), (0, c, -s), (0, s, c))
    if axis == "y":
        return ((c, 0, s), (0, 1, 0), (-s, 0, c))
    return ((c, -s, 0), (s, c, 0), (0, 0, 1))


@dataclass(frozen=True, slots=True)
class Standing:
    """A frame of the layout in the piece: rows of the matrix take its directions to the piece's."""

    matrix: Matrix = IDENTITY
    origin: Triple = (Fraction(0), Fraction(0), Fraction(0))

    def point(self, p: Triple) -> Triple:
        """A point of this frame in the piece."""
        t = times(self.matrix, p)
        return (self.origin[0] + t[0], self.origin[1] + t[1], self.origin[2] + t[2])

    def within(self, inner: Standing) -> Standing:
        """`inner`, given in this frame, as a frame of the piece."""
        return Standing(product(self.matrix, inner.matrix), self.point(inner.origin))

    def mirrored(self, flip: frozenset[int], middle: dict[int, Number]) -> Standing:
        """The right-handed frame of the opposite hand, mirrored in planes of this frame's parent.

        A point at p here goes to a point at S p in the new frame, S changing the sign of the flipped axes.
        """
        signs = [-1 if k in flip else 1 for k in range(3)]
        m = self.matrix
        flipped = tuple(tuple(_snapped(m[i][j] * signs[i] * signs[j]) for j in range(3)) for i in range(3))
        origin = tuple(2 * middle[k] - self.origin[k] if k in flip else self.origin[k] for k in range(3))
        return Standing(flipped, origin)  # type: ignore[arg-type]

    def frame(self) -> Frame:
        """The same in floating point."""
        c = columns(self.matrix)
        return Frame(_floats(self.origin), unit(_floats(c[0])), unit(_floats(c[1])), unit(_floats(c[2])))


def _floats(v: Triple) -> tuple[float, float, float]:
    return (float(v[0]), float(v[1]), float(v[2]))


@dataclass(frozen=True, slots=True)
class Face:
    """The half-space normal . p <= offset in some standing frame."""

    normal: Triple
    offset: Number

    def seen_from(self, here: Standing, there: Standing) -> Face:
        """This face of `here`, in the coordinates of `there`."""
        if here.matrix == there.matrix:
            shift = times(columns(here.matrix), tuple(a - b for a, b in zip(here.origin, there.origin, strict=True)))  # type: ignore[arg-type]
            return Face(self.normal, self.offset + dot(self.normal, shift))
        in_piece = times(here.matrix, self.normal)
        normal = times(columns(there.matrix), in_piece)
        delta: Triple = (here.origin[0] - there.origin[0], here.origin[1] - there.origin[1], here.origin[2] - there.origin[2])
        return Face((_snapped(normal[0]), _snapped(normal[1]), _snapped(normal[2])), self.offset + dot(in_piece, delta))

    def on_axis(self, axis: int) -> Number | None:
        """The coordinate where it crosses an axis square, else None."""
        if abs(self.normal[axis]) != 1:
            return None
        return self.offset * self.normal[axis]

    def plane(self, here: Standing) -> Plane:
        """In floating point, in the piece."""
        normal = times(here.matrix, self.normal)
        return Plane(unit(_floats(normal)), float(self.offset + dot(normal, here.origin)))
