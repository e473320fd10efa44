"""Names as stems of files that every file system takes."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable
from typing import Final

LONGEST: Final = 60
"""Characters of a file's stem: with folders and endings it stays far below what any file system takes."""

RESERVED: Final = frozenset(
    {"con", "prn", "aux", "nul", "clock", "conin", "conout", "assembly"} | {f"{port}{n}" for port in ("com", "lpt") for n in range(10)}
)
"""Device names of Windows without their signs, taken with any ending (Microsoft, "Naming Files, Paths, and Namespaces"); and
what the drawing of the whole is called."""

_PLAIN: Final = str.maketrans({"ø": "o", "æ": "ae", "œ": "oe", "đ": "d", "ð": "d", "ł": "l", "þ": "th", "ı": "i"})


def slug(name: str, otherwise: str = "part") -> str:
    """A name as the stem of a file: a to z, digits and single hyphens, never empty, never reserved, at most LONGEST long.

    Names that differ only in case, accents or signs give the same stem; `stems` keeps those apart.
    """
    folded = unicodedata.normalize("NFKD", unicodedata.normalize("NFKC", name).casefold().translate(_PLAIN))
    stem = re.sub(r"[^a-z0-9]+", "-", "".join(c for c in folded if not unicodedata.combining(c))).strip("-")
    stem = stem[:LONGEST].rstrip("-") or otherwise
    return f"{otherwise}-{stem}" if stem in RESERVED else stem


def stems(names: Iterable[str], otherwise: str = "part") -> tuple[str, ...]:
    """A stem for each name, all different; a name that makes a clean stem of its own keeps it before others get a number."""
    wanted = [(name, slug(name, otherwise)) for name in names]
    owner: dict[str, int] = {}
    for n, (name, stem) in enumerate(wanted):
        if stem not in owner or (_plainly(name) == stem and _plainly(wanted[owner[stem]][0]) != stem):
            owner[stem] = n
    taken = set(owner)
    made = []
    for n, (_, stem) in enumerate(wanted):
        if owner[stem] != n:
            number = 2
            while (tried := f"{stem[: LONGEST - 6]}-{number}") in taken:
                number += 1
            stem = tried
            taken.add(stem)
        made.append(stem)
    return tuple(made)


def _plainly(name: str) -> str:
    return name.replace(" ", "-")
