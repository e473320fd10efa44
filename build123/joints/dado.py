"""Dado and groove: an end or edge let whole into a trench in a face."""

from __future__ import annotations

from dataclasses import replace
from typing import Annotated, ClassVar

from pydantic import Field

from build123.fields.entry import Insets, Length, Names, OneOf, Word
from build123.fields.show import show_length
from build123.joints import housing
from build123.joints.entry import JointEntry
from build123.joints.joinery import Joinery, Meeting
from build123.model.body import touching
from build123.model.design import Expect
from build123.model.frame import Vec, scale
from build123.model.why import Why
from build123.problem import SpecError, Text
from build123.trade.tables import rules

FLOOR_GAP_MM = 0.5
"""A notched end seats on its shoulder, so it stops this short of the floor (1/64 in or half a millimetre, common practice)."""
LEAST_DEPTH_MM = 1.0
"""A shallower trench is a slip of the unit, not a housing (common practice: an eighth of an inch at least)."""
SPARE_SHARE = 1 / 3
"""A part that bears on its shoulder may go in a third less and still holds (judgement)."""
DEPTH_SHARE = 1 / 3
"""Default depth as a share of the receiver's thickness (common practice: a quarter to a third)."""


class HousedEntry(JointEntry):
    """The keys of a joint that houses a member."""

    HOUSES: ClassVar[bool] = True

    of: Names = Field(description="The parts that are let in.", examples=["shelf"])
    in_: Names = Field(alias="in", description="The parts that are cut.", examples=["side"])
    depth: Length | None = Field(
        None, description="How deep, into the face. Default: a third of the thickness that is cut.", examples=["1/4 in"]
    )
    fit: Word | None = Field(
        None, description="A named fit for the walls: press, slip, easy or one of `fits`. Default: slip.", examples=["slip"]
    )
    width: Length | None = Field(
        None,
        description="A housing of this width instead of one cut to the fit, as with a cutter that is to hand. Default: to the fit.",
        examples=["18 mm"],
    )
    stop: Insets | None = Field(
        None,
        description="Stop short of an edge of the part that is cut, and notch the member to suit. Default: as far as the member goes.",
        examples=["3/8 from front"],
    )
    run: Annotated[Text, OneOf(("through", "member"))] | None = Field(
        None,
        description="`through` runs it out at both ends of the part that is cut. Default: member, as far as the member goes.",
        examples=["through"],
    )
    ends: Annotated[Text, OneOf(("square", "round"))] | None = Field(
        None,
        description="How closed ends are left: chopped square, or round as the cutter leaves them. Default: square.",
        examples=["round"],
    )

    glue: Annotated[Text, OneOf(("all", "middle", "no"))] | None = Field(
        None,
        description="Where glue goes: `no` for a panel that floats, `middle` for 4 in of a wide end that must move. Default: all; no with an easy fit.",
        examples=["middle"],
    )

    def keep(self, at: Joinery, joint: str, one: Meeting, expects: list[Expect], sizes: list[Why], opens: Vec, fit: str = "") -> None:
        """Keep a finished joint, its faces glued as the spec says."""
        glue = str(self.glue) if self.glue is not None else "no" if fit == "easy" else "all"
        middle = rules()["BREADBOARD"].common if glue == "middle" else None
        glued = [replace(expect, glued=expect.glued and glue != "no", glued_mm=middle if expect.glued else None) for expect in expects]
        at.joint(joint, one, glued, sizes, opens)

    def meet(self, at: Joinery) -> list[Meeting]:
        """Members whose end lies on a face of a receiver."""
        met = at.meetings(at.parts(self.of), at.parts(self.in_), "part of `of`", "part of `in`")
        at.report_count(met)
        return met

    def depth_into(self, at: Joinery, receiver: str) -> Why:
        """How deep the trench is, mm."""
        stock = at.stock[receiver]
        depth = at.length(self.depth, "depth", round(stock.judged_mm * DEPTH_SHARE * 2) / 2, "a third of the thickness, common practice")
        if depth.value < LEAST_DEPTH_MM:
            raise SpecError.at(
                "bad-depth",
                f"a {self.KEY} {show_length(depth.value, at.units)} deep holds nothing",
                depth.span or at.span,
                change="a quarter to a third of the thickness is usual"
                + ("; is it meant in inches? write `in` behind it" if at.units == "mm" else ""),
            )
        if depth.value >= stock.thickness_mm - 1e-9:
            raise SpecError.at(
                "bad-depth",
                f"a {self.KEY} this deep goes right through {receiver}, which is {stock.thickness_mm:.4g} mm thick",
                depth.span or at.span,
                change="a quarter to a third of the thickness is usual",
            )
        return depth

    def enters(self, at: Joinery, receiver: str) -> tuple[Why, Why]:
        """The depth of the trench and how far the member goes into it."""
        depth = self.depth_into(at, receiver)
        air = self.air(at, depth)
        if air is not None:
            return depth, Why(depth.what, depth.value - air.value, "{0} deep - {1} of air", (depth, air), depth.span)
        if not self.stop:
            return depth, depth
        gap = Why("floor gap", min(FLOOR_GAP_MM, depth.value / 4), default="a notched end seats on its shoulder, common practice")
        return depth, Why(depth.what, depth.value - gap.value, "{0} deep - {1} kept off the floor", (depth, gap), depth.span)

    def air(self, at: Joinery, depth: Why) -> Why | None:
        """The air that is wanted at the floor; None where the member comes home."""
        return None

    def grow(self, at: Joinery, met: list[Meeting]) -> None:
        """Each member goes as far in as the trench is deep, less a gap where it seats on a shoulder."""
        for one in met:
            if one.touch.a_face[0] == at.sight[one.member].thickness_axis:
                continue
            depth, into = self.enters(at, one.receiver)
            air = depth.value - into.value
            slack, spare = housing.slack_mm(air), into.value * SPARE_SHARE if air else 0.0
            at.grow(one.member, one.touch.a_face, into, one.receiver, f"{self.KEY} in {one.receiver}", depth, slack, spare)

    def cut(self, at: Joinery, met: list[Meeting]) -> None:
        """A trench in each receiver; notches on the member where it is told to stop."""
        for one in met:
            try:
                self._cut_one(at, one, met)
            except SpecError as error:
                at.findings.add(error.finding)

    def _cut_one(self, at: Joinery, one: Meeting, met: list[Meeting]) -> None:
        depth, into = self.enters(at, one.receiver)
        air = depth.value - into.value
        depth, into = at.as_made(one, depth, into)
        air = max(air, depth.value - into.value)
        fit = at.fits(self.fit or Text("slip"))
        thickness = at.stock[one.member].thickness_mm
        member_thickness = Why(f"thickness of {one.member}", thickness, span=at.stock[one.member].span)
        if self.width is not None:
            width = at.length(self.width, "width")
            clearance = width.value - thickness
        else:
            width = Why("width", thickness + fit.why.value, f"{{0}} + {{1}} for a {fit.name} fit", (member_thickness, fit.why))
            clearance = fit.why.value
        way = housing.way_of(at, one)
        stops = housing.read_stops(at, self.stop or ())
        ends = housing.ends_of(
            at,
            one,
            way,
            through=self.run == "through",
            stops=stops,
            closed=housing.closed_end(at, self.ends, thickness + clearance),
            room_mm=max(clearance, 0.0) / 2,
        )
        left, right = housing.side_open(at, one, way, ends)
        if left and right:
            raise SpecError.at(
                "housing-at-edge", f"{one.member} is as thick as {one.receiver} is wide, so a {self.KEY} would leave nothing", at.span
            )
        if left or right:
            if self.width is None:
                clearance, width = 0.0, Why("width", thickness, "{0}, in from the edge", (member_thickness,))
            self._at_edge(
                at, one, housing.Cut(depth, into, clearance, "rabbet", width, fit.name if self.width else "", left, right), way, ends, met
            )
            return
        joint = at.joint_id(one.member, one.receiver)
        housing.cut_trench(at, one, joint, way, ends, housing.Cut(depth, into, clearance, self.KEY, width, fit.name))
        expects = [housing.expect_walls(one, way, ends, depth.value, fit, self.KEY)]
        if stops:
            housing.cut_notches(at, one, joint, way, ends, into.value)
            expects.append(housing.expect_seat(one, way, ends, depth.value, f"on the shoulder at the {self.KEY}"))
            expects.append(housing.expect_gap(one, way, ends, depth.value, air, f"on the floor of the {self.KEY}", True))
        elif self.air(at, depth) is not None:
            expects.append(housing.expect_gap(one, way, ends, depth.value, air, f"on the floor of the {self.KEY}", False))
        else:
            expects.append(housing.expect_seat(one, way, ends, depth.value, f"on the floor of the {self.KEY}"))
        sizes = [
            depth,
            width,
            Why(
                "clearance", clearance, default="" if self.fit or self.width else f"{fit.name} fit, {fit.why.default or 'as the spec says'}"
            ),
        ]
        self.keep(at, joint, one, expects, sizes + [s.distance for s in stops], scale(way.frame.z, 1.0), fit.name)

    def _at_edge(self, at: Joinery, one: Meeting, cut: housing.Cut, way: housing.Way, ends: housing.Ends, met: list[Meeting]) -> None:
        """Flush with the receiver's edge there is one wall only: in effect a rabbet, which the member bears on.

        Where a neighbour of the same entry is let in beside it (a lipping and its board), their trenches run together.
        """
        if ends.low_stop or ends.high_stop:
            raise SpecError.at("bad-stop", f"{one.member} lies at the edge of {one.receiver}; a stop there is not known", at.span)
        joint = at.joint_id(one.member, one.receiver)
        housing.cut_trench(at, one, joint, way, ends, cut)
        wall = way.right if cut.open_left else way.left
        seats = [housing.expect_seat(one, way, ends, cut.depth.value, f"on the floor of the {self.KEY}")]
        beside = [m.member for m in met if m.receiver == one.receiver and m.member != one.member]
        if not any(touching(at.sight[one.member], at.sight[name]) for name in beside):
            seats.append(housing.expect_seat(one, way, ends, cut.depth.value, f"on the wall of the {self.KEY}", direction=wall.normal))
        self.keep(at, joint, one, seats, [cut.depth, cut.width], scale(way.frame.z, 1.0))


