"""Who may be in whose way along a direction: certainly by the contacts, possibly by the boxes."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cached_property

import numpy as np

from build123.assembly.bodies import SEATED_MM, Bodies, Bools, Floats
from build123.assembly.profile import axes_of
from build123.assembly.sweep import DEEP_MM, Sweeps
from build123.kernel.moves import WaysOut
from build123.model.frame import Vec
from build123.model.part import Hardware

SQUARE = 1.0 - 1e-6
SLOPE = 1e-3
"""A seat that leans less than this against the move is none: it opens or slides."""


class Reach:
    """Directions by number, and for each the bodies in each other's way. Tried moves are kept in `sweeps` and `ways`."""

    def __init__(self, bodies: Bodies, sweeps: Sweeps, ways: WaysOut) -> None:
        self.bodies, self.sweeps, self.ways = bodies, sweeps, ways
        self.directions = bodies.directions
        self._extents: dict[int, tuple[Floats, Floats]] = {}
        self._certain: dict[int, Bools] = {}
        self._maybe: dict[int, Bools] = {}
        self._opposite = [_find(self.directions, tuple(-x for x in way)) for way in self.directions]

    def opposite(self, way: int) -> int:
        """The direction back."""
        return self._opposite[way]

    def numbered(self, direction: Vec) -> int:
        """The number of a direction, the nearest one."""
        return _find(self.directions, direction)

    def extents(self, way: int) -> tuple[Floats, Floats]:
        """Low and high corners (n, 3) of all bodies in a frame whose z is the direction."""
        if way not in self._extents:
            ahead = self.directions[way]
            seen = self.bodies.corners @ np.array([*axes_of(ahead), ahead]).T
            self._extents[way] = (np.asarray(seen.min(axis=1)), np.asarray(seen.max(axis=1)))
        return self._extents[way]

    def maybe(self, way: int) -> Bools:
        """[i, j]: the box of j lies before the box of i, so that i could run into j."""
        if way not in self._maybe:
            low, high = self.extents(way)
            before = low[:, None, 2] < high[None, :, 2] - DEEP_MM
            for axis in (0, 1):
                before &= low[:, None, axis] < high[None, :, axis] - DEEP_MM
                before &= high[:, None, axis] > low[None, :, axis] + DEEP_MM
            np.fill_diagonal(before, False)
            self._maybe[way] = before
        return self._maybe[way]

    def certain(self, way: int) -> Bools:
        """[i, j]: a face of i looks along the direction onto a face of j. Pairs that claim one another's wood are left to be tried."""
        if way not in self._certain:
            n = len(self.bodies.all)
            found = np.zeros((n, n), dtype=bool)
            a, b, normals, gaps = self._faces
            along = normals @ np.array(self.directions[way])
            stops = (along > SQUARE) | ((along > SLOPE) & (gaps <= SEATED_MM))
            found[a[stops], b[stops]] = True
            stops = (along < -SQUARE) | ((along < -SLOPE) & (gaps <= SEATED_MM))
            found[b[stops], a[stops]] = True
            for i, j in self.bodies.slack_mm:
                found[i, j] = False
            self._certain[way] = found & self.maybe(way)
        return self._certain[way]

    def blocked(self, i: int, j: int, way: int) -> bool:
        """Whether j is in the way of i that moves on without end, tried on the solids."""
        if not self.maybe(way)[i, j]:
            return False
        a, b = self.bodies.all[i], self.bodies.all[j]
        slack = self.bodies.slack_mm.get((i, j), 0.0)
        if self.certain(way)[i, j]:
            return True
        if i > j:
            return self.sweeps.meets(b, a, self.directions[self.opposite(way)], slack)
        return self.sweeps.meets(a, b, self.directions[way], slack)

    def draws(self, n: int, others: Iterable[int], way: int) -> bool:
        """Whether a piece of hardware can be drawn out by its own length past other bodies."""
        thing = self.bodies.all[n]
        assert isinstance(thing, Hardware)
        rows = np.fromiter(others, dtype=np.int64)
        low, high = self.extents(way)
        travel = float(high[n, 2] - low[n, 2])
        near = (low[rows, 2] < high[n, 2] + travel - DEEP_MM) & self.maybe(way)[n, rows]
        ahead = self.directions[way]
        return all(self.ways.draws(thing, ahead, travel, self.bodies.all[j], DEEP_MM) for j in rows[near].tolist())

    @cached_property
    def _faces(self) -> tuple[Floats, Floats, Floats, Floats]:
        gaps = self.bodies.fit.gaps
        number = self.bodies.number
        return (
            np.array([number[gap.a] for gap in gaps], dtype=np.int64),
            np.array([number[gap.b] for gap in gaps], dtype=np.int64),
            np.array([gap.normal for gap in gaps]).reshape(-1, 3),
            np.array([gap.gap_mm for gap in gaps]),
        )


def _find(directions: tuple[Vec, ...], way: tuple[float, ...]) -> int:
    return int(np.argmax(np.array(directions) @ np.array(way)))
