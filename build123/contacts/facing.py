"""Which measured faces answer to an expected contact."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from build123.contacts.fitted import Fitted
from build123.model.design import Expect, ExpectKind, Joint
from build123.model.frame import Box, Vec, dot, sub
from build123.model.measured import FaceGap

REACH_MM = 3.0
"""How far from its place a face may lie and still be the one that was meant; less than any usual housing is deep."""
PARALLEL = 0.999
"""Cosine above which two directions are one (2.6 degrees)."""
SAME_PLANE_MM = 0.01
"""Faces within this of each other along their normal are taken as one plane."""
FLOOR_SHARE = 0.25
"""A face that fills less of the region of a gap than this is the shoulder beside it, not the floor."""
LEAST_MM2 = 1.0
"""Smaller patches are slivers of a corner, not a contact."""


def shared_mm2(a: Box, b: Box, along: Vec) -> float:
    """How much two regions overlap seen along a direction, by the axis of the piece that it is closest to."""
    axis = max(range(3), key=lambda k: abs(along[k]))
    first, second = (max(0.0, min(a.high[k], b.high[k]) - max(a.low[k], b.low[k])) for k in range(3) if k != axis)
    return first * second


def _span(box: Box, along: Vec) -> float:
    return sum(abs(along[k]) * box.size[k] for k in range(3))


def _off(gap: FaceGap, expect: Expect) -> float:
    """How far along the expected direction a measured face pair lies outside the expected region, mm."""
    away = abs(dot(expect.direction, sub(gap.at, expect.near.middle)))
    return away - _span(expect.near, expect.direction) / 2 - max(0.0, gap.gap_mm)


def _near(seen: Fitted, a: str, b: str, normal: Vec, expect: Expect) -> list[FaceGap]:
    """Face pairs of a and b with that normal out of `a`, in the expected region or within reach of it."""
    return [
        gap
        for gap in seen.gaps(a, b)
        if dot(gap.normal, normal) > PARALLEL and shared_mm2(gap.near, expect.near, normal) > 0.0 and _off(gap, expect) <= REACH_MM
    ]


def facing(seen: Fitted, expect: Expect) -> FaceGap | None:
    """The measured face pair that a seat or a gap speaks of, None where there is none.

    A shoulder and the floor behind it lie in one region: of the expectations there that look the same way each claims
    one measured plane, the narrowest region first, and a gap before a seat (a floor fills its region, a shoulder is
    beside it). Of the faces in the claimed plane the one with the largest shared area is given.
    """
    rivals = [
        other
        for other in seen.expects_of(expect.a, expect.b, ExpectKind.seat, ExpectKind.gap)
        if other.a == expect.a and dot(other.direction, expect.direction) > PARALLEL and other.near.meets(expect.near)
    ]
    rivals = [other for other in rivals if not _alike(other, expect)]
    taken: list[FaceGap] = []
    for other in sorted(rivals, key=lambda one: (shared_mm2(one.near, one.near, one.direction), one.kind is ExpectKind.seat)):
        found = _claimed(seen, other, taken)
        if other == expect:
            return found
        taken += [found] if found is not None else []
    return _claimed(seen, expect, taken)


def _alike(one: Expect, other: Expect) -> bool:
    """Whether two joints expect the same of the same faces: faces that are screwed and glued as well."""
    return one != other and one.kind is other.kind and one.a == other.a and one.near == other.near


def _claimed(seen: Fitted, expect: Expect, taken: list[FaceGap]) -> FaceGap | None:
    planes: dict[float, list[FaceGap]] = {}
    for gap in _near(seen, expect.a, expect.b, expect.direction, expect):
        height = dot(expect.direction, gap.at)
        if gap.area_mm2 >= LEAST_MM2 and not any(abs(height - dot(expect.direction, one.at)) <= SAME_PLANE_MM for one in taken):
            key = next((known for known in planes if abs(known - height) <= SAME_PLANE_MM), height)
            planes.setdefault(key, []).append(gap)

    def shared(gaps: list[FaceGap]) -> float:
        return sum(min(gap.area_mm2, shared_mm2(gap.near, expect.near, expect.direction)) for gap in gaps)

    best = max(planes.values(), key=shared, default=[])
    if not best or (expect.kind is ExpectKind.gap and shared(best) < FLOOR_SHARE * shared_mm2(expect.near, expect.near, expect.direction)):
        return None
    return max(best, key=lambda gap: gap.area_mm2)


@dataclass(frozen=True, slots=True)
class Play:
    """A housing as measured: the sum of the opposed gaps, mm, and where."""

    total_mm: float
    gaps: tuple[FaceGap, ...]

    @property
    def at(self) -> Vec:
        """The middle of the tightest of its gaps."""
        return min(self.gaps, key=lambda gap: gap.gap_mm).at


def stack_of(seen: Fitted, expect: Expect) -> tuple[str, ...]:
    """The bodies along a housing's axis: receiver, the members in order, receiver."""
    bodies, members = seen.design.by_name, (expect.a, *expect.more)
    placed = sorted(members, key=lambda name: dot(expect.direction, bodies[name].box.middle) if name in bodies else 0.0)
    return (expect.b, *placed, expect.b)


def play(seen: Fitted, expect: Expect) -> Play | None:
    """The clearance of a housing about its member or members; None where a wall or a face is not there."""
    gaps: list[FaceGap] = []
    stack = stack_of(seen, expect)
    for low, high in pairwise(stack):
        found = _near(seen, low, high, expect.direction, expect)
        if not found:
            return None
        gaps.append(max(found, key=lambda gap: (min(gap.area_mm2, shared_mm2(gap.near, expect.near, expect.direction)), -abs(gap.gap_mm))))
    return Play(sum(gap.gap_mm for gap in gaps), tuple(gaps))


def plays(seen: Fitted) -> Iterator[tuple[Joint, Expect, Play]]:
    """Every housing whose walls were found, as measured."""
    for joint, expect in seen.expects(ExpectKind.clearance):
        found = play(seen, expect)
        if found is not None:
            yield joint, expect, found


def room_mm(seen: Fitted, floor: Expect, face: FaceGap) -> float:
    """What is left at the floor, measured as `face`, once the shoulder beside it is home: its gap less the shoulder's."""
    for expect in seen.expects_of(floor.a, floor.b, ExpectKind.seat):
        if expect.a == floor.a and dot(expect.direction, floor.direction) > PARALLEL and expect.near.meets(floor.near):
            shoulder = facing(seen, expect)
            return face.gap_mm if shoulder is None else face.gap_mm - shoulder.gap_mm
    return face.gap_mm
