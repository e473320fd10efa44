"""Overall and clear sizes of the piece, placed on its views."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Literal

from build123.drawing.expand import column_widths, expand
from build123.drawing.lettering import Rect, label_box, text_width
from build123.drawing.numbers import Numbers
from build123.drawing.piece_lines import Place
from build123.drawing.piece_openings import Clear
from build123.drawing.space import Space
from build123.drawing.standard import ARROW_MM, CLEAR_MM, FIGURE_OFF_MM, Standard
from build123.drawing.vocabulary import Group, Item, Label, LinearDimension, Table

OFF_MM = 16.0
"""From the outline to the line of an overall size: the ends of cutting planes lie between."""
ALONG_MM = 4.0
"""A dimension line keeps this far from a cutting plane that it runs along."""
TRIED = 12
"""Openings of one size that are tried for a place."""
ROW_MM = 5.2
SHARES = (0.22, 0.35, 0.5, 0.12, 0.65, 0.78)


def take(space: Space, items: Iterable[Item]) -> None:
    """Take the room of items."""
    for item in items:
        for primitive in expand(item):
            space.add(primitive)


def overall(box: Rect, side: Literal["left", "right", "top", "bottom"], size_mm: float, norm: Standard) -> Group:
    """The size of a view's box, on one side of it."""
    level = side in ("top", "bottom")
    text, height = Numbers(norm.units).length(size_mm), norm.text_mm
    line_at = {"left": box.left - OFF_MM, "right": box.right + OFF_MM, "top": box.top + OFF_MM, "bottom": box.bottom - OFF_MM}[side]
    low, high = (box.left, box.right) if level else (box.bottom, box.top)
    edge = {"left": box.left, "right": box.right, "top": box.top, "bottom": box.bottom}[side]
    small = high - low < max(text_width(text, height) + 1.5, 2 * ARROW_MM + 2.0)
    middle = (low + high) / 2
    if level:
        at = (middle, line_at + FIGURE_OFF_MM) if not small else (high + ARROW_MM + 2.5, line_at - height / 2)
    else:
        at = (line_at - FIGURE_OFF_MM, middle) if not small else (line_at + height / 2, high + ARROW_MM + 2.5)
    label = Label(text, at, height, "start" if small else "middle", 0 if level else 90)
    a, b = ((low, edge), (high, edge)) if level else ((edge, low), (edge, high))
    return Group("dimension", (LinearDimension("overall", "x" if level else "y", a, b, line_at, size_mm, label, outside=small),))


def clear(
    space: Space, sizes: Sequence[Clear], place: Place, norm: Standard, planes: Mapping[str, float]
) -> tuple[list[Group], list[Clear]]:
    """Clear sizes in brackets within their openings, widths first; and those that found no room.

    `planes` are the places on paper, across x and across y, of cutting planes that a dimension line would run along.
    """
    groups: list[Group] = []
    homeless: list[Clear] = []
    n = Numbers(norm.units)
    for size in sorted(sizes, key=lambda one: one.along):
        text = f"({n.length(size.size_mm)})"
        text = f"{size.count} × {text}" if size.count > 1 else text
        boxes = [place.box(o.low, o.high) for o in size.openings[:TRIED]]
        found = next(
            (
                d
                for box in boxes
                for d in _places(box, size, text, norm)
                if abs(d.line_at - planes.get(d.along, math.inf)) > ALONG_MM and _free(space, d)
            ),
            None,
        )
        if found is None:
            homeless.append(size)
            continue
        take(space, [found])
        groups.append(Group("dimension", (found,)))
    return groups, homeless


def clear_table(space: Space, sizes: Sequence[Clear], norm: Standard) -> list[Group]:
    """The clear sizes that found no room in the view, as a table wherever the sheet is free."""
    if not sizes:
        return []
    n = Numbers(norm.units)
    rows = [("clear", "size", "count")]
    rows += [("width" if s.along == "x" else "height", n.length(s.size_mm), str(s.count)) for s in sizes]
    cells = tuple(rows)
    widths = column_widths(cells, norm.text_mm, 40.0)
    wide, tall = sum(widths), ROW_MM * len(cells)
    area = space.area
    for x in range(math.ceil(area.left) + 2, math.floor(area.right - wide), 4):
        for y in range(math.floor(area.top) - 2, math.ceil(area.bottom + tall), -4):
            if space.free(Rect(x - 1.0, y - tall - 1.0, x + wide + 1.0, y + 1.0)):
                table = Table((float(x), float(y)), widths, ROW_MM, norm.text_mm, cells)
                take(space, [table])
                return [Group("table", (table,))]
    return []


def _places(box: Rect, size: Clear, text: str, norm: Standard) -> Iterator[LinearDimension]:
    height = norm.text_mm
    wide = text_width(text, height)
    level = size.along == "x"
    low, high = (box.left, box.right) if level else (box.bottom, box.top)
    across_low, across_high = (box.bottom, box.top) if level else (box.left, box.right)
    if high - low < 2 * ARROW_MM + 1.0 or (level and high - low < wide + 1.0):
        return
    for share in SHARES:
        line_at = across_low + (across_high - across_low) * share
        for along in (0.5, 0.3, 0.7, 0.15, 0.85):
            middle = min(max(low + (high - low) * along, low + wide / 2 + 0.5), high - wide / 2 - 0.5)
            at = (middle, line_at + FIGURE_OFF_MM) if level else (line_at - FIGURE_OFF_MM, middle)
            label = Label(text, at, height, "middle", 0 if level else 90)
            if not level and high - low < wide + 1.0:
                label = Label(text, (line_at + 1.2, low + (high - low) * along - height / 2), height)
                if label.at[0] + wide > across_high - 1.0:
                    continue
            a, b = ((low, line_at), (high, line_at)) if level else ((line_at, low), (line_at, high))
            yield LinearDimension("reference", "x" if level else "y", a, b, line_at, size.size_mm, label)


def _free(space: Space, d: LinearDimension) -> bool:
    x, y = d.a, d.b
    heads = Rect(min(x[0], y[0]), min(x[1], y[1]), max(x[0], y[0]), max(x[1], y[1])).grown(0.6)
    inner = Rect(heads.left + 1.5, heads.bottom, heads.right - 1.5, heads.top) if d.along == "x" else Rect(
        heads.left, heads.bottom + 1.5, heads.right, heads.top - 1.5
    )  # fmt: skip
    return space.free(label_box(d.label)) and space.clear(d.a, d.b) and not _hit(space, inner)


def _hit(space: Space, box: Rect) -> bool:
    """Whether text stands in a box; lines may cross a dimension line."""
    return not (space.clear((box.left, box.bottom), (box.right, box.top)) and box.grown(CLEAR_MM).within(space.area))
