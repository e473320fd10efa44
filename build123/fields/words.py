"""The words that a length, a position or an extent is made of, and what may be a name beside them."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Final

from build123.fields.ast import Unit

UNITS: Final[dict[str, Unit]] = {
    "mm": "mm", "cm": "cm", "m": "m",
    "in": "in", "inch": "in", "inches": "in", '"': "in", "''": "in",
    "ft": "ft", "foot": "ft", "feet": "ft", "'": "ft",
    "deg": "deg", "degree": "deg", "degrees": "deg", "°": "deg",
}  # fmt: skip

GRAMMAR: Final[dict[str, str]] = {
    "to": "TO", "from": "FROM", "up": "UP", "for": "FOR", "of": "OF", "on": "ON", "as": "AS", "evenly": "EVENLY",
    "centred": "CENTRED", "centered": "CENTRED", "each": "EACH", "gap": "GAP", "same": "SAME",
    "outside": "OUTSIDE", "level": "LEVEL", "floor": "FLOOR",
}  # fmt: skip

FACES: Final = ("left", "right", "front", "back", "top", "bottom")

NAME_CHARACTERS: Final = 60
"""A name stands in file names and in drawings."""

_SPLITTERS = frozenset({"to", "from", "for", "of", "evenly"})
_OPENERS = frozenset({"up", "outside", "same", "each", "centred", "centered"})
_NAME = re.compile(r"[^\W\d_](?:[ -]?\w)*")


def name_problem(name: str) -> str | None:
    """Why a size, a stock or a part cannot have this name; None where it can.

    Faces' words are free (a part may be called `top`), since they mean a face only before `of` and a part.
    """
    words = name.split(" ")
    if len(name) > NAME_CHARACTERS:
        return f"it has {len(name)} characters; {NAME_CHARACTERS} are allowed"
    if not _NAME.fullmatch(name):
        return "a name starts with a letter and has letters, digits, hyphens and single spaces"
    if name in GRAMMAR or name in UNITS:
        return f"`{name}` means something else in a length or a placement"
    split = next((word for word in words if word in _SPLITTERS), None)
    if split:
        return f"the word `{split}` means something else in a placement"
    if words[0] in _OPENERS:
        return f"a name that starts with `{words[0]}` would be read as a placement"
    return None


def did_you_mean(word: str, known: Iterable[str]) -> str | None:
    """The known name that was most likely meant, or None."""
    from difflib import get_close_matches

    by_lower = {" ".join(name.lower().split()): name for name in sorted(known, reverse=True)}
    lower = " ".join(word.lower().split())
    if lower in by_lower:
        return by_lower[lower]
    near = get_close_matches(lower, by_lower, 1, 0.6) if len(lower) > 1 else []
    return by_lower[near[0]] if near else None


def suggestion(word: str, known: Iterable[str]) -> str:
    """The end of a message: "; did you mean 'shelf'?", or nothing where no known name is near."""
    near = did_you_mean(word, map(str, known))
    return f"; did you mean {near!r}?" if near else ""
