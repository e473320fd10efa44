"""Tongue: a thinned end in a groove that is narrower than the part is thick."""

from __future__ import annotations

import math
from typing import Annotated, ClassVar

from pydantic import Field

from build123.fields.entry import Length, OneOf
from build123.joints import housing
from build123.joints.dado import FLOOR_GAP_MM, HousedEntry
from build123.joints.joinery import Joinery, Meeting
from build123.model.body import Body
from build123.model.feature import About, Datum, Feature, Purpose, Trench
from build123.model.frame import Frame, add, cross, dot, scale
from build123.model.why import Why
from build123.problem import SpecError, Text


class Tongue(HousedEntry):
    """A tongue on the end or edge of a part, let into a groove.

    `depth` is the groove's; the tongue is shorter, so that the shoulders come home.

    Example
        build123: 1
        piece: Cold frame box
        sizes: {width: 600, depth: 400}
        stock: {larch: {board: larch, thickness: 24}}
        parts:
          side: {pair: left and right, stock: larch, x: from 0, y: 0 to depth, z: 0 to 200}
          end: {pair: front and back, stock: larch, x: left side to right side, y: from 30, z: 0 to 200}
          rib: {stock: larch, x: left side to right side, y: centred on 200, z: 0 to 120}
        joints:
          - tongue: {of: end, in: side, thickness: 8, depth: 8, flush: middle}
          - tongue: {of: rib, in: side, glue: middle}
    """

    KEY: ClassVar[str] = "tongue"

    thickness: Length | None = Field(None, description="Thickness of the tongue. Default: a third of the part's.", examples=["1/4 in"])
    flush: Annotated[Text, OneOf(("middle", "left", "right", "front", "back", "top", "bottom"))] | None = Field(
        None,
        description="The face of the part that the tongue is flush with, which leaves one shoulder. Default: middle, two shoulders.",
        examples=["top"],
    )

    def enters(self, at: Joinery, receiver: str) -> tuple[Why, Why]:
        """The groove's depth and the tongue's length."""
        depth = self.depth_into(at, receiver)
        gap = Why("floor gap", min(FLOOR_GAP_MM, depth.value / 4), default="the shoulders come home first, common practice")
        return depth, Why(depth.what, depth.value - gap.value, "{0} deep - {1} kept off the floor", (depth, gap), depth.span)

    def _cut_one(self, at: Joinery, one: Meeting, met: list[Meeting]) -> None:
        depth, into = self.enters(at, one.receiver)
        air = depth.value - into.value
        depth, into = at.as_made(one, depth, into)
        air = max(air, depth.value - into.value)
        if self.stop:
            raise SpecError.at("bad-stop", "a tongue with a stop is not known yet", self.stop[0].span, change="let the groove run through")
        fit = at.fits(self.fit or Text("slip"))
        whole = at.stock[one.member].thickness_mm
        tongue = at.length(self.thickness, "tongue", round(whole / 3 * 2) / 2, "a third of the thickness, common practice")
        if not 0 < tongue.value < whole:
            raise SpecError.at(
                "bad-tongue",
                f"a tongue of {tongue.value:.4g} mm cannot be cut on {one.member}, {whole:.4g} mm thick",
                tongue.span or at.span,
            )
        member = at.grown(one.member)
        high, low = member.planes[(member.thickness_axis, 1)], member.planes[(member.thickness_axis, -1)]
        waste = whole - tongue.value
        top_share = self._top_share(member, at)
        walls = (high.moved(-waste * top_share), low.moved(-waste * (1 - top_share)))
        if self.width is not None:
            width = at.length(self.width, "width")
            clearance = width.value - tongue.value
        else:
            width = Why("width", tongue.value + fit.why.value, f"{{0}} tongue + {{1}} for a {fit.name} fit", (tongue, fit.why))
            clearance = fit.why.value
        way = housing.way_of(at, one, walls)
        if abs(way.lean_deg) > 1e-9:
            raise SpecError.at("skewed-housing", f"{one.member} meets {one.receiver} at a lean; a tongue there is not known yet", at.span)
        closed = housing.closed_end(at, self.ends, width.value)
        ends = housing.ends_of(at, one, way, through=self.run == "through", stops=[], closed=closed, room_mm=max(clearance, 0.0) / 2)
        joint = at.joint_id(one.member, one.receiver)
        housing.cut_trench(at, one, joint, way, ends, housing.Cut(depth, into, clearance, "groove", width, fit.name))
        for plane, share in ((high, top_share), (low, 1 - top_share)):
            if waste * share > 1e-9:
                self._shoulder(at, one, joint, way, plane.normal, plane.offset, waste * share, into)
        expects = [
            housing.expect_walls(one, way, ends, depth.value, fit, "groove"),
            housing.expect_seat(one, _widened(way, whole), ends, depth.value, "on the shoulder of the tongue"),
            housing.expect_gap(one, way, ends, depth.value, air, "on the floor of the groove", True),
        ]
        self.keep(at, joint, one, expects, [depth, width, tongue], way.frame.z, fit.name)

    def _top_share(self, member: Body, at: Joinery) -> float:
        if self.flush is None or self.flush == "middle":
            return 0.5
        axis, side = member.looking(at.ways[self.flush])
        if axis == member.thickness_axis:
            return 0.0 if side > 0 else 1.0
        high_word, low_word = (at.word_for(member.nominal_normal((member.thickness_axis, s))) for s in (1, -1))
        raise SpecError.at(
            "bad-tongue", f"the faces of this part look {high_word} and {low_word}, not {self.flush}", self.flush.span or at.span
        )

    def _shoulder(
        self,
        at: Joinery,
        one: Meeting,
        joint: str,
        way: housing.Way,
        normal: tuple[float, float, float],
        offset: float,
        depth_mm: float,
        into: Why,
    ) -> None:
        out = scale(way.frame.z, -1.0)
        frame = Frame(scale(normal, offset), way.frame.x, cross(normal, way.frame.x), normal)
        body = at.grown(one.member)
        low, high = body.span(way.frame.x)
        edge = dot(out, way.frame.origin)
        centre = edge + into.value / 2

        def point(x: float) -> tuple[float, float]:
            p = frame.local_point(add(scale(way.frame.x, x), add(scale(out, centre), scale(normal, offset))))
            return p[0], p[1]

        outward_left = dot(frame.y, out) > 0
        at.feature(
            one.member,
            Feature(
                Trench(
                    Datum(frame, "+z"),
                    point(low),
                    point(high),
                    into.value,
                    depth_mm,
                    open_left=outward_left,
                    open_right=not outward_left,
                ),
                About(
                    id=f"{joint}/shoulder {body.direction_of((body.thickness_axis, 1 if dot(normal, body.axis(body.thickness_axis)) > 0 else -1))}",
                    label="tongue shoulder",
                    purpose=Purpose.shoulder,
                    group=f"tongue shoulder {into.value:.3f} x {depth_mm:.3f}",
                    joint=joint,
                    members=(one.receiver,),
                    why={"width": into, "depth": Why("depth", depth_mm, "what the tongue leaves of the thickness", span=at.span)},
                ),
            ),
        )


def _widened(way: housing.Way, whole_mm: float) -> housing.Way:
    room = whole_mm / math.cos(math.radians(way.lean_deg))
    return housing.Way(way.frame, way.left, way.right, way.left_y + room, way.right_y - room, way.lean_deg, way.low_x, way.high_x)
