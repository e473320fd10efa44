"""Where exporters are found."""

from __future__ import annotations

import pkgutil
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache
from importlib import import_module
from typing import TypeAlias

from build123.exports.job import Job
from build123.problem import Finding

Write: TypeAlias = Callable[[Job], dict[str, bytes]]
Verify: TypeAlias = Callable[[Job, Mapping[str, bytes]], list[Finding]]


@dataclass(frozen=True, slots=True)
class Exporter:
    """One kind of file.

    `write` gives the content by POSIX path below the piece's folder. `verify` reads that content back, as another program
    would, and gives an `export-differs` for whatever is not as meant. `last` ones (`LAST = True` in the module) tell what was
    found when the others were read back.
    """

    name: str
    write: Write
    verify: Verify
    last: bool = False


@cache
def exporters() -> tuple[Exporter, ...]:
    """All exporters by name, those that come last at the end. ValueError for two of one name."""
    import build123.exports as room

    found: dict[str, Exporter] = {}
    for entry in sorted(pkgutil.iter_modules(room.__path__, f"{room.__name__}."), key=lambda entry: entry.name):
        module = import_module(entry.name)
        name, write, verify = (getattr(module, key, None) for key in ("NAME", "write", "verify"))
        if not isinstance(name, str) or not callable(write) or not callable(verify):
            continue
        if name in found:
            raise ValueError(f"{entry.name} is a second exporter called {name}")
        found[name] = Exporter(name, write, verify, bool(getattr(module, "LAST", False)))
    return tuple(sorted(found.values(), key=lambda one: (one.last, one.name)))
