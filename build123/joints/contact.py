"""Joints of faces that only lie against each other: glued and rests."""

from __future__ import annotations

from typing import ClassVar

from pydantic import Field

from build123.fields.entry import Names
from build123.joints.entry import JointEntry
from build123.joints.housing import SEAT_MM
from build123.joints.joinery import Joinery, Meeting
from build123.model.design import Expect, ExpectKind
from build123.model.frame import Box, scale


def face_seat(met: Meeting, what: str, *, glued: bool) -> Expect:
    """The member's face on the receiver's."""
    return Expect(
        ExpectKind.seat,
        met.member,
        met.receiver,
        scale(met.touch.normal, -1.0),
        Box.around(list(met.touch.region)).grown(0.5),
        -SEAT_MM,
        SEAT_MM,
        0.0,
        what,
        glued=glued,
    )


class Glued(JointEntry):
    """Faces glued together with nothing cut.

    Example
        build123: 1
        piece: Lipped board
        stock:
          ply: {sheet: birch plywood, thickness: 18}
          ash: {board: ash, thickness: 6}
        parts:
          board: {stock: ply, x: 0 to 500, y: 6 to 250, z: from 0}
          lipping: {stock: ash, x: 0 to 500, y: up to board, z: same as board}
        made up:
          shelf: [board, lipping]
        joints:
          - glued: {of: lipping, to: board}
    """

    KEY: ClassVar[str] = "glued"

    of: Names = Field(description="The parts that are glued on.", examples=["lipping"])
    to: Names = Field(description="The parts that they are glued to.", examples=["shelf"])

    def meet(self, at: Joinery) -> list[Meeting]:
        """Parts that lie against each other."""
        met = at.meetings(at.parts(self.of), at.parts(self.to), "part of `of`", "part of `to`")
        at.report_count(met)
        return met

    def cut(self, at: Joinery, met: list[Meeting]) -> None:
        """Nothing is cut; the faces must touch."""
        for one in met:
            at.joint(
                at.joint_id(one.member, one.receiver, "to"), one, [face_seat(one, "where they are glued", glued=True)], [], one.touch.normal
            )


class Rests(JointEntry):
    """Parts that lie on one another and are not fastened: bare touching that is meant.

    Example
        build123: 1
        piece: Plank on blocks
        stock: {larch: {board: larch, thickness: 40}}
        parts:
          block: {stock: larch, x: from 50, y: 60 to 140, z: 0 to 100}
          stone: {stock: larch, x: from 600, y: 0 to 200, z: 0 to 100, loose: yes}
          plank: {stock: larch, x: 0 to 700, y: 0 to 200, z: from 100}
        joints:
          - glued: {of: plank, to: block}
          - rests: {of: plank, upon: stone}
    """

    KEY: ClassVar[str] = "rests"

    of: Names = Field(description="The parts that rest.", examples=["top"])
    upon: Names = Field(description="The parts that they rest upon or against.", examples=["side"])

    def meet(self, at: Joinery) -> list[Meeting]:
        """Parts that lie against each other."""
        met = at.meetings(at.parts(self.of), at.parts(self.upon), "part of `of`", "part of `upon`")
        at.report_count(met)
        return met

    def cut(self, at: Joinery, met: list[Meeting]) -> None:
        """Nothing is cut; the faces must touch."""
        for one in met:
            at.joint(
                at.joint_id(one.member, one.receiver, "upon"),
                one,
                [face_seat(one, "where it rests", glued=False)],
                [],
                one.touch.normal,
                True,
            )
