"""What a feature takes away, as a solid with a box about it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from build123.model.frame import Box, Frame, Vec

if TYPE_CHECKING:
    from OCP.TopoDS import TopoDS_Shape


@dataclass(frozen=True, slots=True, eq=False)
class Tool:
    """One closed solid to cut with; it lies wholly in the box `low`..`high` (mm) of `frame`.

    `is_box` tells that it is just that box. `make` makes the solid, which a box may never need.
    """

    make: Callable[[], TopoDS_Shape]
    frame: Frame
    low: Vec
    high: Vec
    feature: str
    is_box: bool = False

    @property
    def bench_box(self) -> tuple[Vec, Vec]:
        """The box about it that is square to the bench."""
        corners = [self.frame.point((x, y, z)) for x in self._ends(0) for y in self._ends(1) for z in self._ends(2)]
        box = Box.around(corners)
        return box.low, box.high

    @property
    def square_box(self) -> bool:
        """Whether it is a box that stands square to the bench."""
        axes = (self.frame.x, self.frame.y, self.frame.z)
        return self.is_box and all(sorted(map(abs, axis))[1] < SQUARE for axis in axes)

    def _ends(self, axis: int) -> tuple[float, float]:
        return self.low[axis], self.high[axis]


SQUARE = 1e-12
"""A frame is square to the bench where its axes lean by less than this (rad): 0.000000002 mm over two metres."""
