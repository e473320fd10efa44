"""Screws: through one part and into another, with the holes they need and room to move where the wood does."""

from __future__ import annotations

from typing import Annotated, ClassVar

from pydantic import Field

from build123.fields.entry import Length, Names, OneOf, Word
from build123.fields.show import show_length
from build123.joints.contact import face_seat
from build123.joints.joinery import Joinery, Meeting
from build123.joints.row import InARow, strip_of
from build123.joints.screw_play import Plays
from build123.joints.screw_sizes import LONGEST_MM, Chosen, chosen
from build123.joints.screwed import HEADS, PLUG_DEEP_MM, Head, Place, Play, Screwed, wood_along
from build123.model.frame import add, dot, scale
from build123.model.why import Why
from build123.problem import SpecError, Text
from build123.trade.tables import rules

PITCH_MM = 203.2
"""One screw for each 8 in and one more (TOP-BUTTON of the trade table: one fixing each 8 to 12 in)."""


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
    FASTENS: ClassVar[bool] = True

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
        return self.meetings(at, self.through, self.into, ("through", "into"))

    def cut(self, at: Joinery, met: list[Meeting]) -> None:
        """Holes in line in both parts, as wide as the wood asks for."""
        laid = []
        for one in met:
            try:
                laid.append(self._laid_out(at, one))
            except SpecError as error:
                at.findings.add(error.finding)
        every = [screw for screws in laid for screw in screws]
        plays = Plays(self.fixed, at, every)
        for screws in laid:
            try:
                self._drive(at, screws, plays)
            except SpecError as error:
                at.findings.add(error.finding)

    def _laid_out(self, at: Joinery, one: Meeting) -> list[Place]:
        body = at.grown(one.member)
        strip = strip_of(at, one)
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
        let_in = at.let_in_mm(one)
        for n, (x, where) in enumerate(self.spaced(at, one, strip, thick, PITCH_MM)):
            p = add(strip.at(x), scale(one.touch.normal, let_in))
            through = Why(f"thickness of {one.member}", body.exit(p, one.touch.normal), "where the screw goes through", span=at.span)
            found.append(Place(one, strip, n, p, where, axis, through, far))
        return found

    def _drive(self, at: Joinery, screws: list[Place], plays: Plays) -> None:
        first = screws[0]
        member, receiver = first.met.member, first.met.receiver
        room = first.through.value + wood_along(at, receiver, first.axis, first.at) - rules()["SCREW-POINT"].least
        screw = chosen(at, self.size, room)
        joint = at.joint_id(member, receiver, "into")
        expects = [] if at.let_in_mm(first.met) else [face_seat(first.met, "where the screws pull them together", glued=False)]
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
                    change="take a longer screw, or sink its head with `head: counterbored`"
                    if one.through.value < LONGEST_MM
                    else f"screw from the other side: `through: {receiver}` and `into: {member}`",
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
        sink = self._sunk(at, screw, head)
        if sink.value <= 0.0:
            raise SpecError.at(
                "bad-screw",
                f"a {head} head lies deeper than the face",
                sink.span or at.span,
                change="give `sink` a length above 0, or leave it out",
            )
        return sink

    def _sunk(self, at: Joinery, screw: Chosen, head: Head) -> Why:
        if head == "plugged":
            return at.length(self.sink, "sunk", PLUG_DEEP_MM[at.units], "1/4 in or 6 mm under a plug, common practice")
        pan = screw.pan
        return at.length(self.sink, "sunk", pan.head_height_mm if pan else screw.screw.head_height_mm, "as deep as the head is high")
