"""The six sides of a blank as a machine sees them, and points of the bench on them."""

from __future__ import annotations

from collections.abc import Sequence

from build123.cutting.operation import Side
from build123.model.feature import Datum, Outline, Surface, Vertex
from build123.model.frame import PLAN_MM, Vec, Vec2, dot
from build123.model.part import Part

_X, _Y, _Z = (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)
_NX, _NY, _NZ = (-1.0, 0.0, 0.0), (0.0, -1.0, 0.0), (0.0, 0.0, -1.0)

SIDES: dict[Surface, Side] = {
    "+z": Side("+z", _X, _Y, _Z),
    "-z": Side("-z", _NX, _Y, _NZ),
    "-x": Side("-x", _NY, _Z, _NX),
    "+x": Side("+x", _Y, _Z, _X),
    "-y": Side("-y", _X, _Z, _NY),
    "+y": Side("+y", _NX, _Z, _Y),
}
"""In the order of their files. The part is turned over end for end, so the edge at y = 0 stays where it is; on edge, the worked
face is the upper line."""


def flat(side: Side, p: Vec) -> Vec2:
    """A point of the bench as seen."""
    return (dot(side.right, p), dot(side.up, p))


def extent(part: Part, side: Side) -> tuple[Vec2, Vec2, float]:
    """The corners of the blank as seen, and how deep it is."""
    ends = [flat(side, (x, y, z)) for x in (0.0, part.length_mm) for y in (0.0, part.width_mm) for z in (0.0, part.thickness_mm)]
    low = (min(p[0] for p in ends), min(p[1] for p in ends))
    high = (max(p[0] for p in ends), max(p[1] for p in ends))
    return low, high, abs(dot(side.towards, (part.length_mm, part.width_mm, part.thickness_mm)))


def side_of(part: Part, datum: Datum) -> Side | None:
    """The side of the blank that a datum lies in, None for a trimmed face or one below the skin."""
    size = (part.length_mm, part.width_mm, part.thickness_mm)
    for side in SIDES.values():
        skin = max(0.0, dot(side.towards, size))
        if dot(datum.frame.z, side.towards) > 1 - 1e-9 and abs(dot(datum.frame.origin, side.towards) - skin) < PLAN_MM:
            return side
    return None


def seen(side: Side, datum: Datum, ring: Sequence[Vertex]) -> Outline:
    """An outline of a datum on a side, as seen there; the way round stays."""
    return tuple(Vertex(*flat(side, datum.frame.point((v.x, v.y, 0.0))), v.bulge) for v in ring)
