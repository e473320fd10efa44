"""Dowels: pins of wood in holes drilled into two faces that lie against each other."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import ClassVar

from pydantic import Field

from build123.fields.entry import Length, Names
from build123.fields.show import show_length
from build123.joints.contact import face_seat
from build123.joints.joinery import Joinery, Meeting
from build123.joints.row import InARow, strip_of
from build123.model.body import FaceTag, plane_frame
from build123.model.design import Expect, ExpectKind
from build123.model.feature import About, Datum, Feature, Hole, HoleStep, Purpose
from build123.model.frame import Box, Frame, Vec, add, cross, scale
from build123.model.part import Hardware, Rod
from build123.model.why import Why
from build123.problem import SpecError
from build123.trade.tables import dowels, rules

FACE_SKIN_MM = 4.7625
"""Wood kept between the bottom of a hole and the far face: 3/16 in (common practice, DOWEL-DEPTH of the trade table)."""
PITCH_MM = 152.4
"""One dowel for each 6 in and one more (DOWEL-PITCH-CASE of the trade table)."""
STOP_STEP_MM = 0.5
STOP_STEP_IN = 25.4 / 32
"""A drill's depth stop is set to half a millimetre or 1/32 in (common practice)."""


@dataclass(frozen=True, slots=True)
class Pin:
    """Numbers of one entry's dowels in one meeting, mm."""

    diameter: Why
    length: Why
    into_member: Why
    into_receiver: Why
    room: Why


