"""Screws, nails and staples as they stand in the wood, joint by joint, and how findings speak of several of them."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from typing_extensions import assert_never

from build123.checks.seen import Seen
from build123.model.design import Joint
from build123.model.feature import Purpose
from build123.model.frame import Vec, dot, scale, sub
from build123.model.measured import Driven
from build123.model.part import Block, Hardware, Part, Rod, Screw, Staple

LEANS = math.cos(math.radians(30.0))
"""Within 30 degrees of a line a screw is taken to lie along it."""
COVERED_MM = 0.5
"""A part this near to a face covers it: nobody looks between them, and the wood cannot bulge."""
TOWARDS = 0.5
"""Cosine above which a face is one that a direction comes to (60 degrees)."""
ROOM_MM = 0.4
"""More room than this about a shank is meant to let the wood move; plain clearance holes leave at most 0.25 mm (table of screws)."""
FOR_SCREWS = (Purpose.pilot, Purpose.clearance, Purpose.movement)
"""What the holes of screws are for."""
UP: Vec = (0.0, 0.0, 1.0)


@dataclass(frozen=True, slots=True)
class Fastener:
    """One screw or nail, or a leg of a staple.

    `into` is its measured stretch in the part that its point bites in, `through` that in the part under its head; None where it
    does not come near the part at all.
    """

    thing: Hardware
    joint: Joint
    into: Driven | None
    through: Driven | None

    @property
    def is_nail(self) -> bool:
        """Whether it is driven without a hole: a pin, a brad, a nail, a staple."""
        return not isinstance(self.thing.solid, Screw)

    @property
    def word(self) -> str:
        """What it is, without its number: "screw", "finish nail"."""
        return self.thing.name.split(" of ")[0].rstrip("0123456789 ")

    @property
    def diameter_mm(self) -> float:
        """Of its shank or thread; for a staple the wire."""
        solid = self.thing.solid
        match solid:
            case Screw() | Rod():
                return solid.diameter_mm
            case Staple():
                return solid.wire_mm
            case Block():
                return 0.0
            case _:
                assert_never(solid)

    @property
    def axis(self) -> Vec:
        """From its head to its point."""
        return self.thing.placement.z

    @property
    def receiver(self) -> str:
        """The part that its point is meant to bite in."""
        return self.thing.bites[-1]

    @property
    def upright(self) -> bool:
        """Whether it stands upright, within 30 degrees."""
        return abs(dot(self.axis, UP)) > LEANS

    @property
    def level(self) -> bool:
        """Whether it lies level, within 30 degrees."""
        return abs(dot(self.axis, UP)) < math.sin(math.radians(30.0))


def fasteners(seen: Seen) -> Iterator[tuple[Joint, tuple[Fastener, ...]]]:
    """What bites, by the joint that it belongs to, in the design's order."""
    stands: defaultdict[tuple[str, str], list[Driven]] = defaultdict(list)
    for one in seen.fit.driven:
        stands[one.hardware, one.part].append(one)
    things: defaultdict[str, list[Hardware]] = defaultdict(list)
    for thing in seen.design.hardware:
        if thing.bites:
            things[thing.joint].append(thing)
    for joint in seen.design.joints:
        found = []
        for thing in things.get(joint.id, ()):
            into, under = stands[thing.name, thing.bites[-1]], stands[thing.name, joint.member]
            for n in range(max(1, len(into), len(under))):
                found.append(Fastener(thing, joint, into[n] if n < len(into) else None, under[n] if n < len(under) else None))
        if found:
            yield joint, tuple(found)


def told_of(worst: Fastener, others: Sequence[Fastener]) -> str:
    """The name of the worst one, and how many more of its joint are alike: "screw 1 of side into shelf (and 3 more)"."""
    more = len({one.thing.name for one in others} - {worst.thing.name})
    return worst.thing.name if more == 0 else f"{worst.thing.name} (and {more} more)"


def along_grain(part: Part, axis: Vec) -> bool:
    """Whether an axis runs along the grain of a board, within 30 degrees."""
    return part.stock.kind == "board" and abs(dot(axis, part.placement.x)) > LEANS


def into_edge(part: Part, axis: Vec) -> bool:
    """Whether an axis goes into the edge of a sheet."""
    return part.stock.kind == "sheet" and abs(dot(axis, part.placement.z)) < math.sin(math.radians(30.0))


def starts(driven: Driven) -> Vec:
    """Where a fastener comes into the wood of a part."""
    return sub(driven.point, scale(driven.axis, driven.bite_mm))


def room_mm(one: Fastener) -> tuple[float, float]:
    """The least and the most room about the shank in the part under the head, each way from the middle of the hole."""
    around = one.through.beside if one.through is not None else ()
    half = len(around) // 2
    room = [(a.air_mm + b.air_mm - one.diameter_mm) / 2 for a, b in zip(around[:half], around[half:], strict=True)]
    return (min(room), max(room)) if room else (0.0, 0.0)


def slack_mm(driven: Driven, direction: Vec) -> float:
    """How far the wood about a fastener may move past it, both ways along a direction: the lesser of the two, 0 at least."""
    found = math.inf
    for sign in (1.0, -1.0):
        towards = max(driven.beside, key=lambda one: sign * dot(one.direction, direction), default=None)
        if towards is None or sign * dot(towards.direction, direction) < LEANS:
            return 0.0
        found = min(found, towards.air_mm)
    return max(0.0, found - driven.diameter_mm / 2)


def covered(seen: Seen, part: str, at: Vec, direction: Vec) -> bool:
    """Whether another part lies, as measured, on the face of a part that looks to a direction, just at a point of it."""
    for gap in seen.fit.gaps:
        if part not in (gap.a, gap.b) or abs(gap.gap_mm) > COVERED_MM or not gap.near.grown(COVERED_MM).holds(at):
            continue
        other, out = (gap.b, 1.0) if gap.a == part else (gap.a, -1.0)
        if other in seen.design.by_name and out * dot(gap.normal, direction) > TOWARDS:
            return True
    return False
