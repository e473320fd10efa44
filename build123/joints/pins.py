"""Pins, brads, finish nails and staples: driven by air through one part into another, with nothing drilled."""

from __future__ import annotations

from typing import Annotated, ClassVar

from pydantic import Field

from build123.fields.entry import Length, Names, OneOf
from build123.fields.show import show_length
from build123.joints.contact import face_seat
from build123.joints.joinery import Joinery, Meeting
from build123.joints.row import InARow, Strip, strip_of
from build123.model.body import FaceTag, plane_frame
from build123.model.feature import About, Datum, Feature, Mark, Purpose
from build123.model.frame import Frame, Vec, add, cross, dot, scale
from build123.model.part import Hardware, Rod, Staple
from build123.model.why import Why
from build123.problem import SpecError, Text
from build123.trade.fasteners import NailSize, nails

PITCH_MM = 152.4
"""One for each 6 in and one more (common practice for backs and trim)."""
SECOND_SHARE = 2.0
"""Twice as much of a nail goes into the second part as through the first (common practice: two thirds of its length)."""
STEP_MM = {"in": 6.35, "mm": 5.0}
"""The lengths that they are sold in go up by 1/4 in or 5 mm (common practice)."""
USUAL = {"pins": "NAIL-23", "brads": "NAIL-18", "finish nails": "NAIL-16", "staples": "STAPLE-NC"}
KINDS = tuple(USUAL)


class Pins(InARow):
    """Thin nails that hold a part while the glue sets, or a back or a moulding for good: pins, brads, finish nails or staples.

    Nothing is drilled; where they go is marked.

    Example
        build123: 1
        piece: Label frame
        sizes: {width: 300, height: 200}
        stock:
          ply: {sheet: birch plywood, thickness: 18}
          thin: {sheet: birch plywood, thickness: 5}
          pine: {board: pine, thickness: 12}
        parts:
          side: {pair: left and right, stock: ply, x: from 0, y: 0 to 80, z: 0 to height}
          shelf: {stock: ply, x: left side to right side, y: 0 to 80, z: from 60}
          back: {stock: thin, x: 0 to width, y: from 80, z: 0 to height}
          trim: {stock: pine, x: 0 to width, y: up to 0, z: 55 to 83}
        joints:
          - dado: {of: shelf, in: side, depth: 6}
          - pins: {of: back, to: [side, shelf], every: 80, kind: brads, length: 20}
          - pins: {of: trim, to: shelf, count: 3}
          - pins: {of: trim, to: side, count: 1}
    """

    KEY: ClassVar[str] = "pins"
    FASTENS: ClassVar[bool] = True

    of: Names = Field(description="The parts that they go through.", examples=["back"])
    to: Names = Field(description="The parts that they hold in.", examples=["shelf"])
    kind: Annotated[Text, OneOf(KINDS)] | None = Field(
        None,
        description="What is driven: 23 gauge pins, 18 gauge brads, 16 gauge finish nails or narrow staples. Default: pins.",
        examples=["brads"],
    )
    length: Length | None = Field(
        None, description="Length. Default: the least that leaves two thirds of it in the second part.", examples=["3/4 in"]
    )

    @property
    def one_of_them(self) -> str:
        """ "a brad"."""
        return f"a {str(self.kind or self.KEY).removesuffix('s')}"

    def meet(self, at: Joinery) -> list[Meeting]:
        """Parts that lie against each other."""
        return self.meetings(at, self.of, self.to, ("of", "to"))

    def drive(self, at: Joinery, one: Meeting) -> None:
        """Where they go is marked on the face that they are driven from."""
        body = at.grown(one.member)
        nail = nails()[USUAL[str(self.kind) if self.kind is not None else "pins"]]
        strip = strip_of(at, one)
        far: FaceTag = (one.touch.a_face[0], -one.touch.a_face[1])
        places = self.spaced(at, one, strip, nail.crown_mm or nail.diameter_mm, PITCH_MM)
        through = body.exit(strip.at(places[0][0]), one.touch.normal)
        length = self._length(at, nail, through)
        if length.value <= through + nail.diameter_mm:
            raise SpecError.at(
                "pin-does-not-reach",
                f"{show_length(length.value, at.units)} long, {self.one_of_them} does not go through {one.member}, "
                f"which is {show_length(through, at.units)} thick there, into {one.receiver}",
                length.span or at.span,
                change="take longer ones, or screws",
            )
        joint = at.joint_id(one.member, one.receiver, "to")
        frame = plane_frame(body.planes[far], strip.along)
        marks = []
        for n, (x, _) in enumerate(places):
            p = strip.at(x)
            mouth = add(p, scale(one.touch.normal, body.exit(p, one.touch.normal)))
            local = frame.local_point(mouth)
            marks.append((local[0], local[1]))
            at.tray.hardware.append(self._nail(at, one, nail, length.value, mouth, strip, f"{nail.kind} {n + 1}", joint))
        about = About(
            id=f"{joint}/marks",
            label=f"{nail.kind} marks",
            purpose=Purpose.layout,
            group=f"{nail.kind} marks",
            joint=joint,
            members=(one.receiver,),
            why={"position": places[0][1]},
        )
        at.feature(one.member, Feature(Mark(Datum(frame, "+z"), points=tuple(marks)), about))
        count = self.count_why(len(places), "one for each 6 in and one more, common practice")
        diameter = Why("diameter", nail.diameter_mm, default=f"{nail.label}, {nail.source} ({nail.confidence})")
        at.joint(
            joint,
            one,
            [] if at.let_in_mm(one) else [face_seat(one, f"where the {nail.kind}s hold it", glued=False)],
            [diameter, length, count],
            one.touch.normal,
        )

    def _length(self, at: Joinery, nail: NailSize, through_mm: float) -> Why:
        step = STEP_MM[at.units]
        wanted = through_mm * (1 + SECOND_SHARE)
        usual = min(max(-(-wanted // step) * step, nail.length_min_mm), nail.length_max_mm)
        return at.length(self.length, "length", usual, "two thirds of it in the second part, common practice")

    def _nail(
        self, at: Joinery, one: Meeting, nail: NailSize, length_mm: float, mouth: Vec, strip: Strip, name: str, joint: str
    ) -> Hardware:
        axis = scale(one.touch.normal, -1.0)
        same = joint[joint.rindex(" (") :] if joint.endswith(")") else ""
        solid: Rod | Staple = Rod(nail.diameter_mm, length_mm)
        across = strip.along
        if nail.crown_mm is not None:
            solid = Staple(nail.crown_mm, nail.diameter_mm, length_mm)
            grain = at.grain(one.member)
            across = cross(axis, grain) if abs(dot(axis, grain)) < 0.5 else strip.along
        frame = Frame(mouth, across, cross(axis, across), axis)
        label = f"{nail.label} x {show_length(length_mm, at.units)}"
        bites = (one.member, one.receiver)
        return Hardware(f"{name} of {one.member} to {one.receiver}{same}", label, solid, frame, joint, span=at.span, bites=bites)
