"""The open set of shapes: what is done to single parts, one file for each, found by being here."""

from __future__ import annotations

import importlib
import pkgutil
from functools import lru_cache

from build123.shapes.entry import ShapeEntry


@lru_cache(maxsize=1)
def kinds() -> dict[str, type[ShapeEntry]]:
    """The shapes by the word that is their key in the spec. Two of one name are refused."""
    found: dict[str, type[ShapeEntry]] = {}
    for module in sorted(m.name for m in pkgutil.iter_modules(__path__)):
        for value in vars(importlib.import_module(f"{__name__}.{module}")).values():
            if isinstance(value, type) and issubclass(value, ShapeEntry) and value.__module__.endswith(f".{module}") and value.KEY:
                if value.KEY in found:
                    raise ValueError(f"two shapes are called {value.KEY!r}")
                found[value.KEY] = value
    return dict(sorted(found.items()))


__all__ = ["ShapeEntry", "kinds"]
