"""Screws: through one part and into another, with the holes they need and room to move where the wood does."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Annotated, ClassVar, Literal

from pydantic import Field

from build123.fields.entry import Length, Names, OneOf, Word
from build123.fields.show import show_length
from build123.joints.contact import face_seat
from build123.joints.joinery import Joinery, Meeting
from build123.joints.row import InARow, Strip, strip_of
from build123.joints.screw_sizes import Chosen, chosen
from build123.model.body import DIRECTIONS, FaceTag, plane_frame
from build123.model.design import Expect, ExpectKind
from build123.model.feature import About, Datum, Feature, Hole, HoleStep, Purpose
from build123.model.frame import Box, Frame, Vec, Vec2, add, cross, dot, scale, sub
from build123.model.part import Hardware, Rod, Screw
from build123.model.why import Kind, Why
from build123.problem import SpecError, Text
from build123.trade.tables import rules

PITCH_MM = 203.2
"""One screw for each 8 in and one more (TOP-BUTTON of the trade table: one fixing each 8 to 12 in)."""
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
ON_LINE_MM = 1.0
"""Screws this near to the fixed line are fixed."""

Head = Literal["countersunk", "counterbored", "plugged", "pan"]
HEADS: tuple[Head, ...] = ("countersunk", "counterbored", "plugged", "pan")


@dataclass(frozen=True, slots=True)
class Driven:
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


class Screws(InARow):
    """Screws through one part into another that lies against it.

    Say `fixed` where solid wood must be free to move: the screws at that line are tight, the others stand in oversize or slotted
    holes, with a pan head on a washer, as long as the wood moves there in a year.

    Example
        build123: 1
        piece: Seed bench
        units: in
        sizes: {width: 30, depth: 14}
        stock:
          ply: {sheet: birch plywood, thickness: 0.715}
          oak: {board: white oak, thickness: 0.8}
        parts:
          side: {pair: left and right, stock: ply, x: from 0, y: 0 to depth, z: 0 to 18}
          rail: {stock: ply, x: left side to right side, y: [from 1 for 3, up to depth - 1 for 3], z: up to top}
          top: {stock: oak, x: -1 to width + 1, y: -1 to depth + 1, z: from 18}
          cleat: {stock: ply, x: left side to right side, y: up to depth - 6, z: from 6 for 2}
        joints:
          - dado: {of: rail, in: side, depth: 1/4}
          - screws: {through: rail, into: top, size: 8 x 1 1/4, count: 3, fixed: rail 1}
          - rests: {of: top, upon: side}
          - screws: {through: side, into: cleat, size: 8 x 2, count: 2, head: plugged, sink: 3/8, ends: 1/2}
    """

    KEY: ClassVar[str] = "screws"

    through: Names = Field(description="The parts that the screws go through; the heads lie on their far side.", examples=["rail"])
    into: Names = Field(description="The parts that the threads bite into.", examples=["top"])
    size: Word | None = Field(
        None,
        description="Gauge and length in inches (`8 x 1 1/4`), diameter and length in millimetres (`4 x 30`). Default: No. 8 or 4 mm, the longest with room.",
        examples=["8 x 1 1/4"],
    )
    head: Annotated[Text, OneOf(HEADS)] | None = Field(
        None,
        description="How the head lies: flush, sunk in a bore, sunk under a wooden plug, or on the face. Default: countersunk; pan where the wood moves.",
        examples=["plugged"],
    )
    sink: Length | None = Field(
        None,
        description="How deep in from the face the head of a counterbored or plugged screw lies. Default: the head's height, 1/4 in or 6 mm under a plug.",
        examples=["10 mm"],
    )
    fixed: Names | None = Field(
        None,
        description="The line at which wood that moves is held: one of the `through` parts, or `front`, `back`, `left`, `right`, `top`, `bottom` or `middle` of the row. Default: every screw is tight.",
        examples=["front rail"],
    )

    def meet(self, at: Joinery) -> list[Meeting]:
        """Parts that lie against each other."""
        met = at.meetings(at.parts(self.through), at.parts(self.into), "part of `through`", "part of `into`")
        at.report_count(met)
        return met if self.one_spacing(at) else []

    def cut(self, at: Joinery, met: list[Meeting]) -> None:
        """Holes in line in both parts, as wide as the wood asks for."""
        laid = []
        for one in met:
            try:
                laid.append(self._laid_out(at, one))
            except SpecError as error:
                at.findings.add(error.finding)
        every = [screw for screws in laid for screw in screws]
        plays = _Plays(self, at, every)
        for screws in laid:
            try:
                self._drive(at, screws, plays)
            except SpecError as error:
                at.findings.add(error.finding)

    def _laid_out(self, at: Joinery, one: Meeting) -> list[Driven]:
        body = at.grown(one.member)
        strip = strip_of(one, at.sight[one.member])
        far = (one.touch.a_face[0], -one.touch.a_face[1])
        axis = scale(one.touch.normal, -1.0)
        if abs(dot(body.planes[far].normal, axis) + 1.0) > 1e-6:
            raise SpecError.at(
                "screw-face-leans",
                f"the far face of {one.member} leans, so a screw square to {one.receiver} would not go in square",
                at.span,
            )
        thick = chosen(at, self.size, 1000.0).screw.head_mm
        found = []
        for n, (x, where) in enumerate(self.spaced(at, one, strip, thick, PITCH_MM)):
            p = strip.at(x)
            through = Why(f"thickness of {one.member}", body.exit(p, one.touch.normal), "where the screw goes through", span=at.span)
            found.append(Driven(one, strip, n, p, where, axis, through, far))
        return found

    def _drive(self, at: Joinery, screws: list[Driven], plays: _Plays) -> None:
        first = screws[0]
        member, receiver = first.met.member, first.met.receiver
        room = first.through.value + _depth(at, receiver, first.axis, first.at) - rules()["SCREW-POINT"].least
        screw = chosen(at, self.size, room)
        joint = at.joint_id(member, receiver, "into")
        expects = [face_seat(first.met, "where the screws pull them together", glued=False)]
        sizes: dict[str, Why] = {}
        for one in screws:
            play = plays.of(one)
            head = self._head(play)
            sink = self._sink(at, screw, head)
            lies = Screwed(one, screw, head, sink, play)
            if lies.bite.value <= screw.diameter.value:
                raise SpecError.at(
                    "screw-does-not-reach",
                    f"a screw {show_length(screw.length.value, at.units)} long does not reach into {receiver}: "
                    f"{member} is {show_length(one.through.value, at.units)} thick there",
                    screw.length.span or at.span,
                    change="take a longer screw, or sink its head with `head: counterbored`",
                )
            at.feature(member, lies.through_hole(at, joint))
            at.feature(receiver, lies.pilot_hole(at, joint))
            if play.need.value <= 0.0:
                expects.append(lies.in_line())
            at.tray.hardware += lies.hardware(at, joint)
            for why in lies.sizes():
                sizes.setdefault(why.what, why)
        count = self.count_why(len(screws), "one for each 8 in and one more, common practice")
        at.joint(joint, first.met, expects, [*sizes.values(), count], first.met.touch.normal)

    def _head(self, play: Play) -> Head:
        if self.head is not None:
            return next(word for word in HEADS if word == self.head)
        return "pan" if play.need.value > 0.0 else "countersunk"

    def _sink(self, at: Joinery, screw: Chosen, head: Head) -> Why:
        if head in ("countersunk", "pan"):
            if self.sink is not None:
                raise SpecError.at(
                    "bad-screw", f"a {head} head is not sunk", self.sink.span, change="say `head: counterbored`, or leave `sink` out"
                )
            return Why("sunk", 0.0, default="the head lies on the face" if head == "pan" else "flush with the face")
        if head == "plugged":
            return at.length(self.sink, "sunk", PLUG_DEEP_MM[at.units], "1/4 in or 6 mm under a plug, common practice")
        pan = screw.pan
        return at.length(self.sink, "sunk", pan.head_height_mm if pan else screw.screw.head_height_mm, "as deep as the head is high")


def _depth(at: Joinery, receiver: str, axis: Vec, p: Vec) -> float:
    """How much of the receiver lies along a screw."""
    return at.grown(receiver).exit(p, axis)


@dataclass(frozen=True, slots=True)
class Screwed:
    """One screw with all its numbers: it makes the holes, the thing itself and what is expected of them."""

    one: Driven
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
        depth = _depth(at, receiver, one.axis, one.at)
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


class _Plays:
    """Which screws are fixed and how far the wood moves past the others."""

    def __init__(self, entry: Screws, at: Joinery, screws: list[Driven]) -> None:
        self._at = at
        self._fixed: dict[tuple[str, int, str], float | None] = {}
        self._lines: dict[str, tuple[Vec, float]] = {}
        self._entry = entry
        if entry.fixed is not None and screws:
            self._find(entry.fixed, screws)

    def _find(self, fixed: tuple[Text, ...], screws: list[Driven]) -> None:
        words = {*DIRECTIONS, "middle"}
        word = str(fixed[0]) if len(fixed) == 1 and str(fixed[0]) in words else None
        names = {name for named in self._at.parts(fixed) for name in named.parts} if word is None else set()
        strange = sorted(names - {one.met.member for one in screws})
        if strange:
            raise SpecError.at(
                "bad-screw",
                f"no screw of these goes through {strange[0]}",
                fixed[0].span,
                change="name one of the `through` parts, or a side of the row",
            )
        for receiver in dict.fromkeys(one.met.receiver for one in screws):
            mine = [one for one in screws if one.met.receiver == receiver]
            along = self._moves_along(mine)
            spots = [dot(one.at, along) for one in mine]
            if word is None:
                held = [dot(one.at, along) for one in mine if one.met.member in names]
                line = sum(held) / len(held) if held else min(spots)
            elif word == "middle":
                centre = (min(spots) + max(spots)) / 2
                line = min(spots, key=lambda s: (round(abs(s - centre), 6), s))
            else:
                towards = dot(DIRECTIONS[word], along)
                if abs(towards) < 0.7:
                    raise SpecError.at(
                        "bad-screw",
                        f"the wood moves {self._way(along)}; it cannot be held at the {word}",
                        fixed[0].span,
                        change="name a side that it moves towards, or `middle`",
                    )
                line = max(spots) if towards > 0 else min(spots)
            self._lines[receiver] = (along, line)

    def _way(self, along: Vec) -> str:
        k = max(range(3), key=lambda i: abs(along[i]))
        return ("from left to right", "from front to back", "up and down")[k]

    def _moves_along(self, screws: list[Driven]) -> Vec:
        """The direction in the touching faces in which the two parts move most against each other."""
        one = screws[0]
        ways = (one.strip.along, cross(one.axis, one.strip.along))
        return max(ways, key=lambda way: round(abs(self._apart(one, way)), 12))

    def _apart(self, one: Driven, way: Vec) -> float:
        """How much one mm of the two parts moves against each other in a year."""
        a, b = one.met.receiver, one.met.member
        return self._at.stock[a].moves_along(self._at.grain(a), way) - self._at.stock[b].moves_along(self._at.grain(b), way)

    def of(self, one: Driven) -> Play:
        """The play that a screw needs each way."""
        if one.met.receiver not in self._lines:
            return Play(one.strip.along, Why("play", 0.0, default="tight"))
        along, line = self._lines[one.met.receiver]
        off = abs(dot(one.at, along) - line)
        if off <= ON_LINE_MM:
            return Play(along, Why("play", 0.0, "at the fixed line", span=self._at.span))
        stocks = self._at.stock
        moves = tuple(why for name in (one.met.receiver, one.met.member) if (why := stocks[name].moves) is not None)
        need = off * abs(self._apart(one, along))
        distance = Why("from the fixed line", off, span=self._at.span)
        how = "{0} from the fixed line, × the movement of each mm in a year, {1}" + (" less {2}" if len(moves) > 1 else "")
        return Play(along, Why("play each way", need, how, (distance, *moves), self._at.span, kind=Kind.length))
