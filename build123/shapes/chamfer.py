"""Chamfers: an arris taken off at 45 degrees."""

from __future__ import annotations

import math
from typing import ClassVar

from pydantic import Field

from build123.fields.entry import Insets, Length
from build123.joints.joinery import Joinery
from build123.model.body import DIRECTIONS, FaceTag
from build123.model.feature import About, Feature, Purpose, Trim
from build123.model.frame import Plane, add, dot, unit
from build123.problem import SpecError, Text
from build123.shapes.entry import ShapeEntry
from build123.shapes.sides import faces_meant

WORDS = (*DIRECTIONS, "inner", "outer")


class Chamfer(ShapeEntry):
    """An arris taken off at 45 degrees, all along.

    Example
        build123: 1
        piece: Sign board
        stock: {larch: {board: larch, thickness: 25}}
        parts:
          board: {stock: larch, x: 0 to 400, y: from 0, z: 0 to 200}
        shapes:
          - chamfer: {of: board, along: [front top, front bottom], size: 5}
    """

    KEY: ClassVar[str] = "chamfer"

    along: Insets = Field(description="The arris, by the two faces that meet in it; or a list of them.", examples=["outer bottom"])
    size: Length = Field(description="How far it comes in on each face.", examples=["1/2 in"])

    def cut(self, at: Joinery, part: str) -> None:
        """One slanted trim for each arris."""
        size = at.length(self.size, "size")
        body = at.grown(part)
        for text in self.along:
            words = text.split()
            if len(words) != 2 or any(w not in WORDS for w in words):
                raise SpecError.at("bad-face", f"an arris is named by two faces, as in `front top`, not {str(text)!r}", text.span)
            a, b = (self._face(at, part, word, text) for word in words)
            if a[0] == b[0]:
                raise SpecError.at("bad-face", f"the {words[0]} and the {words[1]} of {part} do not meet in an arris", text.span)
            na, nb = body.planes[a].normal, body.planes[b].normal
            least = min(high - low for low, high in (body.span(na), body.span(nb)))
            if not 0 < size.value < least:
                raise SpecError.at(
                    "bad-value", f"a chamfer of {size.value:.4g} mm does not fit on {part}, {least:.4g} mm across", size.span
                )
            normal = unit(add(na, nb))
            corner = max(body.all_corners(), key=lambda p: dot(p, na) + dot(p, nb))
            offset = dot(normal, corner) - size.value * math.sqrt(0.5)
            at.feature(
                part,
                Feature(
                    Trim(Plane(normal, offset)),
                    About(f"chamfer {text}", "chamfer", Purpose.shape, group=f"chamfer {size.value:.3f}", why={"size": size}),
                ),
            )

    def _face(self, at: Joinery, part: str, word: str, text: Text) -> FaceTag:
        found = faces_meant(at, part, Text(word, text.span))
        return next((f for f in found if f[0] == at.sight[part].thickness_axis), found[0])
