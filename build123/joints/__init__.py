"""The open set of joints: one file for each, found by being here."""

from __future__ import annotations

import importlib
import pkgutil
from functools import lru_cache

from build123.joints.entry import JointEntry


@lru_cache(maxsize=1)
def kinds() -> dict[str, type[JointEntry]]:
    """The joints by their trade name, which is their key in the spec. Two of one name are refused."""
    found: dict[str, type[JointEntry]] = {}
    for module in sorted(m.name for m in pkgutil.iter_modules(__path__)):
        for value in vars(importlib.import_module(f"{__name__}.{module}")).values():
            if isinstance(value, type) and issubclass(value, JointEntry) and value.__module__.endswith(f".{module}") and value.KEY:
                if value.KEY in found:
                    raise ValueError(f"two joints are called {value.KEY!r}")
                found[value.KEY] = value
    return dict(sorted(found.items()))


__all__ = ["JointEntry", "kinds"]
