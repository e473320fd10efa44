"""What is taken on a sheet: text, arrowheads and lines, in a grid of cells so that a look-up is short."""

from __future__ import annotations

import itertools
import math

from build123.drawing.lettering import Rect, label_box
from build123.drawing.standard import CLEAR_MM
from build123.drawing.vocabulary import Arc, Area, Circle, Label, Line, Polyline, Primitive
from build123.model.frame import Vec2

CELL_MM = 8.0
SMALL_MM = 1.2
"""No text stands inside so small a circle, so its two diameters do for it."""

_Segment = tuple[Vec2, Vec2]


class Space:
    """Collects what is drawn; tells whether a box is free and whether a line crosses text."""

    def __init__(self, area: Rect) -> None:
        self.area = area
        self._boxes: dict[tuple[int, int], list[Rect]] = {}
        self._lines: dict[tuple[int, int], list[_Segment]] = {}

    def add(self, item: Primitive) -> None:
        """Take the room of a primitive."""
        match item:
            case Label():
                self.add_box(label_box(item))
            case Line():
                self.add_line(item.start, item.end)
            case Area():
                xs, ys = [p[0] for p in item.points], [p[1] for p in item.points]
                self.add_box(Rect(min(xs), min(ys), max(xs), max(ys)))
            case Polyline():
                points = [(p[0], p[1]) for p in item.points]
                if item.closed:
                    points.append(points[0])
                for a, b in itertools.pairwise(points):
                    self.add_line(a, b)
            case Circle() | Arc():
                x, y, r = *item.centre, item.radius
                if r < SMALL_MM:
                    self.add_line((x - r, y), (x + r, y))
                    self.add_line((x, y - r), (x, y + r))
                    return
                ring = [(x + r * math.cos(k * math.pi / 6), y + r * math.sin(k * math.pi / 6)) for k in range(13)]
                for a, b in itertools.pairwise(ring):
                    self.add_line(a, b)

    def add_box(self, box: Rect) -> None:
        """Take a box."""
        for cell in _cells(box):
            self._boxes.setdefault(cell, []).append(box)

    def add_line(self, a: Vec2, b: Vec2) -> None:
        """Take a line."""
        if a[0] == b[0] or a[1] == b[1]:
            whole = (a, b)
            for cell in _cells(Rect(min(a[0], b[0]), min(a[1], b[1]), max(a[0], b[0]), max(a[1], b[1]))):
                self._lines.setdefault(cell, []).append(whole)
            return
        steps = max(1, math.ceil(math.hypot(b[0] - a[0], b[1] - a[1]) / CELL_MM))
        for n in range(steps):
            p = (a[0] + (b[0] - a[0]) * n / steps, a[1] + (b[1] - a[1]) * n / steps)
            q = (a[0] + (b[0] - a[0]) * (n + 1) / steps, a[1] + (b[1] - a[1]) * (n + 1) / steps)
            for cell in _cells(Rect(min(p[0], q[0]), min(p[1], q[1]), max(p[0], q[0]), max(p[1], q[1]))):
                self._lines.setdefault(cell, []).append((p, q))

    def free(self, box: Rect) -> bool:
        """Whether text may stand here: nothing within `CLEAR_MM`, and inside the frame."""
        if not box.within(self.area):
            return False
        wide = box.grown(CLEAR_MM)
        for cell in _cells(wide):
            if any(wide.overlaps(other) for other in self._boxes.get(cell, ())):
                return False
            if any(wide.crossed_by(a, b) for a, b in self._lines.get(cell, ())):
                return False
        return True

    def clear(self, a: Vec2, b: Vec2) -> bool:
        """Whether a line crosses no text and no arrowhead."""
        around = Rect(min(a[0], b[0]), min(a[1], b[1]), max(a[0], b[0]), max(a[1], b[1]))
        return not any(box.grown(CLEAR_MM / 2).crossed_by(a, b) for cell in _cells(around) for box in self._boxes.get(cell, ()))


def _cells(box: Rect) -> list[tuple[int, int]]:
    columns = range(math.floor(box.left / CELL_MM), math.floor(box.right / CELL_MM) + 1)
    lines = range(math.floor(box.bottom / CELL_MM), math.floor(box.top / CELL_MM) + 1)
    return [(i, j) for i in columns for j in lines]
