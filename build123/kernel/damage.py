"""Faults put into solids on purpose, so that checks are tried on what they look at and never on the design's own numbers."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TypeAlias

from build123.model.feature import Surface
from build123.model.frame import Vec


@dataclass(frozen=True, slots=True)
class Shift:
    """A body stands off its place by a vector in the piece's frame, mm."""

    part: str
    by: Vec


@dataclass(frozen=True, slots=True)
class Turn:
    """A body is turned about its middle, by the right hand about `axis` in the piece's frame."""

    part: str
    axis: Vec
    deg: float


@dataclass(frozen=True, slots=True)
class Thicken:
    """A part's wood reaches further out at one side of the bench; what is cut there is cut there still.

    Negative `by_mm` takes wood off. `face` is the side, the worked face where it is left out.
    """

    part: str
    by_mm: float
    face: Surface = "+z"


@dataclass(frozen=True, slots=True)
class DrillAgain:
    """One more hole: mouth `at` and direction into the wood in the piece's frame; the drill comes from 1 mm outside."""

    part: str
    at: Vec
    direction: Vec
    diameter_mm: float
    depth_mm: float


@dataclass(frozen=True, slots=True)
class Fill:
    """A feature is never cut. `feature` is its id, or its joint's for all of that joint's in `part` (any part if empty)."""

    feature: str
    part: str = ""


@dataclass(frozen=True, slots=True)
class Widen:
    """A trench is cut wider about its middle, or a hole drilled larger; `feature` and `part` as in `Fill`."""

    feature: str
    by_mm: float
    part: str = ""


Damage: TypeAlias = Shift | Turn | Thicken | DrillAgain | Fill | Widen

_NUMBER = r"(-?\d+(?:\.\d*)?)"
_VEC = rf"{_NUMBER} {_NUMBER} {_NUMBER}"
_FORMS = (
    ("shift", re.compile(rf"shift (.+) {_VEC}")),
    ("turn", re.compile(rf"turn (.+) {_NUMBER} deg about {_VEC}")),
    ("thicken", re.compile(rf"thicken (.+) {_NUMBER}(?: at ([+-][xyz]))?")),
    ("drill", re.compile(rf"drill (.+) at {_VEC} towards {_VEC} diameter {_NUMBER} depth {_NUMBER}")),
    ("leave", re.compile(r"leave uncut (.+)")),
    ("widen", re.compile(rf"widen (.+) by {_NUMBER}")),
)


def parse_damage(text: str) -> Damage:
    """One line as a damage, lengths in mm:

    `shift shelf 0.2 0 0` · `turn shelf 0.5 deg about 0 0 1` · `thicken shelf 0.3` · `thicken shelf 0.3 at +x` ·
    `drill left side at 10 20 30 towards 1 0 0 diameter 8 depth 12` · `leave uncut dado: bottom in left side` ·
    `widen dado: bottom in left side by 0.4`. ValueError for anything else.
    """
    line = " ".join(text.split())
    for form, pattern in _FORMS:
        found = pattern.fullmatch(line)
        if found is not None:
            return _made(form, found)
    raise ValueError(f"no damage reads {text!r}")


def _made(form: str, found: re.Match[str]) -> Damage:
    name = found[1]
    if form == "shift":
        return Shift(name, _vec(found, 2))
    if form == "turn":
        return Turn(name, _vec(found, 3), float(found[2]))
    if form == "thicken":
        return Thicken(name, float(found[2]), _side(found[3] or "+z"))
    if form == "drill":
        return DrillAgain(name, _vec(found, 2), _vec(found, 5), float(found[8]), float(found[9]))
    if form == "leave":
        return Fill(name)
    return Widen(name, float(found[2]))


def _vec(found: re.Match[str], first: int) -> Vec:
    return (float(found[first]), float(found[first + 1]), float(found[first + 2]))


def _side(text: str) -> Surface:
    sides: tuple[Surface, ...] = ("+x", "-x", "+y", "-y", "+z", "-z")
    return next(side for side in sides if side == text)
