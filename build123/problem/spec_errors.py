"""What is said of each error that a spec can have, from `spec_errors.csv` beside this file."""

from __future__ import annotations

import csv
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

NOTES = frozenset({"as-cut-followed"})
"""Those that only tell what was done."""


@dataclass(frozen=True, slots=True)
class SpecErrorText:
    """One kind of error. `bad` and `good` are the lines in question, empty where there is nothing to show."""

    id: str
    what: str
    change: str
    bad: str
    good: str

    @property
    def severity(self) -> str:
        """What it weighs, in a word."""
        return "note" if self.id in NOTES else "error"


@cache
def spec_errors() -> Mapping[str, SpecErrorText]:
    """All of them by id, sorted. ValueError for an id that stands there twice."""
    text = (files("build123.problem") / "spec_errors.csv").read_text(encoding="utf-8")
    rows = [SpecErrorText(**{key: value.replace("\\n", "\n") for key, value in row.items()}) for row in csv.DictReader(text.splitlines())]
    found = {row.id: row for row in sorted(rows, key=lambda row: row.id)}
    if len(found) != len(rows):
        raise ValueError("spec_errors.csv has an id twice")
    return found
