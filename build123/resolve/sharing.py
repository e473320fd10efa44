"""Where a part that came out longer or shorter takes the difference: at which of its two ends, and how far each goes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from build123.joints.dado import LEAST_DEPTH_MM
from build123.joints.joinery import Growth, Tray
from build123.model.body import Body, FaceTag, touching
from build123.model.frame import dot
from build123.model.part import Stock

LEFT_MM = 1.0
"""What must be left under a housing that is cut deeper for a part; whether that is enough is for the checks to say."""


@dataclass(frozen=True, slots=True)
class Meets:
    """One end of a part. `growth` are the joints that let it in, `against` the parts that it lies against, if they do not."""

    tag: FaceTag
    body: Body
    growth: tuple[Growth, ...] = ()
    against: tuple[str, ...] = ()
    made: frozenset[str] = frozenset()
    thickness_mm: Mapping[str, float] = field(default_factory=dict)

    @property
    def free(self) -> bool:
        """Whether nothing meets it."""
        return not self.growth and not self.against

    @property
    def follows(self) -> bool:
        """Whether all that it goes into can be cut to suit."""
        return bool(self.growth) and all(self.can_follow(one) for one in self.growth)

    def can_follow(self, one: Growth) -> bool:
        """Whether a housing is still to be cut."""
        return one.depth is not None and one.into not in self.made

    @property
    def deep_mm(self) -> float:
        """How far it goes in as planned, mm."""
        return max((one.by.value for one in self.growth), default=0.0)

    @property
    def slant(self) -> float:
        """What the end plane moves for each mm along the part: less than 1 where it leans."""
        return abs(dot(self.body.planes[self.tag].normal, self.body.axis(self.tag[0])))

    def room_mm(self) -> tuple[float, float]:
        """How much less and how much more it can go in, along the part."""
        if not self.growth:
            return 0.0, 0.0
        if not self.follows:
            less = min(max(one.slack_mm[0], one.spare_mm) for one in self.growth)
            return less / self.slant, min(one.slack_mm[1] for one in self.growth) / self.slant
        depths = [(one.depth.value, self.thickness_mm[one.into]) for one in self.growth if one.depth is not None]
        less = min(depth - LEAST_DEPTH_MM for depth, _ in depths)
        more = min(thickness - LEFT_MM - depth for depth, thickness in depths)
        return max(less, 0.0) / self.slant, max(more, 0.0) / self.slant


def meets(body: Body, tag: FaceTag, sight: Mapping[str, Body], stock: Mapping[str, Stock], tray: Tray) -> Meets:
    """What an end of a part meets; `body` is the part in sight."""
    growth = tuple(tray.growth.get((body.name, tag), ()))
    against: list[str] = []
    if not growth:
        others = (other for name, other in sight.items() if name != body.name)
        against = [other.name for other in others if any(one.a_face == tag for one in touching(body, other))]
    into = {one.into: stock[one.into].thickness_mm for one in growth}
    return Meets(tag, body, growth, tuple(against), frozenset(tray.made & {*into, *against}), into)


def shared(off_mm: float, low: Meets, high: Meets, flipped: bool) -> dict[FaceTag, float]:
    """How far each end goes outwards along its normal for a part that is `off_mm` longer.

    An end that meets nothing takes it all, else those that are let in, first those that can follow, and both where they are alike.
    Of two free ends the one at the left, front or bottom stays; `flipped` tells that the part is the opposite hand, so that
    it is the other one.
    """
    ends = (low, high)
    free = [one for one in ends if one.free]
    if free:
        one = ends[not flipped] if len(free) == 2 else free[0]
        return {one.tag: off_mm * one.slant}
    housed = sorted((one for one in ends if one.growth), key=lambda one: (not one.follows, -one.room_mm()[off_mm > 0]))
    if len(housed) == 1:
        return {housed[0].tag: off_mm * housed[0].slant}
    first, second = housed or ends
    alike = first.follows == second.follows and abs(first.deep_mm - second.deep_mm) < 1e-9
    there = _within(off_mm - _within(off_mm / 2 if alike else off_mm, first), second)
    here = _within(off_mm - there, first)
    left = off_mm - here - there
    share = 0.5 if alike else 1.0 if second.follows else 0.0
    return {first.tag: (here + left * share) * first.slant, second.tag: (there + left * (1.0 - share)) * second.slant}


def _within(by_mm: float, end: Meets) -> float:
    less, more = end.room_mm()
    return min(max(by_mm, -less), more)
