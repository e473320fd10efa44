"""Takes the dust of floating point off plain data."""

from __future__ import annotations

from dataclasses import fields, is_dataclass, replace
from typing import TypeVar

T = TypeVar("T")

PLACES = 12
"""Far below any tolerance; directions need as much, since a plane is their product with metres."""


def tidy(value: T) -> T:
    """The same data with every float rounded, and no negative zero."""
    if isinstance(value, float):
        return round(value, PLACES) + 0.0  # type: ignore[return-value]
    if isinstance(value, tuple):
        return tuple(tidy(v) for v in value)  # type: ignore[return-value]
    if is_dataclass(value) and not isinstance(value, type):
        return replace(value, **{f.name: tidy(getattr(value, f.name)) for f in fields(value)})
    return value
