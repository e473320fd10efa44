"""Which way the grain of a part runs, and which of its faces is seen."""

from __future__ import annotations

from collections.abc import Mapping

from build123.model.body import Body, FaceTag
from build123.model.frame import Vec, dot
from build123.problem import SpecError
from build123.resolve.scope import Declared


def grain_axis(one: Declared, body: Body) -> int:
    """Along the longest side unless the spec says so; an upright's height where two sides are equal."""
    said = one.entry.grain
    others = [k for k in range(3) if k != body.thickness_axis]
    if said is not None:
        axis = "xyz".index(said)
        if axis not in others:
            raise SpecError.at("bad-value", f"grain cannot run along {said} of {one.key}: that is its thickness", said.span)
        return axis
    spans = {k: body.span(body.axis(k)) for k in others}
    return max(others, key=lambda k: (round(spans[k][1] - spans[k][0], 6), k == 2, -k))


def shown_face(one: Declared, body: Body, middle: Vec, ways: Mapping[str, Vec]) -> str:
    """The face that is seen: as told, else away from the middle for uprights, up for horizontals, front for backs.

    `ways` tells what the words mean in the part's assembly; the answer is the word for it in the piece.
    """
    faces: list[FaceTag] = [(body.thickness_axis, -1), (body.thickness_axis, 1)]
    words = [max(ways, key=lambda w: round(dot(ways[w], body.nominal_normal(f)), 9)) for f in faces]
    said = one.entry.show
    if said is not None:
        told = {"left": "right", "right": "left"}.get(said, said) if 0 in one.flip else str(said)
        told = {"front": "back", "back": "front"}.get(told, told) if 1 in one.flip else told
        if told in words:
            return body.direction_of(faces[words.index(told)])
        raise SpecError.at("bad-value", f"the faces of {one.name} look {words[0]} and {words[1]}, not {said}", said.span)
    for word in ("front", "top"):
        if word in words:
            return body.direction_of(faces[words.index(word)])
    word = "left" if dot(ways["left"], body.box.middle) > dot(ways["left"], middle) else "right"
    return body.direction_of(faces[words.index(word)])
