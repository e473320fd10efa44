"""Holes that only just touch something along a line are drilled a hair narrower.

Where two walls touch along one line, the wood is an edge without thickness there: no closed mesh can show that, and the kernel
leaves it out or doubles it. A hair is far below anything in a shop and far above rounding, that of 32 bit STL files too.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from build123.kernel.blank import Blank
from build123.kernel.tool import Tool
from build123.model.feature import Feature, Hole
from build123.model.frame import Vec, add, cross, dot, norm, scale, sub, unit

TOUCH_MM = 0.0005
HAIR_MM = 0.001
SQUARE = 1e-6
"""Directions are square or parallel within this (rad): 0.0005 mm over half a metre."""


@dataclass(frozen=True, slots=True)
class _Round:
    """A hole as its axis, a point on it, the way to the other end of a slot, and its radii, mm."""

    at: Vec
    axis: Vec
    slot: Vec
    radii: tuple[float, ...]


def narrowed(holes: Sequence[Feature], others: Sequence[Tool], blank: Blank) -> list[Feature]:
    """The holes, those narrower by two hairs that touch a wall of another tool, a face of the blank or a hole as wide or wider.

    Of two equal holes it is the later one. How deep they go is not looked at: a hair does no harm.
    """
    rounds = [_round(feature.geometry) for feature in holes]
    walls = [*_faces(blank), *(wall for tool in others for wall in _walls(tool))]
    found = []
    for n, (feature, one) in enumerate(zip(holes, rounds, strict=True)):
        wider = [o for m, o in enumerate(rounds) if m != n and (max(o.radii), n) >= (max(one.radii), m)]
        touches = any(_touch_wall(one, *wall) for wall in walls) or any(_touch(one, other) for other in wider)
        found.append(_narrow(feature) if touches else feature)
    return found


def _round(hole: object) -> _Round:
    assert isinstance(hole, Hole)
    frame = hole.datum.frame
    slot = frame.vector((*hole.slot, 0.0))
    start = sub(frame.point((*hole.point, 0.0)), scale(slot, 0.5))
    return _Round(start, unit(frame.vector(hole.axis)), slot, tuple(step.diameter_mm / 2 for step in hole.steps))


def _faces(blank: Blank) -> Iterator[tuple[Vec, float]]:
    for k, normal in enumerate(((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))):
        yield normal, 0.0
        yield normal, blank.size[k]


def _walls(tool: Tool) -> Iterator[tuple[Vec, float]]:
    for k, normal in enumerate((tool.frame.x, tool.frame.y, tool.frame.z)):
        for end in (tool.low[k], tool.high[k]):
            yield normal, dot(normal, tool.frame.origin) + end


def _touch_wall(one: _Round, normal: Vec, offset: float) -> bool:
    if abs(dot(normal, one.axis)) > SQUARE:
        return False
    ends = (one.at, add(one.at, one.slot))
    return any(abs(abs(dot(normal, p) - offset) - r) <= TOUCH_MM for p in ends for r in one.radii)


def _touch(one: _Round, other: _Round) -> bool:
    if norm(cross(one.axis, other.axis)) > SQUARE:
        return False
    gap = min(_apart(one, other.at), _apart(one, add(other.at, other.slot)), _apart(other, one.at), _apart(other, add(one.at, one.slot)))
    if gap <= TOUCH_MM:
        return False
    return any(min(abs(gap - a - b), abs(gap - abs(a - b))) <= TOUCH_MM for a in one.radii for b in other.radii)


def _apart(one: _Round, p: Vec) -> float:
    """How far a point lies from the axis of a round hole, or from the nearest axis of a slot."""
    off = sub(p, one.at)
    long2 = dot(one.slot, one.slot)
    if long2 > 0.0:
        off = sub(off, scale(one.slot, min(1.0, max(0.0, dot(off, one.slot) / long2))))
    return norm(sub(off, scale(one.axis, dot(off, one.axis))))


def _narrow(feature: Feature) -> Feature:
    hole = feature.geometry
    assert isinstance(hole, Hole)
    steps = tuple(replace(step, diameter_mm=step.diameter_mm - 2 * HAIR_MM) for step in hole.steps)
    return replace(feature, geometry=replace(hole, steps=steps))
