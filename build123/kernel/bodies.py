"""The assembled bodies, which of them are near each other, and how one lies in another's frame."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, TypeAlias

import numpy as np
from numpy.typing import NDArray

from build123.model.frame import Box, Frame, Vec
from build123.model.part import Hardware, Rod

if TYPE_CHECKING:
    import cadquery as cq

    from build123.model.measured import Mesh

Floats = NDArray[np.float64]
PoseKey: TypeAlias = tuple[float, ...]

PLACE_DECIMALS = 8
"""Relative origins are rounded to 1e-8 mm: below the geometry kernel's own 1e-7, above the rounding of double precision."""
TURN_DECIMALS = 11
"""Relative directions are rounded to 1e-11: 3e-8 mm at the far end of a piece three metres long."""


@dataclass(frozen=True, eq=False)
class Body:
    """One solid in its place. Equal keys mean equal solids; `mesh` makes its mesh; `thing` is set for what is bought."""

    name: str
    key: str
    placement: Frame
    solid: cq.Shape
    mesh: Callable[[], Mesh]
    thing: Hardware | None = None

    @property
    def rod(self) -> Rod | None:
        """The cylinder that it is, for a rod that is bought."""
        return self.thing.solid if self.thing is not None and isinstance(self.thing.solid, Rod) else None


@dataclass(frozen=True, eq=False)
class Pose:
    """Where a body lies in another's frame: P in the other = `turn` @ p + `shift`.

    It is made from `key` alone, so all that is measured from it is a function of two shapes and the key.
    """

    key: PoseKey
    turn: Floats
    shift: Floats

    @classmethod
    def of(cls, a: Frame, b: Frame) -> Pose:
        """The pose of frame `b` in frame `a`."""
        f = a.local_frame(b)
        shift = [round(x, PLACE_DECIMALS) + 0.0 for x in f.origin]
        turn = [round(x, TURN_DECIMALS) + 0.0 for axis in (f.x, f.y, f.z) for x in axis]
        return cls((*shift, *turn), np.array(turn).reshape(3, 3).T, np.array(shift))

    def points(self, points: Floats) -> Floats:
        """Points (n, 3) of the placed body in the other's frame."""
        return points @ self.turn.T + self.shift

    def vectors(self, vectors: Floats) -> Floats:
        """Directions (n, 3)."""
        return vectors @ self.turn.T

    def boxes(self, lows: Floats, highs: Floats) -> tuple[Floats, Floats]:
        """Boxes about the placed boxes (n, 3), (n, 3)."""
        middle, half = self.points(0.5 * (lows + highs)), 0.5 * (highs - lows) @ np.abs(self.turn).T
        return middle - half, middle + half

    def back(self) -> Pose:
        """The pose of the other body in this one's frame."""
        return Pose(self.key, self.turn.T, -(self.turn.T @ self.shift))


def placed_box(box: Box, frame: Frame) -> Box:
    """The box, in the parent, about a box of `frame`."""
    middle, half = frame.point(box.middle), box.size
    reach = tuple(0.5 * (abs(frame.x[k]) * half[0] + abs(frame.y[k]) * half[1] + abs(frame.z[k]) * half[2]) for k in range(3))
    return Box(
        (middle[0] - reach[0], middle[1] - reach[1], middle[2] - reach[2]),
        (middle[0] + reach[0], middle[1] + reach[1], middle[2] + reach[2]),
    )


def near_pairs(boxes: list[Box], reach_mm: float) -> list[tuple[int, int]]:
    """Pairs i < j of boxes that come within `reach_mm` of each other, in order."""
    if not boxes:
        return []
    lows = np.array([b.low for b in boxes]) - 0.5 * reach_mm
    highs = np.array([b.high for b in boxes]) + 0.5 * reach_mm
    order = np.argsort(lows[:, 0], kind="stable")
    lows, highs = lows[order], highs[order]
    ends = np.searchsorted(lows[:, 0], highs[:, 0], side="right")
    found: list[tuple[int, int]] = []
    for n in range(len(order) - 1):
        rest = slice(n + 1, ends[n])
        hit = np.nonzero(np.all((lows[rest] <= highs[n]) & (highs[rest] >= lows[n]), axis=1))[0]
        i = int(order[n])
        found.extend((min(i, j), max(i, j)) for j in order[n + 1 + hit].tolist())
    return sorted(found)


def as_vec(values: Floats) -> Vec:
    """Three numbers as a plain tuple."""
    return (float(values[0]), float(values[1]), float(values[2]))
