"""Fasteners in a row: the strip where two faces lie on each other, and the places along it. Dowels, screws and pins share this."""

from __future__ import annotations

import math
from dataclasses import dataclass

from pydantic import Field

from build123.fields.entry import Count, Length, Lengths, Names
from build123.fields.show import show_length
from build123.joints.entry import JointEntry
from build123.joints.joinery import Joinery, Meeting
from build123.model.body import plane_frame
from build123.model.frame import Vec, Vec2, add, cross, dot, scale, sub, unit
from build123.model.why import Kind, Why
from build123.problem import SpecError


@dataclass(frozen=True, slots=True)
class Strip:
    """The middle line of the faces' common region."""

    start: Vec
    along: Vec
    length_mm: float

    def at(self, x_mm: float) -> Vec:
        """A point of it."""
        return add(self.start, scale(self.along, x_mm))


def strip_of(at: Joinery, one: Meeting) -> Strip:
    """The strip of a meeting, from left to right, front to back or upwards as the entry means these words.

    It runs along the part that the common region fits more closely, the member where it fits both alike, through the middle of
    the region and from edge to edge of it.
    """
    region, seen = one.touch.region, []
    for name, face in ((one.member, one.touch.a_face), (one.receiver, one.touch.b_face)):
        body = at.sight[name]
        frame = plane_frame(body.planes[face], body.axis((face[0] + 1) % 3))
        flat: list[Vec2] = [frame.local_point(p)[:2] for p in region]
        wide, tall = (max(p[k] for p in flat) - min(p[k] for p in flat) for k in (0, 1))
        seen.append((round(wide * tall, 3), frame.x if wide >= tall - 1e-6 else cross(frame.z, frame.x)))
    along = min(seen, key=lambda found: found[0])[1]
    big = max(("right", "back", "top"), key=lambda word: round(abs(dot(along, at.ways[word])), 6))
    along = unit(along if dot(along, at.ways[big]) > 0 else scale(along, -1.0))
    middle = scale(_sum(region), 1.0 / len(region))
    across = cross(one.touch.normal, along)
    rim = [(dot(sub(p, middle), along), dot(sub(p, middle), across)) for p in region]
    ends = [
        s + (s2 - s) * t / (t - t2) for (s, t), (s2, t2) in zip(rim, [*rim[1:], rim[0]], strict=True) if t * t2 < 0.0 or (t == 0.0 != t2)
    ]
    return Strip(add(middle, scale(along, min(ends))), along, max(ends) - min(ends))


def _sum(points: tuple[Vec, ...]) -> Vec:
    total: Vec = (0.0, 0.0, 0.0)
    for p in points:
        total = add(total, p)
    return total


