"""Rabbet: an end or edge let into a step at the edge of a face (a case corner, a back)."""

from __future__ import annotations

from typing import Annotated, ClassVar

from pydantic import Field

from build123.fields.entry import Length, Names, OneOf
from build123.joints import housing
from build123.joints.entry import JointEntry
from build123.joints.joinery import Joinery, Meeting
from build123.model.design import Expect, ExpectKind
from build123.model.frame import scale
from build123.model.why import Why
from build123.problem import SpecError, Text

DEPTH_SHARE = 1 / 2
"""Default depth as a share of the receiver's thickness (common practice for case corners: half to two thirds)."""


class Rabbet(JointEntry):
    """A step at an edge that houses the end or edge of a part, as at a case corner or round a back.

    `depth` goes into the face; in from the edge the step is as wide as the member is thick.

    Example
        build123: 1
        piece: Bird box
        sizes: {width: 220, depth: 160, height: 300}
        stock:
          larch: {board: larch, thickness: 18}
          thin: {sheet: birch plywood, thickness: 5.8}
        parts:
          side: {pair: left and right, stock: larch, x: from 0, y: 0 to depth, z: 0 to height}
          roof: {stock: larch, x: left side to right side, y: 0 to depth, z: up to height}
          back: {stock: thin, x: left side to right side, y: up to depth, z: 0 to roof}
        joints:
          - rabbet: {of: roof, in: side, depth: 9}                              # a case corner
          - rabbet: {of: back, in: side, depth: 9, gap: 0.5, run: through, ends: square}
          - glued: {of: back, to: roof}
    """

    KEY: ClassVar[str] = "rabbet"
    HOUSES: ClassVar[bool] = True

    of: Names = Field(description="The parts that are let in.", examples=["back"])
    in_: Names = Field(alias="in", description="The parts that are cut.", examples=["side"])
    depth: Length | None = Field(
        None, description="How deep, into the face. Default: half of the thickness that is cut.", examples=["3/8 in"]
    )
    gap: Length | None = Field(
        None, description="Air between the member's end and the step, at each end. Default: 0, it comes home.", examples=["1/32 in"]
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

    def meet(self, at: Joinery) -> list[Meeting]:
        """Members whose end lies on a face of a receiver, flush with its edge."""
        met = at.meetings(at.parts(self.of), at.parts(self.in_), "part of `of`", "part of `in`")
        at.report_count(met)
        return met

    def _numbers(self, at: Joinery, receiver: str) -> tuple[Why, Why, Why]:
        stock = at.stock[receiver]
        depth = at.length(self.depth, "depth", round(stock.judged_mm * DEPTH_SHARE * 2) / 2, "half of the thickness, common practice")
        gap = at.length(self.gap, "gap", 0.0, "the end comes home")
        if not 0 <= gap.value < depth.value < stock.thickness_mm:
            raise SpecError.at(
                "bad-depth",
                f"a rabbet {depth.value:.4g} mm into {receiver} ({stock.thickness_mm:.4g} mm thick) with a gap of {gap.value:.4g} mm cannot be cut",
                depth.span or gap.span or at.span,
            )
        return (
            depth,
            gap,
            Why("depth", depth.value - gap.value, "{0} deep - {1} gap" if gap.value else "", (depth, gap) if gap.value else (), depth.span),
        )

    def grow(self, at: Joinery, met: list[Meeting]) -> None:
        """Each member goes into the step, less the gap."""
        for one in met:
            if one.touch.a_face[0] != at.sight[one.member].thickness_axis:
                depth, gap, into = self._numbers(at, one.receiver)
                slack = housing.slack_mm(gap.value)
                at.grow(one.member, one.touch.a_face, into, one.receiver, f"rabbet in {one.receiver}", depth, slack)

    def cut(self, at: Joinery, met: list[Meeting]) -> None:
        """A step at the receiver's edge."""
        for one in met:
            try:
                self._cut_one(at, one)
            except SpecError as error:
                at.findings.add(error.finding)

    def _cut_one(self, at: Joinery, one: Meeting) -> None:
        depth, gap, into = self._numbers(at, one.receiver)
        depth, _ = at.as_made(one, depth, into)
        thickness = at.stock[one.member].thickness_mm
        way = housing.way_of(at, one)
        closed = housing.closed_end(at, self.ends, 0.0)
        ends = housing.ends_of(at, one, way, through=self.run == "through", stops=[], closed=closed, room_mm=max(gap.value, 0.1))
        left, right = housing.side_open(at, one, way, ends)
        if left == right:
            raise SpecError.at(
                "rabbet-off-edge",
                f"{one.member} does not lie at an edge of {one.receiver}, so there is no step to cut"
                if not left
                else f"{one.member} is as thick as {one.receiver} is wide, so a rabbet would leave nothing",
                at.span,
                change="call it a dado or a groove, or bring the part flush with the edge" if not left else "",
            )
        width = Why(
            "width", thickness, "{0}, in from the edge", (Why(f"thickness of {one.member}", thickness, span=at.stock[one.member].span),)
        )
        joint = at.joint_id(one.member, one.receiver)
        housing.cut_trench(at, one, joint, way, ends, housing.Cut(depth, depth, 0.0, "rabbet", width, "", left, right))
        wall = way.right if left else way.left
        bearing = housing.expect_seat(one, way, ends, depth.value, "on the step of the rabbet", direction=wall.normal)
        floor: Expect
        if gap.value:
            floor = housing.expect_gap(one, way, ends, depth.value, gap.value, "at the end in the rabbet", False)
        else:
            floor = housing.expect_seat(one, way, ends, depth.value, "on the floor of the rabbet")
        assert floor.kind in (ExpectKind.gap, ExpectKind.seat)
        at.joint(joint, one, [bearing, floor], [depth, width, gap], scale(way.frame.z, 1.0))
