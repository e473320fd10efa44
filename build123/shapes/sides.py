"""Which faces of a part a shape means: by the direction they look to, or inner and outer by the middle of the piece."""

from __future__ import annotations

import re
from dataclasses import dataclass

from build123.joints.joinery import Joinery
from build123.model.body import DIRECTIONS, Body, FaceTag
from build123.model.frame import Box, dot, sub
from build123.model.why import Why
from build123.problem import SpecError, Text

POST_SHARE = 3.0
"""A part less than this many times as wide as thick is a post, whose width has inner and outer faces too."""


def faces_meant(at: Joinery, part: str, word: Text) -> list[FaceTag]:
    """The faces that `left`, `inner`, `outer` or `both` mean on a part. SpecError `bad-face` where there is none."""
    body = at.sight[part]
    if word in DIRECTIONS:
        return [body.looking(at.ways[word])]
    if word == "both":
        return [(body.thickness_axis, -1), (body.thickness_axis, 1)]
    middle = Box.around([p for name in at.fellows(part) for p in at.sight[name].all_corners()]).middle
    centre = body.box.middle
    found: list[FaceTag] = []
    for axis in _sideways(body):
        offset = dot(sub(centre, middle), body.axis(axis))
        if abs(offset) > 1.0:
            inner = -1 if offset > 0 else 1
            found.append((axis, inner if word == "inner" else -inner))
    if not found:
        raise SpecError.at(
            "bad-face",
            f"{part} stands in the middle, so none of its faces is the {word} one",
            word.span or at.span,
            change="name the face by where it looks: left, right, front, back, top or bottom",
        )
    return found


def _sideways(body: Body) -> list[int]:
    thin = body.thickness_axis
    spans = [high - low for low, high in (body.span(body.axis(k)) for k in range(3))]
    others = sorted((k for k in range(3) if k != thin), key=lambda k: spans[k])
    return [thin, others[0]] if spans[others[0]] < POST_SHARE * spans[thin] else [thin]


@dataclass(frozen=True, slots=True)
class Inset:
    """A distance from the edge of a part that looks to `word`."""

    word: str
    distance: Why


def read_inset(at: Joinery, text: Text, what: str) -> Inset:
    """`37 from front`, `110 below top`. SpecError `bad-position`."""
    found = re.fullmatch(r"(.+?)\s+(?:from|below|above|behind)\s+(\w+)\s*", text)
    if not found or found.group(2) not in DIRECTIONS:
        raise SpecError.at(
            "bad-position", f"{str(text)!r} does not say which edge it is measured from", text.span, change="for example `37 mm from front`"
        )
    return Inset(found.group(2), at.length(Text(found.group(1), text.place(0, found.end(1)), text.plain), what))
