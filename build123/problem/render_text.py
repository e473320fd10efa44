"""Findings for a person: what, where, why and what to change. Pieces of lines with styles; colours are the caller's."""

from __future__ import annotations

import textwrap
from collections.abc import Callable, Iterable, Iterator
from itertools import groupby
from typing import Final

from build123.problem.excerpt import Line, Piece, excerpt
from build123.problem.finding import Finding, Place, Severity
from build123.problem.source import Span
from build123.problem.visible import visible

COLUMNS: Final = 120
MORE_PLACES: Final = 4
"""So many further places of one finding are shown; the rest is counted."""


def show_mm(mm: float) -> str:
    """A coordinate in mm, where nobody told the spec's units."""
    return f"{round(mm, 2):g} mm"


def render_text(findings: Iterable[Finding], columns: int = COLUMNS, show: Callable[[float], str] = show_mm) -> str:
    """All findings as plain text, ending in their count; empty for none."""
    return "".join("".join(piece.text for piece in line).rstrip() + "\n" for line in render_lines(findings, columns, show))


def render_lines(
    findings: Iterable[Finding], columns: int = COLUMNS, show: Callable[[float], str] = show_mm, total: bool = True
) -> Iterator[Line]:
    """The lines of `render_text`, the count only with `total`: errors first, waived ones last, those of one id together, each
    reason said once."""
    found = list(findings)
    first = {id: n for n, id in reversed(list(enumerate(one.id for one in found)))}
    ordered = sorted(found, key=lambda one: (bool(one.waived), -one.severity, first[one.id]))
    for (waived, _, _), alike in groupby(ordered, key=lambda one: (bool(one.waived), one.severity, one.id)):
        said: set[str] = set()
        at_place: dict[tuple[Span | None, str], list[Finding]] = {}
        for one in alike:
            at_place.setdefault((one.span, one.waived), []).append(one)
        for same in at_place.values():
            yield from _block(same, columns, show, said, waived)
            yield ()
    if found and total:
        yield (Piece(count(found)),)


def count(findings: Iterable[Finding]) -> str:
    """As "2 errors, 1 warning, 3 waived"; "no findings" for none."""
    found = list(findings)
    live = [one for one in found if not one.waived]
    words = [_many(sum(one.severity is weight for one in live), weight.name) for weight in sorted(Severity, reverse=True)]
    waived = len(found) - len(live)
    return ", ".join(filter(None, [*words, f"{waived} waived" if waived else ""])) or "no findings"


def _many(number: int, word: str) -> str:
    return "" if not number else f"{number} {word}{'' if number == 1 else 's'}"


def _block(same: list[Finding], columns: int, show: Callable[[float], str], said: set[str], waived: bool) -> Iterator[Line]:
    """Findings of one id at one place: a line each, then the excerpt once, then reasons that were not said yet."""
    for one in same:
        style = "note" if waived else one.severity.name
        where = f"{visible(str(one.span))}: " if one.span else ""
        weight = f"waived {one.severity.name}" if waived else one.severity.name
        yield Piece(where, "place"), Piece(f"{weight}[{visible(one.id)}]", style), Piece(f": {visible(one.message)}")
        at = "" if one.at_mm is None else ", ".join(f"{axis} {show(mm)}" for axis, mm in zip("xyz", one.at_mm, strict=True))
        if at and at not in one.message:
            yield Piece(f"{'at':>8}: ", "key"), Piece(at)
    by_span: dict[Span, Place] = {}
    for place in (place for one in same for place in one.places):
        by_span.setdefault(place.span, place)
    places = list(by_span.values())
    style = "note" if waived else same[0].severity.name
    for n, place in enumerate(places[: MORE_PLACES + 1]):
        yield from _place(place, columns, style, n > 0)
    if len(places) > MORE_PLACES + 1:
        yield (Piece(f"        and {len(places) - MORE_PLACES - 1} more places", "place"),)
    for one in same:
        for key, words in (("waived", one.waived), ("why", _sourced(one)), ("change", one.change)):
            if words and f"{key} {words}" not in said:
                said.add(f"{key} {words}")
                yield from _said(key, words, columns)


def _place(place: Place, columns: int, style: str, further: bool) -> Iterator[Line]:
    if further:
        yield (Piece(f"      {visible(str(place.span))}", "place"),)
    yield from excerpt(place.span, place.label, columns, "mark" if further else style)


def _sourced(finding: Finding) -> str:
    return f"{finding.why} (source: {finding.source})" if finding.why and finding.source else finding.why


def _said(key: str, words: str, columns: int) -> Iterator[Line]:
    """A paragraph after its key; lines of a text that has several stay apart."""
    indent = len("  change: ")
    start = f"{key:>8}: "
    for written in words.split("\n"):
        for row in textwrap.wrap(visible(written), max(columns - indent, 40), break_long_words=False, break_on_hyphens=False) or [""]:
            yield Piece(start, "key"), Piece(row)
            start = " " * indent