class InARow(JointEntry):
    """A joint whose fasteners stand in a row along the middle of the faces' common strip."""

    count: Count | None = Field(None, description="How many, evenly spaced.", examples=["2"])
    every: Length | None = Field(None, description="Greatest distance from one to the next, instead of `count`.", examples=["100 mm"])
    positions: Lengths | None = Field(
        None,
        description="Distance of each from the left, front or lower end of the strip, instead of `count`.",
        examples=[["25 mm", "75 mm"]],
    )
    ends: Length | None = Field(
        None,
        description="Distance of the first and last from the ends of the strip. Default: 1 in or 25 mm, a quarter of a short strip.",
        examples=["20 mm"],
    )

    def meetings(self, at: Joinery, ones: Names, others: Names, words: tuple[str, str]) -> list[Meeting]:
        """Parts of two kinds that lie against each other; none where more than one way to space was said, which is reported."""
        met = at.meetings(at.parts(ones), at.parts(others), f"part of `{words[0]}`", f"part of `{words[1]}`")
        at.report_count(met)
        if sum(x is not None for x in (self.count, self.every, self.positions)) > 1:
            at.findings.error("row-spacing", "say one of `count`, `every` and `positions`", at.span)
            return []
        return met

    def cut(self, at: Joinery, met: list[Meeting]) -> None:
        """Each meeting by itself; what cannot be done at one is told and leaves the others."""
        for one in met:
            try:
                self.drive(at, one)
            except SpecError as error:
                at.findings.add(error.finding)

    def drive(self, at: Joinery, one: Meeting) -> None:
        """The row of one meeting."""
        raise NotImplementedError

    def spaced(self, at: Joinery, one: Meeting, strip: Strip, thick_mm: float, pitch_mm: float, least: int = 2) -> list[tuple[float, Why]]:
        """The places along the strip with their reasons.

        `thick_mm` is how thick each is, `pitch_mm` and `least` say how many stand there where the spec does not: one for each
        pitch and one more. SpecError `off-strip`, `row-spacing`.
        """
        length_mm, shown = strip.length_mm, show_length(strip.length_mm, at.units)
        meets = f"the strip where {one.member} and {one.receiver} meet"
        if self.positions is not None:
            found = [at.length(t, "position") for t in self.positions]
            for why in found:
                if not thick_mm / 2 <= why.value <= length_mm - thick_mm / 2:
                    raise SpecError.at(
                        "off-strip",
                        f"{self.one_of_them} at {show_length(why.value, at.units)} is not on {meets}, which is {shown} long",
                        why.span or at.span,
                        change=f"give it from the left, front or lower end of the strip, between {show_length(thick_mm / 2, at.units)} and {show_length(length_mm - thick_mm / 2, at.units)}",
                    )
            return [(w.value, w) for w in found]
        usual = 25.4 if at.units == "in" else 25.0
        ends = at.length(self.ends, "ends", min(usual, length_mm / 4), "1 in or 25 mm, a quarter of a short strip, common practice")
        between = length_mm - 2 * ends.value
        if between < 0:
            raise SpecError.at(
                "off-strip",
                f"{meets} is {shown} long, so {self.one_of_them} cannot be {show_length(ends.value, at.units)} from both ends",
                ends.span or at.span,
                change=f"take `ends` of no more than half of that, {show_length(length_mm / 2, at.units)}",
            )
        count = self._how_many(at, between, length_mm, thick_mm, pitch_mm, least)
        if count == 1:
            return [(length_mm / 2, Why("position", length_mm / 2, "in the middle of the strip", span=at.span))]
        step = between / (count - 1)
        if step < thick_mm:
            raise SpecError.at(
                "row-spacing",
                f"{count} {self.KEY} do not fit on {shown}",
                at.span,
                change="take fewer, or a shorter distance from the ends with `ends`",
            )
        return [
            (
                ends.value + k * step,
                Why("position", ends.value + k * step, f"{{0}} from the end + {k} x {show_length(step, at.units)}", (ends,), span=at.span),
            )
            for k in range(count)
        ]

    def _how_many(self, at: Joinery, between: float, length_mm: float, thick_mm: float, pitch_mm: float, least: int) -> int:
        if self.count is not None:
            count = at.count(self.count)
            if count < 1:
                raise SpecError.at("row-spacing", f"at least one {self.KEY.rstrip('s')} is needed", self.count.span)
            return count
        if self.every is not None:
            every = at.length(self.every, "every")
            if every.value < thick_mm:
                raise SpecError.at(
                    "row-spacing",
                    f"{self.KEY} this close would run into each other",
                    every.span or at.span,
                    change=f"leave more than {show_length(thick_mm, at.units)} from one to the next",
                )
            return math.ceil(between / every.value - 1e-9) + 1
        return max(least, int(length_mm // pitch_mm) + 1)

    @property
    def one_of_them(self) -> str:
        """ "a dowel"."""
        return f"a {self.KEY.rstrip('s')}"

    def count_why(self, count: int, default: str) -> Why:
        """How many there are, with the reason."""
        said = self.count or self.every or self.positions
        return Why("count", float(count), default="" if said else default, kind=Kind.number)
