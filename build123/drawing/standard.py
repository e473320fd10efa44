"""What units bring with them: sheets, scales, projection, text height. Sources in `reference/drawing_standards.md`."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from build123.drawing.vocabulary import Size
from build123.fields.quantity import Units


@dataclass(frozen=True, slots=True)
class Standard:
    """Sheets smallest first, scales largest first (name and factor)."""

    units: Units
    projection: Literal["first", "third"]
    text_mm: float
    sheets: tuple[Size, ...]
    """Small ones first; the last is for a part that has too much to say for the others."""
    scales: tuple[tuple[str, float], ...]
    unit_note: str


METRIC = Standard(
    "mm",
    "first",
    2.5,
    (Size("A4", 297.0, 210.0), Size("A4", 210.0, 297.0), Size("A3", 420.0, 297.0), Size("A2", 594.0, 420.0)),
    tuple((f"1:{k}", 1.0 / k) for k in (1, 2, 5, 10, 20, 50)),
    "all sizes in mm",
)
"""Text 2.5 mm (ISO 3098), scales of ISO 5455, first angle (European custom). A2 only where a part has too much to say for A3."""

INCH = Standard(
    "in",
    "third",
    2.5,
    (Size("Letter", 279.4, 215.9), Size("Letter", 215.9, 279.4), Size("Tabloid", 431.8, 279.4), Size("C", 558.8, 431.8)),
    tuple((f"1:{k}", 1.0 / k) for k in (1, 2, 4, 8, 16, 24)),
    "all sizes in inches",
)
"""Sheets A and B of ASME Y14.1 as a printer has them, C where a part has too much to say, scales of US shop custom, third angle."""

MARGIN_MM = 10.0
FILING_MARGIN_MM = 20.0
"""ISO 5457: 20 mm at the left, 10 mm elsewhere."""
FIRST_LINE_MM = 10.0
NEXT_LINE_MM = 7.0
"""The first dimension line from the outline and the ones after it (ISO custom)."""
GAP_MM = 1.0
"""Between outline and extension line."""
PAST_MM = 2.0
"""How far an extension line passes its dimension line: 8 line widths (ISO 129-1, from memory)."""
ARROW_MM = 3.0
ARROW_HALF_MM = 0.5
"""A filled arrow three times as long as wide."""
FIGURE_OFF_MM = 1.4
"""From a dimension line to the base of its figure, so that what hangs below clears the arrowheads."""
CLEAR_MM = 0.7
"""Least clear space about text."""


def standard(units: str) -> Standard:
    """The standard that goes with the spec's units."""
    return INCH if units == "in" else METRIC
