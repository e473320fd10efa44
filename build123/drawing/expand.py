"""Dimensions, leaders and tables as plain lines, areas and labels, for renderers that have nothing better."""

from __future__ import annotations

import math
from collections.abc import Iterator

from typing_extensions import assert_never

from build123.drawing.lettering import fitted, text_width
from build123.drawing.standard import ARROW_HALF_MM, ARROW_MM, GAP_MM, PAST_MM
from build123.drawing.vocabulary import Arc, Area, Circle, Item, Label, Leader, Line, LinearDimension, Pen, Polyline, Primitive, Table
from build123.model.frame import Vec2


def expand(item: Item) -> Iterator[Primitive]:
    """The plain parts of an item; a primitive is its own."""
    match item:
        case LinearDimension():
            yield from _dimension(item)
        case Leader():
            yield from _leader(item)
        case Table():
            yield from _table(item)
        case Line() | Circle() | Arc() | Polyline() | Area() | Label():
            yield item
        case _:
            assert_never(item)


def arrow(tip: Vec2, way: Vec2) -> Area:
    """A filled arrowhead that points along the unit vector `way`."""
    bx, by = tip[0] - way[0] * ARROW_MM, tip[1] - way[1] * ARROW_MM
    nx, ny = -way[1] * ARROW_HALF_MM, way[0] * ARROW_HALF_MM
    return Area((tip, (bx + nx, by + ny), (bx - nx, by - ny)))


def _dimension(d: LinearDimension) -> Iterator[Primitive]:
    k = 0 if d.along == "x" else 1

    def on_paper(along: float, across: float) -> Vec2:
        return (along, across) if k == 0 else (across, along)

    a, b = d.a[k], d.b[k]
    side = math.copysign(1.0, d.line_at - d.b[1 - k])
    past = d.line_at + side * PAST_MM
    way = math.copysign(1.0, b - a)
    start = d.b[1 - k] + side * GAP_MM
    # A dimension within its feature's walls needs no extension lines.
    apart = abs(d.line_at - d.b[1 - k]) > GAP_MM
    if apart:
        yield Line(on_paper(b, start), on_paper(b, past))
    if d.kind == "running":
        if d.bend:
            yield Line(on_paper(b, past), on_paper(b + d.bend, past + side * BEND_MM))
        yield Circle(on_paper(a, d.line_at), 0.8)
        yield Line(on_paper(a + way * 0.8, d.line_at), on_paper(b, d.line_at))
        if d.tick:
            yield Line(on_paper(b - 1.0, d.line_at - 1.0), on_paper(b + 1.0, d.line_at + 1.0))
        else:
            yield arrow(on_paper(b, d.line_at), on_paper(way, 0.0))
    else:
        if apart:
            yield Line(on_paper(a, d.a[1 - k] + side * GAP_MM), on_paper(a, past))
        reach = way * (ARROW_MM + 1.5) if d.outside else 0.0
        yield Line(on_paper(a - reach, d.line_at), on_paper(b + reach, d.line_at))
        turned = -way if d.outside else way
        yield arrow(on_paper(a, d.line_at), on_paper(-turned, 0.0))
        yield arrow(on_paper(b, d.line_at), on_paper(turned, 0.0))
    yield d.label


BEND_MM = 3.0
"""Length over which a crowded extension line turns to its figure."""


def _leader(leader: Leader) -> Iterator[Primitive]:
    for a, b in zip(leader.points, leader.points[1:], strict=False):
        yield Line(a, b)
    tip, after = leader.points[0], leader.points[1]
    if leader.ends_in == "dot":
        yield Area(tuple((tip[0] + 0.5 * math.cos(t * math.pi / 4), tip[1] + 0.5 * math.sin(t * math.pi / 4)) for t in range(8)))
        return
    length = math.hypot(tip[0] - after[0], tip[1] - after[1]) or 1.0
    yield arrow(tip, ((tip[0] - after[0]) / length, (tip[1] - after[1]) / length))


CELL_MM = 1.2
"""Between a table's line and its text."""


def column_widths(rows: tuple[tuple[str, ...], ...], text_height: float, most: float) -> tuple[float, ...]:
    """Widths that hold every text of a table, none wider than `most`."""
    columns = range(len(rows[0]))
    return tuple(min(most, max(text_width(row[k], text_height, n == 0) for n, row in enumerate(rows)) + 2 * CELL_MM) for k in columns)


def _table(table: Table) -> Iterator[Primitive]:
    x, y = table.at
    width = sum(table.widths)
    if table.title:
        yield Label(table.title, (x, y + CELL_MM), table.text_height, bold=True)
    bottom = y - table.row_height * len(table.rows)
    for n in range(len(table.rows) + 1):
        if n < len(table.rows) and not table.rows[n][0]:
            continue
        level = y - n * table.row_height
        yield Line((x, level), (x + width, level), Pen.visible if n in (0, 1, len(table.rows)) else Pen.thin)
    at = x
    for wide in (0.0, *table.widths):
        at += wide
        yield Line((at, y), (at, bottom))
    for n, row in enumerate(table.rows):
        base = y - n * table.row_height - (table.row_height + table.text_height) / 2
        at = x
        for text, wide in zip(row, table.widths, strict=True):
            shown = fitted(text, table.text_height, wide - 2 * CELL_MM + 0.01, n == 0)
            if shown:
                yield Label(shown, (at + CELL_MM, base), table.text_height, bold=n == 0)
            at += wide
