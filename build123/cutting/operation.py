"""Operations of one worked face, in that face's own plane (mm).

A face is drawn as seen: x to the right, y up, depths from it into the wood. (0, 0) is where the origin of the bench frame lies,
so one corner of the part is zero in every file. Lines are finished lines: the cutter stays inside a trench, a pocket or a
cut-out, and outside the outline.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from typing import Literal, TypeAlias

from build123.model.feature import Outline, Surface
from build123.model.frame import Vec, Vec2
from build123.model.part import Part
from build123.trade.cutters import Cutter


class Clear(Enum):
    """What is cleared within closed lines."""

    outline = "OUTLINE"
    trench = "TRENCH"
    pocket = "POCKET"


@dataclass(frozen=True, slots=True)
class Cleared:
    """Wood within closed lines, down to a depth. Lines are read even-odd: one within another is an island.

    Of the outline it is the wood outside that goes. `least_radius_mm` is the smallest inside radius of its arcs, None where it
    has none; `square` tells that it has inside corners too. `cutter` is the largest standard one that does it but for such
    corners, None where the table has none so small.
    """

    kind: Clear
    depth_mm: float
    through: bool
    rings: tuple[Outline, ...]
    least_radius_mm: float | None
    square: bool
    cutter: Cutter | None


@dataclass(frozen=True, slots=True)
class Drilled:
    """One cylinder of a hole, from the face down. `cone_deg` narrows it from the face on; `tip_deg` is the bit's point below."""

    at: Vec2
    diameter_mm: float
    depth_mm: float
    through: bool = False
    cone_deg: float = 0.0
    tip_deg: float = 0.0


@dataclass(frozen=True, slots=True)
class Relieved:
    """A circle that takes the round out of an inside corner, so that a square part seats; it passes through the corner."""

    at: Vec2
    radius_mm: float
    depth_mm: float
    through: bool


Operation: TypeAlias = Cleared | Drilled | Relieved


@dataclass(frozen=True, slots=True)
class Remark:
    """What is told and drawn and never cut. `missing` tells that wood goes there that no operation takes; `feature` is the id of a
    feature that is missing whole."""

    text: str
    missing: bool = False
    feature: str = ""
    rings: tuple[Outline, ...] = ()
    lines: tuple[tuple[Vec2, Vec2], ...] = ()


@dataclass(frozen=True, slots=True)
class Side:
    """How a face is looked at: unit vectors of the bench frame, right-handed."""

    surface: Surface
    right: Vec
    up: Vec
    towards: Vec


@dataclass(frozen=True, slots=True)
class CutFace:
    """One file. `low`, `high` are the corners of the part's blank as seen; `deep_mm` is the wood behind the face.

    `name` says the face in the maker's words. `number` of `count` is the order in which the files are cut; `outlined` tells that
    this one cuts the part free.
    """

    part: Part
    side: Side
    name: str
    low: Vec2
    high: Vec2
    deep_mm: float
    number: int
    count: int
    outlined: bool
    operations: tuple[Operation, ...]
    remarks: tuple[Remark, ...]

    @property
    def pose(self) -> Literal["worked face up", "turned over", "on edge"]:
        """How the wood lies."""
        return {"+z": "worked face up", "-z": "turned over"}.get(self.side.surface, "on edge")  # type: ignore[return-value]
