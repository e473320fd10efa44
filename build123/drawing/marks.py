"""Marks: lines, regions and points that are laid out and never cut."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from build123.drawing.viewing import Viewing
from build123.drawing.vocabulary import Item, Line, Pen, Polyline
from build123.model.feature import Mark
from build123.model.frame import Vec2

CROSS_MM = 1.2
"""Half the size of a point's cross, on paper."""


def mark_items(mark: Mark, view: Viewing, to_paper: Callable[[Vec2], Vec2]) -> Iterator[Item]:
    """The mark in thin chain lines with double dots."""

    def place(x: float, y: float) -> Vec2:
        return to_paper(view.at(mark.datum.frame.point((x, y, 0.0)))[:2])

    for a, b in mark.lines:
        yield Line(place(*a), place(*b), Pen.phantom)
    for region in mark.regions:
        yield Polyline(tuple((*place(v.x, v.y), v.bulge) for v in region), True, Pen.phantom)
    for point in mark.points:
        x, y = place(*point)
        yield Line((x - CROSS_MM, y), (x + CROSS_MM, y))
        yield Line((x, y - CROSS_MM), (x, y + CROSS_MM))
