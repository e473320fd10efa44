"""Rows of holes, as for shelf pins."""

from __future__ import annotations

from typing import Annotated, ClassVar

from pydantic import Field

from build123.fields.entry import Count, Insets, Length, OneOf, Word
from build123.fields.show import show_length
from build123.joints.joinery import Joinery
from build123.model.body import FaceTag, plane_frame
from build123.model.feature import About, Datum, Feature, Hole, HoleStep, Purpose
from build123.model.frame import Vec, add, dot, scale, unit
from build123.model.why import Why
from build123.problem import SpecError, Text
from build123.shapes.entry import ShapeEntry
from build123.shapes.sides import Inset, faces_meant, read_inset

MOST_HOLES = 400


class Holes(ShapeEntry):
    """Rows of holes in a face, as for shelf pins: columns across the part, holes at an even pitch along each.

    Example
        build123: 1
        piece: Pin rack
        sizes: {width: 500, depth: 300, height: 900}
        stock: {ply: {sheet: birch plywood, thickness: 17.8}}
        parts:
          side: {pair: left and right, stock: ply, x: from 0, y: 0 to depth, z: 0 to height}
          shelf: {stock: ply, x: left side to right side, y: 0 to depth, z: [from 50, up to height - 20]}
        joints:
          - dado: {of: shelf, in: side}
        shapes:
          - holes: {of: side, face: inner, columns: [37 from front, 37 from back], first: 150 from bottom, every: 32, count: 20,
                    diameter: 5, depth: 12, label: shelf pin hole}
    """

    KEY: ClassVar[str] = "holes"

    face: Annotated[Text, OneOf(("inner", "outer", "both", "left", "right", "front", "back", "top", "bottom"))] = Field(
        Text("inner"),
        description="The face that is drilled. Default: inner, the one that looks to the middle of the piece.",
        examples=["inner"],
    )
    columns: Insets = Field(description="Where each column stands, from an edge.", examples=[["37 mm from front", "37 mm from back"]])
    first: Word = Field(description="Where the first hole of a column is, from an end.", examples=["100 mm from bottom"])
    every: Length | None = Field(None, description="From one hole to the next. Default: 32 mm.", examples=["32 mm"])
    count: Count = Field(description="How many holes a column has.", examples=["12"])
    diameter: Length | None = Field(None, description="Diameter. Default: 5 mm, or 1/4 in where the file is in inches.", examples=["5 mm"])
    depth: Length | None = Field(None, description="Depth. Default: 12 mm, or 3/8 in where the file is in inches.", examples=["12 mm"])
    label: Word | None = Field(
        None, description="What they are for, as drawings say it. Default: shelf pin hole.", examples=["shelf pin hole"]
    )

    def cut(self, at: Joinery, part: str) -> None:
        """Drill every hole of every column."""
        inches = at.units == "in"
        every = at.length(self.every, "pitch", 32.0, "SYS32-HOLE of the trade table, 32 mm")
        diameter = at.length(
            self.diameter, "diameter", 6.35 if inches else 5.0, "PIN-1_4 of the trade table" if inches else "SYS32-HOLE of the trade table"
        )
        depth = at.length(
            self.depth, "depth", 9.525 if inches else 12.0, "PIN-1_4 of the trade table" if inches else "SYS32-DEPTH of the trade table"
        )
        count = at.count(self.count)
        if count * len(self.columns) > MOST_HOLES:
            raise SpecError.at("too-many-holes", f"{count * len(self.columns)} holes in one part; at most {MOST_HOLES}", self.count.span)
        if every.value < diameter.value or diameter.value <= 0 or depth.value <= 0:
            raise SpecError.at(
                "bad-value", "holes need a diameter and a depth above 0, and a pitch above the diameter", every.span or at.span
            )
        first = read_inset(at, self.first, "first hole")
        for face in faces_meant(at, part, self.face):
            for column, text in enumerate(self.columns):
                self._column(at, part, face, read_inset(at, text, "column"), column, first, every, count, diameter, depth)

    def _column(
        self,
        at: Joinery,
        part: str,
        face: FaceTag,
        inset: Inset,
        column: int,
        first: Inset,
        every: Why,
        count: int,
        diameter: Why,
        depth: Why,
    ) -> None:
        body = at.grown(part)
        plane = body.planes[face]
        side, end = body.looking(at.ways[inset.word]), body.looking(at.ways[first.word])
        if len({face[0], side[0], end[0]}) != 3:
            raise SpecError.at(
                "bad-position",
                f"on the {body.direction_of(face)} face of {part} a column from its {inset.word} and a first hole from its {first.word} give no place",
                at.span,
            )
        along = scale(body.nominal_normal(end), -1.0)
        frame = plane_frame(plane, along)
        start = _corner(at, part, face, side, end)
        inward = unit(scale(body.nominal_normal(side), -1.0))
        for n in range(count):
            p = add(start, add(scale(inward, inset.distance.value), scale(along, first.distance.value + n * every.value)))
            if not body.holds(p, 1e-6):
                raise SpecError.at(
                    "hole-off-part",
                    f"hole {n + 1} of {count} would lie off {part}: {show_length(first.distance.value + n * every.value, at.units)} from its "
                    f"{first.word} end",
                    self.count.span,
                    change="take fewer holes or a smaller pitch",
                )
            local = frame.local_point(p)
            why = {
                "diameter": diameter,
                "depth": depth,
                "position": Why(
                    "position",
                    first.distance.value + n * every.value,
                    f"{{0}} + {n} × {{1}}, from the {first.word}",
                    (first.distance, every),
                ),
                "column": inset.distance,
            }
            at.feature(
                part,
                Feature(
                    Hole(Datum(frame, "+z"), (local[0], local[1]), (HoleStep(diameter.value, depth.value),)),
                    About(
                        f"holes in {body.direction_of(face)} face/{inset.word} {column + 1}.{n + 1}",
                        str(self.label) if self.label is not None else "shelf pin hole",
                        Purpose.shape,
                        group=f"holes {diameter.value:.3f} x {depth.value:.3f}",
                        reference=f"{inset.word} edge",
                        why=why,
                    ),
                ),
            )


def _corner(at: Joinery, part: str, face: FaceTag, side: FaceTag, end: FaceTag) -> Vec:
    """The corner of a face where two of its edges meet."""
    body = at.grown(part)
    return max(body.corners(face), key=lambda p: dot(p, body.nominal_normal(side)) + dot(p, body.nominal_normal(end)))
