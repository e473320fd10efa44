"""No stock yields a part of this size.

Length is along the grain of the part and of the sheet or board. Where the stock gives no sizes, sheets are judged by the
largest that is commonly sold, as a warning.

Why
    The part cannot be cut from one piece of what is in the shop.
    Source: sheet sizes as sold (hardwood plywood maker list)

Change
    Get a larger sheet or board, let the grain run the other way, or make the part up from pieces.

Bad
    build123: 1
    piece: Long shelf
    units: mm
    sizes: {width: 3200, depth: 200, height: 300}
    stock:
      ply: {sheet: birch plywood, thickness: 18}
    parts:
      side: {pair: left and right, stock: ply, x: from 0, y: 0 to depth, z: 0 to height}
      shelf: {stock: ply, x: left side to right side, y: 0 to depth, z: from 100}
    joints:
      - dado: {of: shelf, in: side, depth: 6}

Good
    build123: 1
    piece: Long shelf
    units: mm
    sizes: {width: 2400, depth: 200, height: 300}
    stock:
      ply: {sheet: birch plywood, thickness: 18}
    parts:
      side: {pair: left and right, stock: ply, x: from 0, y: 0 to depth, z: 0 to height}
      shelf: {stock: ply, x: left side to right side, y: 0 to depth, z: from 100}
    joints:
      - dado: {of: shelf, in: side, depth: 6}
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from build123.checks.registry import check
from build123.checks.seen import Seen
from build123.checks.wording import all_alike, finding
from build123.model.measured import ShapeFacts
from build123.model.part import Part, Stock
from build123.problem import Finding, Severity
from build123.trade.tables import sheets

FULL_MM = 0.01
"""A part as large as its stock is taken to fit."""


@check(severity=Severity.error)
def find(seen: Seen) -> Iterator[Finding]:
    """One finding for each distinct shape that its stock cannot yield."""
    for facts, alike in seen.shapes:
        for stock in {part.stock.name: part.stock for part in alike}.values():
            parts = tuple(part for part in alike if part.stock.name == stock.name)
            length, width, thick = _size(parts[0], facts)
            says, severity = _too_large(seen, stock, length, width), Severity.error
            if thick > stock.thickness_mm + stock.spread_mm / 2 + FULL_MM:
                says = f"is {seen.show(thick)} thick and {stock.name} only {seen.show(stock.thickness_mm)}"
            elif says is None and stock.kind == "sheet" and stock.length_mm is None and stock.width_mm is None:
                says, severity = _no_common_sheet(seen, stock, length, width), Severity.warning
            if says is None:
                continue
            yield finding(
                __name__,
                severity,
                f"{all_alike(parts)} {says}",
                seen,
                parts=[part.name for part in parts],
                at=parts[0].box.middle,
                numbers={"length_mm": length, "width_mm": width, "thickness_mm": thick},
            )


def _size(part: Part, facts: ShapeFacts) -> tuple[float, float, float]:
    """The larger of the planned blank and the measured solid, along the grain, across it and through it."""
    x, y, z = facts.box.size
    return max(part.length_mm, x), max(part.width_mm, y), max(part.thickness_mm, z)


def _too_large(seen: Seen, stock: Stock, length: float, width: float) -> str | None:
    sheet_length, sheet_width = stock.length_mm or math.inf, stock.width_mm or math.inf
    along, across = (sheet_width, sheet_length) if stock.grain == "width" else (sheet_length, sheet_width)
    if _fits(length, width, along, across) or (stock.grain == "none" and _fits(length, width, across, along)):
        return None
    has = " × ".join(seen.show(size) for size in (along, across) if size < math.inf)
    grain = "" if stock.grain == "none" else " along and across the grain" if "×" in has else ""
    return f"needs {seen.show(length)} × {seen.show(width)}{grain}, {stock.name} has {has}"


def _no_common_sheet(seen: Seen, stock: Stock, length: float, width: float) -> str | None:
    for sheet in sheets().values():
        for along, across in ((sheet.length_mm, sheet.width_mm), (sheet.width_mm, sheet.length_mm)):
            if _fits(length, width, along, across):
                return None
    return f"needs {seen.show(length)} × {seen.show(width)} of {stock.name}: no sheet as commonly sold is that large"


def _fits(length: float, width: float, along: float, across: float) -> bool:
    return length <= along + FULL_MM and width <= across + FULL_MM