class Dowels(InARow):
    """Dowels between two faces that lie against each other: edge to face, edge to edge or end to face.

    They stand in a row along the middle of the faces' common strip.

    Example
        build123: 1
        piece: Sieve frame
        sizes: {width: 400, depth: 300}
        stock: {ash: {board: ash, thickness: 20}}
        parts:
          stile: {pair: left and right, stock: ash, x: from 0 for 60, y: 0 to depth, z: from 0}
          rail: {pair: front and back, stock: ash, x: left stile to right stile, y: from 0 for 60, z: from 0}
          bar: {stock: ash, x: left stile to right stile, y: centred on depth / 2 for 40, z: from 0}
          post: {stock: ash, x: from 10 for 40, y: from 100, z: 20 to 120}
        joints:
          - dowels: {of: rail, to: stile, count: 2, ends: 15, diameter: 8, length: 40}
          - dowels: {of: bar, to: stile, positions: [10, 30]}
          - dowels: {of: post, to: left stile, every: 20, length: 30, into: 12}
    """

    KEY: ClassVar[str] = "dowels"

    of: Names = Field(description="The parts on the one side; the edge or end where there is one.", examples=["rail"])
    to: Names = Field(description="The parts on the other side.", examples=["stile"])
    diameter: Length | None = Field(
        None, description="Diameter. Default: the largest usual one up to half of the thinner part.", examples=["8 mm"]
    )
    length: Length | None = Field(
        None, description="Length of a dowel. Default: the usual one that the parts have room for.", examples=["40 mm"]
    )
    into: Length | None = Field(
        None,
        description="How much of a dowel goes into the `to` part. Default: half; into a face a third, or what the face has room for.",
        examples=["12 mm"],
    )

    def meet(self, at: Joinery) -> list[Meeting]:
        """Parts that lie against each other."""
        return self.meetings(at, self.of, self.to, ("of", "to"))

    def drive(self, at: Joinery, one: Meeting) -> None:
        """Holes in line in both parts, with room for glue at both ends of each dowel."""
        pin = self._pin(at, one)
        strip = strip_of(at, one)
        xs = self.spaced(at, one, strip, pin.diameter.value, PITCH_MM)
        joint = at.joint_id(one.member, one.receiver, "to")
        expects = [face_seat(one, "where the dowels pull them together", glued=True)]
        inward = scale(one.touch.normal, -1.0)
        for n, (x, x_why) in enumerate(xs):
            p = strip.at(x)
            self._hole(at, one.member, one.touch.a_face, p, strip.along, one.receiver, joint, n, pin, pin.into_member, x_why)
            self._hole(at, one.receiver, one.touch.b_face, p, strip.along, one.member, joint, n, pin, pin.into_receiver, x_why)
            expects.append(
                Expect(
                    ExpectKind.bore,
                    one.member,
                    one.receiver,
                    inward,
                    Box.around([p]).grown(pin.diameter.value),
                    0.0,
                    rules()["HOLE-LINE"].most,
                    0.0,
                    f"dowel {n + 1}",
                )
            )
            at.tray.hardware.append(
                Hardware(
                    f"dowel {n + 1} of {one.member} to {one.receiver}" + (joint[joint.rindex(" (") :] if joint.endswith(")") else ""),
                    f"dowel {show_length(pin.diameter.value, at.units)} x {show_length(pin.length.value, at.units)}",
                    Rod(pin.diameter.value, pin.length.value),
                    _standing(add(p, scale(inward, pin.into_receiver.value - pin.room.value)), one.touch.normal, strip.along),
                    joint,
                    span=at.span,
                )
            )
        count = self.count_why(len(xs), "one for each 6 in and one more, common practice")
        at.joint(joint, one, expects, [pin.diameter, pin.length, pin.into_receiver, pin.into_member, pin.room, count], one.touch.normal)

    def _pin(self, at: Joinery, one: Meeting) -> Pin:
        sides = [(one.member, one.touch.a_face), (one.receiver, one.touch.b_face)]
        thin = min(at.stock[name].judged_mm for name, _ in sides)
        sizes = [d for d in dowels().values() if d.metric == (at.units == "mm")]
        most = thin * rules()["DOWEL-DIA-MAX"].most + 0.05
        fitting = sorted((d for d in sizes if d.diameter_mm <= most), key=lambda d: -d.diameter_mm) or sizes[:1]
        room = Why(
            "room for glue", 1.5875 if at.units == "in" else 1.0, default="1/16 in or 1 mm at each end, DOWEL-CLEAR of the trade table"
        )
        deep = [self._room(at, name, face) - room.value for name, face in sides]
        usual = next((d for d in fitting if min(d.lengths_mm) <= sum(deep)), fitting[0])
        diameter = at.length(
            self.diameter, "diameter", usual.diameter_mm, "the largest usual one up to half of the thinner part, common practice"
        )
        if diameter.value <= 0:
            raise SpecError.at("bad-dowel", "a dowel's diameter must be more than 0", diameter.span or at.span)
        lengths = next((d.lengths_mm for d in sizes if abs(d.diameter_mm - diameter.value) < 0.01), usual.lengths_mm)
        possible = [v for v in lengths if v <= sum(deep)] or [min(lengths)]
        length = at.length(
            self.length,
            "length",
            max(v for v in possible if v <= 5.5 * diameter.value or v == min(possible)),
            "the longest usual one that the parts have room for",
        )
        if self.into is not None:
            into_receiver = at.length(self.into, "into the receiver")
        else:
            share = length.value / 3 if self._is_face(at, *sides[1]) and not self._is_face(at, *sides[0]) else length.value / 2
            least, most = length.value - deep[0], deep[1]
            value = min(max(share, least), most)
            step = STOP_STEP_IN if at.units == "in" else STOP_STEP_MM
            settable = [v for v in (round(value / step) * step, math.floor(value / step) * step) if least <= v <= most]
            value = settable[0] if settable else value
            into_receiver = Why("into the receiver", value, default="half; into a face a third, or what it has room for, common practice")
        holes = []
        for (name, face), into, room_there in zip(sides, (length.value - into_receiver.value, into_receiver.value), deep, strict=True):
            if into <= 0 or into + room.value > self._room(at, name, face) + FACE_SKIN_MM - 1e-9:
                raise SpecError.at(
                    "dowel-too-long",
                    f"a dowel {show_length(length.value, at.units)} long does not fit between {one.member} and {one.receiver}: "
                    f"{show_length(max(into, 0.0) + room.value, at.units)} would have to go into {name}, which has room for "
                    f"{show_length(room_there + room.value, at.units)}",
                    length.span or into_receiver.span or at.span,
                    change="take a shorter dowel or give `into`",
                )
            holes.append(Why("depth of hole", into + room.value, "{0} of dowel + {1} for glue", (Why("dowel", into), room), span=at.span))
        return Pin(diameter, length, holes[0], holes[1], room)

    def _room(self, at: Joinery, name: str, face: FaceTag) -> float:
        body = at.sight[name]
        low, high = body.span(body.nominal_normal(face))
        return (high - low) - FACE_SKIN_MM

    def _is_face(self, at: Joinery, name: str, face: FaceTag) -> bool:
        return face[0] == at.sight[name].thickness_axis

    def _hole(
        self, at: Joinery, part: str, face: FaceTag, p: Vec, along: Vec, other: str, joint: str, n: int, pin: Pin, depth: Why, x_why: Why
    ) -> None:
        frame = plane_frame(at.sight[part].planes[face], along)
        local = frame.local_point(p)
        at.feature(
            part,
            Feature(
                Hole(Datum(frame, "+z"), (local[0], local[1]), (HoleStep(pin.diameter.value, depth.value),)),
                About(
                    id=f"{joint}/hole {n + 1}",
                    label="dowel hole",
                    purpose=Purpose.housing,
                    group=f"dowel hole {pin.diameter.value:.3f} x {depth.value:.3f}",
                    joint=joint,
                    members=(other,),
                    why={"diameter": pin.diameter, "depth": depth, "position": x_why},
                ),
            ),
        )


def _standing(origin: Vec, z: Vec, along: Vec) -> Frame:
    return Frame(origin, along, cross(z, along), z)
