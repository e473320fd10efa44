"""What the worker gives back for one save: a model and then the same with its sheets, or why there is none."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any, Final

from build123.problem import Finding, Severity
from build123.problem.excerpt import excerpt
from build123.problem.render_json import finding_data
from build123.problem.render_text import MORE_PLACES, count

ID: Final = "preview-failed"
COLUMNS: Final = 100
"""Of an excerpt on the page."""


@dataclass(frozen=True)
class Built:
    """A new model, its sheets not drawn yet. `payload` is gzipped JSON; `texts` are the files that it was read from; `counted` counts its findings in
    words; `more` is how many further pieces the file holds."""

    payload: bytes
    texts: tuple[str, ...]
    counted: str
    more: int = 0


@dataclass(frozen=True)
class Broken:
    """No new model. `findings` is a JSON list: each finding with its `excerpt`."""

    findings: str
    texts: tuple[str, ...]
    counted: str


@dataclass(frozen=True)
class Drawn:
    """The model that was built last, with its sheets."""

    payload: bytes


Answer = Built | Broken
"""To what was asked. A `Drawn` may follow it."""


def broken(findings: Iterable[Finding], texts: tuple[str, ...] = ()) -> Broken:
    """Why there is no new model, errors first."""
    found = sorted(findings, key=lambda one: (bool(one.waived), -one.severity))
    return Broken(json.dumps([_told(one) for one in found], allow_nan=False), texts, count(found))


def failed(message: str) -> Finding:
    """The finding for what is no fault of the spec."""
    return Finding(
        ID,
        Severity.error,
        message,
        why="This is a fault of ours: the spec may be right.",
        change="Please report it with the spec. The next save is tried afresh.",
    )


def _told(finding: Finding) -> dict[str, Any]:
    """`excerpt` has the line of each place with a mark under it; places after the first begin with where they are."""
    lines: list[str] = []
    for n, place in enumerate(finding.places[: MORE_PLACES + 1]):
        lines += [str(place.span)] if n else []
        for line in excerpt(place.span, place.label, COLUMNS, ""):
            lines.append("".join(piece.text for piece in line).rstrip())
    return {**finding_data(finding), "excerpt": "\n".join(lines)}
