"""What one view has to say: positions along its axes, notes with their places, holes for a table. No paper yet."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from build123.drawing.holes import HoleRow
from build123.drawing.linework import Seen
from build123.drawing.viewing import Viewing
from build123.drawing.vocabulary import Cover
from build123.model.feature import Hole, Profile, Trench
from build123.model.frame import Vec2

SAME_MM = 0.005
"""Positions nearer than this are one position; half of the last figure shown."""

Axis = Literal["u", "v"]


@dataclass(frozen=True, slots=True)
class Station:
    """A position along an axis of a view. `root` is the stretch across the axis that the feature takes up there."""

    axis: Axis
    at: float
    value_mm: float
    root: Vec2
    covers: tuple[Cover, ...]


@dataclass(frozen=True, slots=True)
class SectionOf:
    """What an enlarged section has to show. `caption` is all that its dimensions do not say.

    The wood is `deep_mm` thick under the surface. `sign` -1 turns a trench's left wall to the right of the picture.
    """

    caption: str
    shape: Trench | Profile | Hole
    deep_mm: float
    sign: float = 1.0


@dataclass(frozen=True, slots=True)
class Corners:
    """Points that give an outline which no few dimensions give: a table with a heading row."""

    what: str
    rows: tuple[tuple[str, ...], ...]
    covers: tuple[Cover, ...]


@dataclass(frozen=True, slots=True)
class Spot:
    """Where a note belongs: `at` for a leader, `low`..`high` the room that its feature takes, all in view coordinates.

    `note` is empty for a mark, which is only named. `square` tells that the feature fills that room. `others` are
    more places, of equal size, that a leader may point to. Where there is a section or a table of corners, the sizes that it
    gives are in `covers` too.
    """

    note: str
    features: tuple[str, ...]
    covers: tuple[Cover, ...]
    members: tuple[str, ...]
    at: Vec2
    low: Vec2
    high: Vec2
    count: int = 1
    inside: bool = False
    square: bool = True
    others: tuple[Vec2, ...] = ()
    section: SectionOf | None = None
    corners: Corners | None = None

    @property
    def lettered(self) -> bool:
        """Whether the feature needs a letter to be found by, however few there are."""
        return self.section is not None or self.corners is not None


@dataclass
class ViewPlan:
    """All that one view has to say."""

    viewing: Viewing
    seen: Seen
    u: list[Station] = field(default_factory=list)
    v: list[Station] = field(default_factory=list)
    spots: list[Spot] = field(default_factory=list)
    rows: list[HoleRow] = field(default_factory=list)

    def station(self, axis: Axis, at: float, root: Vec2, cover: Cover) -> None:
        """Keep a position; equal ones become one."""
        corner = self.viewing.at(self.viewing.corner)[0 if axis == "u" else 1]
        kept = self.u if axis == "u" else self.v
        for k, known in enumerate(kept):
            if abs(known.at - at) < SAME_MM:
                low, high = min(known.root[0], root[0]), max(known.root[1], root[1])
                kept[k] = Station(axis, known.at, known.value_mm, (low, high), (*known.covers, cover))
                return
        kept.append(Station(axis, at, abs(at - corner), root, (cover,)))

    def distance(self, axis: Axis, at: float) -> float:
        """From the datum corner; less than nothing outside the wood."""
        k = 0 if axis == "u" else 1
        corner = self.viewing.at(self.viewing.corner)[k]
        return at - corner if abs(corner - self.seen.low[k]) < abs(corner - self.seen.high[k]) else corner - at

    def inside(self, axis: Axis, at: float) -> bool:
        """Whether a position is within the view's outline and not on its rim."""
        k = 0 if axis == "u" else 1
        return self.seen.low[k] + SAME_MM < at < self.seen.high[k] - SAME_MM
