"""A few lines of a text with a mark under the place in question."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from build123.problem.source import Span
from build123.problem.visible import cells, visible, width

BEFORE: Final = 0.4
"""The share of a cropped line that stands before the place."""
CUT: Final = "..."


@dataclass(frozen=True, slots=True)
class Piece:
    """A stretch of a line and what it is: "error", "warning", "note", "place", "gutter", "mark", "key", or "" for plain."""

    text: str
    style: str = ""


Line = tuple[Piece, ...]


def excerpt(span: Span, label: str, columns: int, style: str) -> Iterator[Line]:
    """The first line of a span with `^~~~ label` under it. A place past the end of the text gives its last line;
    a text that could not be read gives none."""
    if not span.source.text:
        return
    lines = span.source.lines
    number = min(span.line, len(lines) - 1)
    line = lines[number]
    start = min(span.column, len(line)) if number == span.line else len(line)
    stop = len(line) if span.end_line > span.line else min(span.end_column, len(line))
    shown = cells(line)
    gutter = f"{number + 1:>5} | "
    text, before, under = _cropped(shown, start, max(stop, start), max(columns - len(gutter), 20))
    more = f" (to line {span.end_line + 1})" if span.end_line > span.line + 1 else ""
    said = f" {visible(label)}{more}" if label or more else ""
    yield Piece(gutter, "gutter"), Piece(text)
    yield Piece(" " * (len(gutter) - 2) + "| ", "gutter"), Piece(" " * before), Piece("^" + "~" * (under - 1) + said, style)


def _cropped(shown: list[str], start: int, stop: int, room: int) -> tuple[str, int, int]:
    """The line within `room` columns, the columns before the place, and the columns of the place (at least 1)."""
    text = "".join(shown).rstrip()
    before, under = width("".join(shown[:start])), max(width("".join(shown[start:stop]).rstrip()), 1)
    if max(width(text), before + under) <= room:
        return text, before, under
    first = start
    used = 0
    while first > 0 and used + width(shown[first - 1]) <= room * BEFORE - len(CUT):
        first -= 1
        used += width(shown[first])
    lead = "" if first == 0 else CUT
    last, filled = start, len(lead) + used
    while last < len(shown) and filled + width(shown[last]) <= room - len(CUT):
        filled += width(shown[last])
        last += 1
    tail = "" if last == len(shown) else CUT
    under = max(width("".join(shown[start : min(stop, last)])), 1)
    return lead + "".join(shown[first:last]) + tail, len(lead) + used, under
