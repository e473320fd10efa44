"""Tapers: faces that draw in towards one end, as on a leg."""

from __future__ import annotations

import math
from typing import Annotated, ClassVar

from pydantic import Field

from build123.fields.entry import Length, OneOf, Word
from build123.joints.joinery import Joinery
from build123.model.feature import About, Feature, Purpose, Trim
from build123.model.frame import Plane, add, dot, scale, unit
from build123.model.why import Why
from build123.problem import SpecError, Text
from build123.shapes.entry import ShapeEntry
from build123.shapes.sides import faces_meant, read_inset


class Taper(ShapeEntry):
    """Faces that draw in evenly from a line to the far end, as on a leg.

    Example
        build123: 1
        piece: Plant stand
        sizes: {width: 400, depth: 400}
        stock: {ash: {board: ash, thickness: 40}}
        parts:
          leg: {pair: both, stock: ash, x: from 0, y: from 0 for 40, z: 0 to 500}
          rail: {pair: left and right, stock: ash, x: from 0, y: front left leg to back left leg, z: up to 500 for 60}
          bar: {pair: front and back, stock: ash, x: front left leg to front right leg, y: from 0, z: up to 500 for 60}
        joints:
          - dowels: {of: rail, to: leg, count: 2, ends: 10, diameter: 8, length: 30}
          - dowels: {of: bar, to: leg, count: 2, ends: 23, diameter: 8, length: 30}
        shapes:
          - taper: {of: leg, faces: inner, from: 100 below top, to: 25}
    """

    KEY: ClassVar[str] = "taper"

    faces: Annotated[Text, OneOf(("inner", "outer", "left", "right", "front", "back", "top", "bottom"))] = Field(
        Text("inner"), description="The faces that draw in. Default: inner, those that look to the middle of the piece.", examples=["inner"]
    )
    from_: Word = Field(alias="from", description="Where the taper begins, from an end.", examples=["110 mm below top"])
    to: Length = Field(description="What is left at the far end, across each tapered face.", examples=["28 mm"])

    def cut(self, at: Joinery, part: str) -> None:
        """One slanted trim for each face."""
        body = at.grown(part)
        start = read_inset(at, self.from_, "begin")
        left = at.length(self.to, "foot")
        end = body.looking(at.ways[start.word])
        far = scale(body.nominal_normal(end), -1.0)
        low, high = body.span(far)
        run = high - low - start.distance.value
        if run <= 0 or start.distance.value < 0:
            raise SpecError.at("bad-taper", f"the taper begins off {part}", self.from_.span)
        for face in faces_meant(at, part, self.faces):
            if face[0] == end[0]:
                raise SpecError.at("bad-taper", f"the {self.faces} face of {part} is its end", self.faces.span or at.span)
            normal = body.nominal_normal(face)
            across = body.span(normal)
            drop = (across[1] - across[0]) - left.value
            if drop <= 0 or left.value <= 0:
                raise SpecError.at(
                    "bad-taper",
                    f"{part} is {across[1] - across[0]:.4g} mm across there, so it cannot draw in to {left.value:.4g} mm",
                    left.span,
                )
            slant = math.atan2(drop, run)
            plane_normal = unit(add(scale(normal, math.cos(slant)), scale(far, math.sin(slant))))
            on = add(scale(normal, across[1]), scale(far, low + start.distance.value))
            word = body.direction_of(face)
            at.feature(
                part,
                Feature(
                    Trim(Plane(plane_normal, dot(plane_normal, on))),
                    About(
                        f"taper {word}",
                        "taper",
                        Purpose.shape,
                        group="taper",
                        why={
                            "begin": start.distance,
                            "foot": left,
                            "angle": Why("angle", math.degrees(slant), "from {0} down to {1}", (start.distance, left)),
                        },
                    ),
                ),
            )