class Dado(HousedEntry):
    """A trench across the grain that houses the end or edge of a part.

    Example
        build123: 1
        piece: Seed tray rack
        sizes: {width: 500, depth: 300}
        stock: {ply: {sheet: birch plywood, thickness: 17.8}}
        parts:
          side: {pair: left and right, stock: ply, x: from 0, y: 0 to depth, z: 0 to 500}
          shelf: {stock: ply, x: left side to right side, y: 0 to depth, z: [from 50, from 200, from 350]}
          divider: {stock: ply, x: centred on width / 2, y: 20 to depth, z: shelf 1 to shelf 2}
        joints:
          - dado: {of: shelf 1, in: side, depth: 6}                          # right across
          - dado: {of: shelf 2, in: side, depth: 6, fit: slip, stop: 10 from front, ends: round}
          - dado: {of: shelf 3, in: side, depth: 6, width: 18}               # "my cutter is 18 mm"
          - dado: {of: divider, in: [shelf 1, shelf 2], depth: 5, run: through}
    """

    KEY: ClassVar[str] = "dado"


class Groove(HousedEntry):
    """A trench along the grain that houses the edge of a part.

    Example
        build123: 1
        piece: Drawer of a potting table
        sizes: {width: 300, depth: 200}
        stock:
          pine: {board: pine, thickness: 12}
          thin: {sheet: birch plywood, thickness: 5.8}
        parts:
          side: {pair: left and right, stock: pine, x: from 0, y: 0 to depth, z: 0 to 80}
          end: {pair: front and back, stock: pine, x: left side to right side, y: from 0, z: 0 to 80}
          bottom: {stock: thin, x: left side to right side, y: front end to back end, z: from 10}
        joints:
          - groove: {of: bottom, in: [side, end], depth: 5, fit: easy, run: through}
          - dowels: {of: end, to: side, count: 2, diameter: 5, length: 25, ends: 30}
    """

    KEY: ClassVar[str] = "groove"

    gap: Length | None = Field(
        None,
        description="Air between the member's edge and the floor, for a panel of solid wood to swell in. Default: 0, it comes home.",
        examples=["4 mm"],
    )

    def air(self, at: Joinery, depth: Why) -> Why | None:
        """The gap, which must leave the member in its groove."""
        if self.gap is None:
            return None
        if self.stop:
            raise SpecError.at("bad-stop", "a groove with a gap at its floor cannot have a stop", self.gap.span)
        gap = at.length(self.gap, "gap")
        if not 0 < gap.value < depth.value:
            raise SpecError.at(
                "bad-depth",
                f"a groove {show_length(depth.value, at.units)} deep with a gap of {show_length(gap.value, at.units)} holds nothing",
                gap.span or at.span,
            )
        return gap
