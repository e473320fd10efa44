"""Which woods of the table a material may mean, by what the stock is called."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Literal

from build123.trade.tables import Species, panels, species

Rings = Literal["flat-sawn", "quarter-sawn"]
"""How the growth rings lie across the width of a board: along it (tangential) or through it (radial)."""

_SAWN: tuple[tuple[Rings, str], ...] = (
    ("quarter-sawn", r"\bquarter(?:ed\b|[- ]?sawn\b)"),
    ("flat-sawn", r"\b(?:flat|plain)[- ]?sawn\b"),
)


@dataclass(frozen=True, slots=True)
class Meant:
    """The woods a name may mean, in the order of the table, and the rings it tells of ("quarter-sawn white oak").

    `known` is False where only a part of the name is in the table ("European oak").
    """

    woods: tuple[Species, ...]
    known: bool
    rings: Rings | None


def woods_meant(material: str) -> Meant:
    """The woods called so: by the whole name, or by the kind ("oak") with as many of the other words as fit.

    None at all for a wood that is not in the table, and for a sheet of it.
    """
    called, rings = _sawn(material.lower())
    if panel_meant(material) is not None:
        return Meant((), False, rings)
    own = tuple(wood for wood in species().values() if wood.name.lower() == called)
    if own:
        return Meant(own, True, rings)
    said = _words(called)
    counts = {wood.id: _fitting(wood, said) for wood in species().values() if _of_kind(wood, said)}
    most = max(counts.values(), default=0)
    return Meant(tuple(species()[name] for name, count in counts.items() if count == most), 0 < most == len(said), rings)


def panel_meant(material: str) -> str | None:
    """The sheet material of the table that is named in a name ("walnut plywood" is a plywood); None where it is none of them."""
    said = " ".join(["", *_words(material.lower()), ""])
    return max((name for name in panels() if f" {name} " in said), key=len, default=None)


def _sawn(name: str) -> tuple[str, Rings | None]:
    """The name without what it says of the rings, and that."""
    for rings, pattern in _SAWN:
        rest, found = re.subn(pattern, " ", name)
        if found:
            return " ".join(rest.split()), rings
    return " ".join(name.split()), None


def _of_kind(wood: Species, said: list[str]) -> bool:
    """Whether the noun of a wood's name was said: oak of "red oak", birch of "birch, yellow", cedar of "western redcedar"."""
    noun = _words(wood.name.lower().split(" (")[0].split(",")[0])[-1]
    return any(len(word) >= len("ash") and noun.endswith(word) for word in said)


def _fitting(wood: Species, said: list[str]) -> int:
    own = _words(wood.name.lower())
    return sum(any(name.startswith(word) or name.endswith(word) for name in own) for word in said)


def _words(name: str) -> list[str]:
    return re.findall(r"[^\W\d_]+", name)
