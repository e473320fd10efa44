"""Numbers of the report: rounded so that the same piece gives the same text, and never without a value that JSON has."""

from __future__ import annotations

import json
import math
from collections.abc import Iterable, Mapping
from typing import Any

from build123.model.frame import Box, Frame, Vec, Vec2


def figure(value: float, digits: int = 6) -> float:
    """To 1e-6 (mm, mm2, mm3, kg, degrees). ValueError where it is not finite: a fault of ours."""
    if not math.isfinite(value):
        raise ValueError(f"{value} in the report")
    return round(value, digits) + 0.0


def figure_or_none(value: float | None) -> float | None:
    """The same for what may be left out."""
    return None if value is None else figure(value)


def point(p: Vec | Vec2) -> list[float]:
    """Coordinates, mm."""
    return [figure(value) for value in p]


def direction(v: Vec) -> list[float]:
    """A unit vector, to 1e-12: turned parts metres long keep their places to 1e-6 mm."""
    return [figure(value, 12) for value in v]


def box(b: Box) -> dict[str, list[float]]:
    """A box by its least and greatest corner, mm."""
    return {"low": point(b.low), "high": point(b.high)}


def matrix(frame: Frame) -> list[list[float]]:
    """Four rows of four: columns are the axes and the origin (mm) in the parent."""
    axes = (direction(frame.x), direction(frame.y), direction(frame.z), point(frame.origin))
    return [[column[row] for column in axes] for row in range(3)] + [[0.0, 0.0, 0.0, 1.0]]


def text_of(data: Mapping[str, Any]) -> bytes:
    """A JSON object with one line for each key, and one for each element of a list of objects. ASCII only."""
    lines = [f"{_one(key)}: {_value(value)}" for key, value in data.items()]
    return ("{\n" + ",\n".join(lines) + "\n}\n").encode("ascii")


def _value(value: Any) -> str:
    if isinstance(value, list) and value and all(isinstance(one, dict) for one in value):
        return "[\n" + ",\n".join(_one(one) for one in value) + "\n]"
    return _one(value)


def _one(value: Any) -> str:
    return json.dumps(value, ensure_ascii=True, allow_nan=False, separators=(", ", ": "))


def volume_sum(volumes: Iterable[float]) -> float:
    """A sum that does not depend on the order of its terms."""
    return math.fsum(volumes)
