"""Strokes of a picture as lines and arcs on paper; what would lie on one another is drawn once."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from build123.drawing.lettering import Rect
from build123.drawing.piece_look import Stroke
from build123.drawing.vocabulary import Arc, Circle, Item, Line, Pen, Polyline
from build123.model.frame import Vec2

BLUR_MM = 0.2
"""Parallel lines nearer than this are one line on paper: less than half the width of the pen."""
CRUMB_MM = 0.1
"""A shorter stretch is a dot of the pen."""


@dataclass(frozen=True, slots=True)
class Place:
    """Where a picture lies: `origin` is its (0, 0) on paper, one mm of wood is `scale` mm."""

    origin: Vec2
    scale: float

    def at(self, p: Sequence[float]) -> Vec2:
        """A point of the picture on paper."""
        return (self.origin[0] + p[0] * self.scale, self.origin[1] + p[1] * self.scale)

    def box(self, low: Sequence[float], high: Sequence[float]) -> Rect:
        """A box of the picture on paper."""
        return Rect(*self.at(low), *self.at(high))


def drawn(strokes: Iterable[Stroke], place: Place, pen: Pen = Pen.visible) -> list[Item]:
    """The strokes on paper, the longest first where some coincide."""
    lines: list[tuple[Vec2, Vec2]] = []
    curves: dict[tuple[float, ...], Item] = {}
    for stroke in strokes:
        points = [place.at(p) for p in stroke.points]
        if len(points) == 2 and stroke.arc is None:
            lines.append((points[0], points[1]))
        elif sum(math.dist(a, b) for a, b in itertools.pairwise(points)) >= CRUMB_MM:
            item = _curve(stroke, points, place, pen)
            curves.setdefault(tuple(round(c, 3) for p in (points[0], points[len(points) // 2], points[-1]) for c in p), item)
    return [*(Line(a, b, pen) for a, b in apart(lines)), *curves.values()]


def _curve(stroke: Stroke, points: Sequence[Vec2], place: Place, pen: Pen) -> Item:
    if stroke.arc is None:
        return Polyline(tuple((x, y, 0.0) for x, y in points), pen=pen)
    centre, radius, begin, end = stroke.arc
    if abs(end - begin) > math.tau - 1e-6:
        return Circle(place.at(centre), radius * place.scale, pen)
    low, high = sorted((begin, end))
    return Arc(place.at(centre), radius * place.scale, math.degrees(low) % 360.0, math.degrees(high) % 360.0, pen)


def apart(lines: Iterable[tuple[Vec2, Vec2]]) -> Iterator[tuple[Vec2, Vec2]]:
    """Straight lines, long ones first, less those stretches that would run along one that is there."""
    kept: dict[tuple[int, int], list[tuple[float, float, float]]] = {}
    for a, b in sorted(lines, key=lambda line: (-round(math.dist(*line), 3), line)):
        length = math.dist(a, b)
        if length < CRUMB_MM:
            continue
        ux, uy = (b[0] - a[0]) / length, (b[1] - a[1]) / length
        if ux < -1e-6 or (abs(ux) <= 1e-6 and uy < 0):
            a, b, ux, uy = b, a, -ux, -uy
        off = ux * a[1] - uy * a[0]
        low = ux * a[0] + uy * a[1]
        angle, band = round(math.atan2(uy, ux) * 500), math.floor(off / BLUR_MM)
        there = [
            (other_low, other_high)
            for turn in (angle - 1, angle, angle + 1)
            for row in (band - 1, band, band + 1)
            for other, other_low, other_high in kept.get((turn, row), ())
            if abs(other - off) < BLUR_MM
        ]
        for start, end in _left(low, low + length, there):
            kept.setdefault((angle, band), []).append((off, start, end))
            yield (ux * start - uy * off, uy * start + ux * off), (ux * end - uy * off, uy * end + ux * off)


def _left(low: float, high: float, there: list[tuple[float, float]]) -> Iterator[tuple[float, float]]:
    at = low
    for start, end in sorted(there):
        if start - CRUMB_MM > at:
            yield at, min(start, high)
        at = max(at, end)
        if at >= high:
            return
    if high - at > CRUMB_MM:
        yield at, high


def clipped(a: Vec2, b: Vec2, window: Rect) -> tuple[Vec2, Vec2] | None:
    """The stretch of a line that lies in a window (Liang and Barsky)."""
    enter, leave = 0.0, 1.0
    for start, step, low, high in ((a[0], b[0] - a[0], window.left, window.right), (a[1], b[1] - a[1], window.bottom, window.top)):
        if abs(step) < 1e-12:
            if start < low or start > high:
                return None
            continue
        first, last = sorted(((low - start) / step, (high - start) / step))
        enter, leave = max(enter, first), min(leave, last)
        if enter >= leave:
            return None

    def at(t: float) -> Vec2:
        return (a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t)

    return at(enter), at(leave)
