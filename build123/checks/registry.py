"""Where checks are found: every module of this room with a `find` that is decorated with `@check`."""

from __future__ import annotations

import pkgutil
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cache
from importlib import import_module
from typing import TYPE_CHECKING, TypeAlias

from build123.problem import Finding, Severity

if TYPE_CHECKING:
    from build123.checks.seen import Seen

Find: TypeAlias = "Callable[[Seen], Iterator[Finding]]"


@dataclass(frozen=True, slots=True)
class Check:
    """One check. `severity` is the worst that it reports; `last` ones also see what the others found."""

    id: str
    severity: Severity
    find: Find
    last: bool


_checks: dict[str, Check] = {}


def check(*, severity: Severity, last: bool = False) -> Callable[[Find], Find]:
    """Make a function the check of its module: the id is the module's name in kebab-case. ValueError for a second one."""

    def registered(find: Find) -> Find:
        id = id_of(find.__module__)
        if id in _checks:
            raise ValueError(f"{find.__module__} holds a second check called {id}")
        _checks[id] = Check(id, severity, find, last)
        return find

    return registered


def id_of(module: str) -> str:
    """The finding's id for the module of a check."""
    return module.rpartition(".")[2].replace("_", "-")


@cache
def all_checks() -> tuple[Check, ...]:
    """Every check of the room by id, those that come last at the end."""
    import build123.checks as room

    for module in pkgutil.iter_modules(room.__path__, f"{room.__name__}."):
        import_module(module.name)
    return tuple(sorted(_checks.values(), key=lambda one: (one.last, one.id)))
