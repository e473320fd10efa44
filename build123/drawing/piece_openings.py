"""Clear openings: what wood encloses in a cut through the piece, measured between its faces."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

import shapely

AIR_MM = 3.0
"""A gap up to twice this does not join two openings: loose shelves have air at their ends."""
LEAST_MM = 40.0
"""A smaller hollow is no opening (common practice: a hand does not go in)."""
SAME_MM = 0.01
NOTCH_MM = 8.0
"""The mouth of a hole that the cut goes through, up to twice as wide, is no part of an opening."""


@dataclass(frozen=True, slots=True)
class Opening:
    """A rectangle between faces of wood, in the picture, mm."""

    low: tuple[float, float]
    high: tuple[float, float]

    @property
    def width(self) -> float:
        """Along u."""
        return self.high[0] - self.low[0]

    @property
    def height(self) -> float:
        """Along v."""
        return self.high[1] - self.low[1]

    def like(self, other: Opening) -> bool:
        """Whether both are the same rectangle."""
        return all(abs(a - b) < SAME_MM for a, b in zip((*self.low, *self.high), (*other.low, *other.high), strict=True))

    @property
    def middle(self) -> tuple[float, float]:
        """The centre."""
        return (self.low[0] + self.high[0]) / 2, (self.low[1] + self.high[1]) / 2


def openings(areas: Iterable[shapely.Geometry]) -> list[Opening]:
    """The enclosed rectangles between areas of cut wood, upper ones first. Hollows of other shapes are left out."""
    wood = shapely.union_all([area.buffer(AIR_MM, join_style="mitre", cap_style="square") for area in areas])
    wood = wood.buffer(-AIR_MM, join_style="mitre")
    found = []
    for piece in getattr(wood, "geoms", [wood]):
        for ring in getattr(piece, "interiors", ()):
            hollow = shapely.Polygon(ring).buffer(-NOTCH_MM, join_style="mitre").buffer(NOTCH_MM, join_style="mitre")
            if hollow.is_empty:
                continue
            left, low, right, high = hollow.bounds
            if min(right - left, high - low) >= LEAST_MM and abs(hollow.area - (right - left) * (high - low)) < 1.0:
                found.append(Opening((left, low), (right, high)))
    return sorted(found, key=lambda o: (-round(o.high[1], 2), round(o.low[0], 2)))


@dataclass(frozen=True, slots=True)
class Clear:
    """One clear size to write, along x or y: the openings that have it, and how many in a row have a width."""

    along: Literal["x", "y"]
    openings: tuple[Opening, ...]
    size_mm: float
    count: int


def clear_sizes(found: list[Opening]) -> list[Clear]:
    """Each height once for each level, each width once for all openings of it."""
    levels: dict[tuple[int, int], list[Opening]] = {}
    widths: dict[int, list[Opening]] = {}
    for opening in found:
        levels.setdefault((round(opening.low[1] / SAME_MM), round(opening.high[1] / SAME_MM)), []).append(opening)
        widths.setdefault(round(opening.width / SAME_MM), []).append(opening)
    sizes = [Clear("y", tuple(same), same[0].height, 1) for same in levels.values()]
    for same in widths.values():
        across = {(round(o.low[0] / SAME_MM), round(o.high[0] / SAME_MM)) for o in same}
        sizes.append(Clear("x", tuple(same), same[0].width, len(across)))
    return sizes
