"""What a solid is refused for before the kernel sees it: the kernel takes NaN and empty sizes without a word."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import fields, is_dataclass

from typing_extensions import assert_never

from build123.model.feature import EndKind, Geometry, Hole, Mark, Pocket, Profile, Trench, TrenchEnd, Trim
from build123.model.frame import EXACT_MM, norm, sub


def floats(value: object) -> Iterator[float]:
    """Every number within nested dataclasses and tuples."""
    if isinstance(value, bool):
        return
    if isinstance(value, (int, float)):
        yield float(value)
    elif isinstance(value, tuple):
        for inner in value:
            yield from floats(inner)
    elif is_dataclass(value):
        for f in fields(value):
            yield from floats(getattr(value, f.name))


def wrong_with(geometry: Geometry) -> str:
    """What makes a feature impossible, or the empty text."""
    if not all(map(math.isfinite, floats(geometry))):
        return "a number that is not finite"
    match geometry:
        case Trim():
            return "" if abs(norm(geometry.plane.normal) - 1) < 1e-6 else "a normal that is not of length 1"
        case Trench():
            if math.dist(geometry.start, geometry.end) <= EXACT_MM:
                return "a trench of no length"
            if abs(geometry.lean_deg) + abs(geometry.flare_deg) >= 85:
                return "walls that lie nearly flat"
            ends = _wrong_end(geometry.start_end) or _wrong_end(geometry.end_end)
            return ends or _least("width", geometry.width_mm) or _least("depth", geometry.depth_mm)
        case Pocket():
            if geometry.far_outline is not None and len(geometry.far_outline) != len(geometry.outline):
                return "a far outline with another number of corners"
            return _least("depth", geometry.depth_mm) if geometry.depth_mm is not None else ""
        case Hole():
            if not geometry.steps:
                return "a hole without a step"
            angles = (geometry.tip_deg, *(step.cone_deg for step in geometry.steps))
            if any(not (a == 0 or 1 <= a < 179) for a in angles):
                return "a cone or a tip of less than 1 or more than 179 degrees"
            return next((w for w in (_least("diameter", s.diameter_mm) for s in geometry.steps) if w), "")
        case Profile():
            return "an arris of no length" if norm(sub(geometry.end, geometry.start)) <= EXACT_MM else ""
        case Mark():
            return ""
        case _:
            assert_never(geometry)


def _least(what: str, value_mm: float) -> str:
    return "" if value_mm > EXACT_MM else f"a {what} of {value_mm:g} mm"


def _wrong_end(end: TrenchEnd) -> str:
    shaped = end.kind in (EndKind.round, EndKind.scoop)
    return _least(f"{end.kind.value} end radius", end.radius_mm) if shaped else ""
