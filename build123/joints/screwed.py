"""A screw in its place: the holes it needs in both parts, the thing itself, and what is expected of them."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from build123.fields.show import show_length
from build123.joints.joinery import Joinery, Meeting
from build123.joints.row import Strip
from build123.joints.screw_sizes import Chosen
from build123.model.body import FaceTag, plane_frame
from build123.model.design import Expect, ExpectKind
from build123.model.feature import About, Datum, Feature, Hole, HoleStep, Purpose
from build123.model.frame import Box, Frame, Vec, Vec2, add, cross, scale, sub
from build123.model.part import Hardware, Rod, Screw
from build123.model.why import Why
from build123.problem import SpecError

SINK_OVER_MM = 0.2
"""A countersink is cut this much wider than its head, so that the head lies a hair below the face (common practice)."""
BORE_OVER_MM = 1.0
"""Room about a head or a washer in its counterbore (common practice)."""
PLUG_MM = {"in": 9.525, "mm": 10.0}
PLUG_DEEP_MM = {"in": 6.35, "mm": 6.0}
"""Plugs are cut 3/8 in or 10 mm across, and stand 1/4 in or 6 mm deep (common practice)."""
OVERSIZE_MM = 1.0
"""A hole this much too large all round is still drilled round; for more it is slotted (common practice)."""
SLOT_STEP_MM = 0.5
Head = Literal["countersunk", "counterbored", "plugged", "pan"]
HEADS: tuple[Head, ...] = ("countersunk", "counterbored", "plugged", "pan")


@dataclass(frozen=True, slots=True)
class Place:
    """One screw of a meeting: where it crosses the touching faces, which way it goes, and what it goes through, mm."""

    met: Meeting
    strip: Strip
    number: int
    at: Vec
    where: Why
    axis: Vec
    through: Why
    far: FaceTag


@dataclass(frozen=True, slots=True)
class Play:
    """How far the wood may move past a screw each way, along a direction of the piece; `need` is 0 where it is fixed."""

    along: Vec
    need: Why


def wood_along(at: Joinery, receiver: str, axis: Vec, p: Vec) -> float:
    """How much of the receiver lies along a screw."""
    return at.grown(receiver).exit(p, axis)


@dataclass(frozen=True, slots=True)
class Screwed:
    """One screw with all its numbers: it makes the holes, the thing itself and what is expected of them."""

    one: Place
    screw: Chosen
    head: Head
    sink: Why
    play: Play

    @property
    def moves(self) -> bool:
        """Whether the wood moves past it."""
        return self.play.need.value > 0.0

    @property
    def washer(self) -> Vec2:
        """Outer diameter and thickness of its washer; a head that the wood moves under has one."""
        pan = self.screw.pan
        return (
            (pan.washer_mm, pan.washer_thickness_mm)
            if pan is not None and self.moves and self.head in ("pan", "counterbored")
            else (0.0, 0.0)
        )

    @property
    def bite(self) -> Why:
        """How far it goes into the receiver."""
        value = self.screw.length.value + self.sink.value - self.one.through.value
        return Why(
            "into the receiver", value, "{0} long + {1} sunk - {2} through the first part", (self.screw.length, self.sink, self.one.through)
        )

    @property
    def hole_mm(self) -> float:
        """Diameter of the hole in the first part: the clearance hole, larger where a little play is wanted."""
        need = self.play.need.value
        slack = (self.screw.clearance.value - self.screw.diameter.value) / 2
        if slack < need <= OVERSIZE_MM:
            return self.screw.diameter.value + 2 * math.ceil(need / 0.25 - 1e-9) * 0.25
        return self.screw.clearance.value

    @property
    def slot_mm(self) -> float:
        """Length of the slot from centre to centre, 0 for a round hole: twice the play that the round hole does not give."""
        need = self.play.need.value
        if need <= OVERSIZE_MM:
            return 0.0
        more = need - (self.screw.clearance.value - self.screw.diameter.value) / 2
        return math.ceil(2 * more / SLOT_STEP_MM - 1e-9) * SLOT_STEP_MM

    def _mouth(self) -> Vec:
        return sub(self.one.at, scale(self.one.axis, self.one.through.value))

    def through_hole(self, at: Joinery, joint: str) -> Feature:
        """The hole in the part that it goes through, drilled from the far side."""
        one, head_mm, sink = self.one, self.screw.screw.head_mm + SINK_OVER_MM, self.sink.value
        deg = self.screw.screw.countersink_deg
        cone = (head_mm - self.hole_mm) / 2 / math.tan(math.radians(deg) / 2)
        end = one.through.value
        match self.head:
            case "countersunk":
                steps: tuple[HoleStep, ...] = (HoleStep(head_mm, cone, deg), HoleStep(self.hole_mm, end))
            case "plugged":
                steps = (HoleStep(max(PLUG_MM[at.units], head_mm), sink), HoleStep(head_mm, sink + cone, deg), HoleStep(self.hole_mm, end))
            case "counterbored":
                wide = max(self.washer[0], self.screw.pan.head_mm if self.screw.pan else head_mm) + BORE_OVER_MM
                steps = (HoleStep(wide, sink), HoleStep(self.hole_mm, end))
            case "pan":
                steps = (HoleStep(self.hole_mm, end),)
        if len(steps) > 1 and steps[-2].depth_mm >= end:
            raise SpecError.at(
                "bad-screw",
                f"{show_length(sink, at.units)} deep the head would go through {one.met.member}, which is {show_length(end, at.units)} thick",
                self.sink.span or at.span,
            )
        frame = plane_frame(at.grown(one.met.member).planes[one.far], one.strip.along)
        p = frame.local_point(self._mouth())
        slot = scale(frame.local_vector(self.play.along), self.slot_mm)
        label = (
            "slotted hole"
            if self.slot_mm
            else {"countersunk": "countersunk hole", "plugged": "hole for a plugged screw"}.get(
                self.head, "counterbored hole" if self.head == "counterbored" else "clearance hole"
            )
        )
        why = {"diameter": self.screw.clearance, "position": one.where}
        if self.slot_mm:
            why["slot"] = Why("slot", self.slot_mm, "{0} each way", (self.play.need,))
        return Feature(
            Hole(Datum(frame, "+z"), (p[0], p[1]), steps, through=True, slot=(slot[0], slot[1])),
            About(
                id=f"{joint}/clearance {one.number + 1}",
                label=label,
                purpose=Purpose.movement if self.moves else Purpose.clearance,
                group=f"{label} {self.hole_mm:.3f} {self.slot_mm:.2f}",
                joint=joint,
                members=(one.met.receiver,),
                why=why,
            ),
        )

    def pilot_hole(self, at: Joinery, joint: str) -> Feature:
        """The hole that the thread bites in, as deep as the screw goes."""
        one, receiver = self.one, self.one.met.receiver
        frame = plane_frame(at.grown(receiver).planes[one.met.touch.b_face], one.strip.along)
        p = frame.local_point(one.at)
        depth = wood_along(at, receiver, one.axis, one.at)
        pilot = self.screw.pilot(at.stock[receiver])
        out = self.bite.value >= depth - 1e-6
        return Feature(
            Hole(Datum(frame, "+z"), (p[0], p[1]), (HoleStep(pilot.value, depth if out else self.bite.value),), through=out),
            About(
                id=f"{joint}/pilot {one.number + 1}",
                label="pilot hole",
                purpose=Purpose.pilot,
                group=f"pilot hole {pilot.value:.3f} x {self.bite.value:.3f}",
                joint=joint,
                members=(one.met.member,),
                why={"diameter": pilot, "depth": self.bite, "position": one.where},
            ),
        )

    def in_line(self) -> Expect:
        """Clearance and pilot hole on one axis."""
        one, slack = self.one, (self.hole_mm - self.screw.diameter.value) / 2
        near = Box.around([one.at]).grown(self.hole_mm)
        return Expect(
            ExpectKind.bore, one.met.member, one.met.receiver, one.axis, near, 0.0, slack, 0.0, f"screw {one.number + 1}", "screw"
        )

    def hardware(self, at: Joinery, joint: str) -> list[Hardware]:
        """The screw where it lies when it is driven home, and the plug over it."""
        one, screw = self.one, self.screw
        washer, pan = self.washer, screw.pan
        on_face = self.head in ("pan", "counterbored") and pan is not None
        if on_face and pan is not None:
            solid = Screw(screw.diameter.value, screw.length.value, pan.head_mm, pan.head_height_mm, False, washer)
        else:
            cone = (screw.screw.head_mm - screw.diameter.value) / 2 / math.tan(math.radians(screw.screw.countersink_deg) / 2)
            solid = Screw(screw.diameter.value, screw.length.value, screw.screw.head_mm, cone, True)
        same = joint[joint.rindex(" (") :] if joint.endswith(")") else ""
        of = f"{one.number + 1} of {one.met.member} into {one.met.receiver}{same}"
        kind = "pan-head screw" if on_face else "screw"
        label = f"{kind} {screw.screw.label} x {show_length(screw.length.value, at.units)}" + (" with washer" if washer[1] else "")

        def lies(below_mm: float) -> Frame:
            top = add(self._mouth(), scale(one.axis, below_mm))
            return Frame(top, one.strip.along, cross(one.axis, one.strip.along), one.axis)

        bites = (one.met.receiver,)
        found = [Hardware(f"screw {of}", label, solid, lies(self.sink.value - washer[1]), joint, span=at.span, bites=bites)]
        if self.head == "plugged":
            plug = Rod(max(PLUG_MM[at.units], screw.screw.head_mm + SINK_OVER_MM), self.sink.value)
            name = f"plug {show_length(plug.diameter_mm, at.units)} x {show_length(plug.length_mm, at.units)}"
            found.append(Hardware(f"plug {of}", name, plug, lies(0.0), joint, span=at.span))
        return found

    def sizes(self) -> Iterator[Why]:
        """The joint's numbers."""
        yield from (self.screw.diameter, self.screw.length, self.screw.clearance)
        if self.sink.value:
            yield self.sink
        yield self.bite
        if self.moves:
            yield Why("play each way", self.play.need.value, self.play.need.how, self.play.need.of, self.play.need.span)
