"""The blank as tools need it: its corners, how far it reaches, and where a line leaves it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from build123.model.feature import Datum
from build123.model.frame import PLAN_MM, Frame, Vec, dot

RISE_MM = 1.0
"""How far a tool stands out of the wood, so that no face of it lies in a face of the blank."""
ALONG = 1e-6
"""A direction leaves through a face when it has at least this much of the face's normal (about 0.0001 degrees)."""


@dataclass(frozen=True)
class Blank:
    """The box 0..length x 0..width x 0..thickness, mm."""

    length_mm: float
    width_mm: float
    thickness_mm: float

    @cached_property
    def corners(self) -> list[Vec]:
        """The eight corners."""
        return [(x, y, z) for x in (0.0, self.length_mm) for y in (0.0, self.width_mm) for z in (0.0, self.thickness_mm)]

    @cached_property
    def size(self) -> Vec:
        """The three extents."""
        return (self.length_mm, self.width_mm, self.thickness_mm)

    def reach(self, frame: Frame) -> tuple[Vec, Vec]:
        """Least and greatest coordinates of the blank in a frame."""
        local = [frame.local_point(p) for p in self.corners]
        low = (min(p[0] for p in local), min(p[1] for p in local), min(p[2] for p in local))
        high = (max(p[0] for p in local), max(p[1] for p in local), max(p[2] for p in local))
        return low, high

    def leaves(self, p: Vec, direction: Vec) -> bool:
        """Whether a line that goes through `p` is at or past the face of the blank by which it leaves it."""
        for axis in range(3):
            if direction[axis] > ALONG and p[axis] >= self.size[axis] - PLAN_MM:
                return True
            if direction[axis] < -ALONG and p[axis] <= PLAN_MM:
                return True
        return False

    def rise(self, datum: Datum) -> float:
        """How far a tool may stand above its datum: nowhere that wood of this part could be, so 0 for a sunk datum."""
        if datum.surface == "trim":
            return RISE_MM
        frame = datum.frame
        above = max(dot(frame.z, p) for p in self.corners) - dot(frame.z, frame.origin)
        return RISE_MM if above <= PLAN_MM else 0.0

    def drop(self, frame: Frame, depth_mm: float) -> float:
        """How far a tool goes below its floor: past the blank where the floor is at or beyond the far side, else 0."""
        below = min(dot(frame.z, p) for p in self.corners) - dot(frame.z, frame.origin)
        return RISE_MM if below >= -depth_mm - PLAN_MM else 0.0
