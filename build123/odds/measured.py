"""The fits of a piece: each gap as measured on the solids, with what varies in it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from itertools import combinations

from build123.contacts.cylinders import bore_gap
from build123.contacts.facing import PARALLEL, facing, plays, room_mm
from build123.contacts.fitted import Fitted
from build123.model.design import Expect, ExpectKind, Joint
from build123.model.feature import Purpose
from build123.model.frame import Vec, dot, norm, sub, unit
from build123.model.part import Part
from build123.odds.fits import Fit, Run, Stack, stack
from build123.odds.sources import Sources, Terms, along, cut_for
from build123.trade.tables import rules

SAME_HOLE_MM = 0.25
"""Holes that meet and differ less in radius hold one pin; a clearance hole on a pilot does not, and is drilled in place."""


@dataclass(frozen=True)
class Fits:
    """All that may go wrong at the dry fit of a piece."""

    fitted: Fitted

    @cached_property
    def _of(self) -> Sources:
        return Sources(self.fitted.design)

    @cached_property
    def _parts(self) -> dict[str, Part]:
        return self.fitted.design.by_name

    def all(self) -> tuple[Fit, ...]:
        """In the order housings, room under shoulders, ends with air, rows of pins; of each in the design's order."""
        return (*self.housings(), *self.rooms(), *self.ends(), *self.rows())

    def housings(self) -> Iterator[Stack]:
        """The clearance of each housing: its width less the thickness of all that stands in it."""
        for joint, expect, found in plays(self.fitted):
            receiver = self._parts.get(expect.b)
            members = [self._parts[name] for name in (expect.a, *expect.more) if name in self._parts]
            if receiver is None or not members:
                continue
            cut = cut_for(receiver, joint, Purpose.housing)
            wide = self._of.width(cut[0]) if cut else self._of.shop("cutting", ("housing", joint.id), "cutting the housing")
            terms: Terms = [(wide, 1.0)]
            for part in members:
                thick = self._of.thick_in_housing(part, joint, along(part, expect.direction), members[0].name)
                terms += [(source, -times) for source, times in thick]
            yield stack(joint.id, expect.what, (expect.a, *expect.more, expect.b), (found.total_mm, expect.low_mm, expect.high_mm), terms)

    def rooms(self) -> Iterator[Stack]:
        """What is left at the floor once the shoulder is home: the depth of the trench less the length of the tongue."""
        for joint, expect in self.fitted.expects(ExpectKind.gap):
            face = facing(self.fitted, expect) if expect.shoulder else None
            if face is None or not {expect.a, expect.b} <= self._parts.keys():
                continue
            gap = (room_mm(self.fitted, expect, face), expect.low_mm, expect.high_mm)
            tongue = self._of.tongue(self._parts[expect.a], joint)
            terms = [*self._depth(joint, expect.b, 1.0), *([(tongue, -1.0)] if tongue else [])]
            yield stack(
                joint.id, expect.what, (expect.a, expect.b), gap, terms, f"cutting the shoulder of {expect.a} last, to fit {expect.b}"
            )

    def ends(self) -> Iterator[Stack]:
        """Air at the ends of a member: at two opposite ends the sum of both, since it may be pushed either way."""
        found = [
            (joint, expect, face.gap_mm)
            for joint, expect in self.fitted.expects(ExpectKind.gap)
            if not expect.shoulder and {expect.a, expect.b} <= self._parts.keys() and (face := facing(self.fitted, expect)) is not None
        ]
        paired: set[int] = set()
        for (m, (joint, one, gap)), (n, (other_joint, other, other_gap)) in combinations(enumerate(found), 2):
            if m in paired or n in paired or one.a != other.a or one.b == other.b or dot(one.direction, other.direction) > -PARALLEL:
                continue
            paired |= {m, n}
            terms = [*self._depth(joint, one.b, 1.0), *self._depth(other_joint, other.b, 1.0), *self._apart(one, other)]
            sums = (gap + other_gap, one.low_mm + other.low_mm, one.high_mm + other.high_mm)
            yield self._end(joint, one, (one.a, one.b, other.b), sums, terms, f"{one.what}, both ends together")
        for n, (joint, one, gap) in enumerate(found):
            if n not in paired:
                place = self._of.shop("laying out", ("place", joint.id), f"place of {one.b}")
                terms = [*self._depth(joint, one.b, 1.0), (place, 1.0)]
                yield self._end(joint, one, (one.a, one.b), (gap, one.low_mm, one.high_mm), terms, one.what)

    def _end(self, joint: Joint, one: Expect, parts: tuple[str, ...], gap: tuple[float, float, float], terms: Terms, what: str) -> Stack:
        part = self._parts[one.a]
        own = [(source, -times) for source, times in self._of.size(part, along(part, one.direction))]
        return stack(joint.id, what, parts, gap, [*terms, *own], f"cutting {one.a} last, to fit")

    def _depth(self, joint: Joint, receiver: str, times: float) -> Terms:
        cut = cut_for(self._parts[receiver], joint, Purpose.housing)
        return [(self._of.depth(cut[0]), times)] if cut else []

    def _apart(self, one: Expect, other: Expect) -> Terms:
        """What varies in the distance of the two receivers: a part that seats on both holds them apart."""
        for name, at_one in self._seats.get(one.b, ()):
            if name == one.a or dot(at_one[1].direction, one.direction) < PARALLEL:
                continue
            for back, at_other in self._seats.get(other.b, ()):
                if back == name and dot(at_other[1].direction, other.direction) > PARALLEL:
                    part = self._parts[name]
                    terms = self._of.size(part, along(part, one.direction))
                    for joint, seat in (at_one, at_other):
                        tongue = self._of.tongue(part, joint)
                        terms += [(tongue, -1.0)] if tongue else self._depth(joint, seat.b, -1.0)
                    return terms
        place = self._of.shop("laying out", ("place", one.b, other.b), f"place of {other.b}")
        return [(place, 1.0)]

    @cached_property
    def _seats(self) -> dict[str, list[tuple[str, tuple[Joint, Expect]]]]:
        """By receiver: the parts that seat on it, with joint and seat."""
        found: dict[str, list[tuple[str, tuple[Joint, Expect]]]] = {}
        for joint, expect in self.fitted.expects(ExpectKind.seat):
            if expect.a in self._parts and expect.b in self._parts:
                found.setdefault(expect.b, []).append((expect.a, (joint, expect)))
        return found

    def rows(self) -> Iterator[Run]:
        """The pins of each joint. A row has its line from a fence, off alike for all, so that only places along it count."""
        for joint in self.fitted.design.joints:
            met = [(one, bore_gap(self.fitted, one)) for one in joint.expects if one.kind is ExpectKind.bore]
            pins = [(one, gap) for one, gap in met if gap is not None and abs(gap.radius_a_mm - gap.radius_b_mm) <= SAME_HOLE_MM]
            if not pins:
                continue
            play = min(one.high_mm or rules()["HOLE-LINE"].most for one, _ in pins)
            row = sub(pins[-1][0].near.middle, pins[0][0].near.middle)
            yield Run(
                joint.id,
                f"in the holes of its {len(pins)} pins" if len(pins) > 1 else "in the holes of its pin",
                (joint.member, joint.receiver),
                tuple(gap.offset_mm for _, gap in pins),
                play,
                self._of.marking(joint),
                self._of.bit(2 * pins[0][1].radius_a_mm),
                norm(row) > 0.0 and self._held(joint, unit(row)),
            )

    def _held(self, joint: Joint, row: Vec) -> bool:
        """Whether the walls of a housing between the same parts keep them from being pushed along a row."""
        walls = self.fitted.expects_of(joint.member, joint.receiver, ExpectKind.clearance)
        return any(abs(dot(wall.direction, row)) > PARALLEL for wall in walls)
