"""Dimension lines of a placed view: running positions, overall sizes."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Literal

from build123.drawing.expand import BEND_MM
from build123.drawing.layout import Lines, PlacedView, pitch_mm, spread
from build123.drawing.lettering import text_width
from build123.drawing.numbers import Numbers
from build123.drawing.plans import Station
from build123.drawing.standard import ARROW_MM, FIGURE_OFF_MM, PAST_MM, Standard
from build123.drawing.vocabulary import Cover, Group, Label, LinearDimension
from build123.model.frame import Vec2
from build123.model.part import Part

PART = "part"
"""What overall sizes are sizes of."""


MARKED = frozenset(("position", "start", "end"))
"""Shoulders and ends of trenches, which both housings of a part share; holes stand where they are, or their dowels would not go in."""


def dimensions(view: PlacedView, part: Part, standard: Standard, n: Numbers) -> list[Group]:
    """All dimension lines of a view, one group for each position."""
    groups = list(_running(view, view.plan.u, view.across, standard, n))
    groups += _running(view, view.plan.v, view.upright, standard, n)
    if view.overall_u:
        size, name = (part.length_mm, "length") if view.plan.viewing.key == "face" else (part.thickness_mm, "thickness")
        groups.append(_overall(view, view.across, size, name, standard, n))
    if view.overall_v:
        groups.append(_overall(view, view.upright, part.width_mm, "width", standard, n))
    return groups


def _line_at(view: PlacedView, lines: Lines, off: float) -> float:
    box = view.box
    return {"top": box.top + off, "bottom": box.bottom - off, "left": box.left - off, "right": box.right + off}[lines.side]


def _running(view: PlacedView, stations: Sequence[Station], lines: Lines, standard: Standard, n: Numbers) -> Iterable[Group]:
    if not stations:
        return
    level = lines.side in ("top", "bottom")
    k = 0 if level else 1
    corner = view.plan.viewing.at(view.plan.viewing.corner)
    start = view.on_paper((corner[0], corner[1]))
    order = sorted(stations, key=lambda s: s.at)
    places = [view.on_paper((s.at, s.at))[k] for s in order]
    rims = [view.box.left, view.box.right] if level else [view.box.bottom, view.box.top]
    if lines.overall_at < lines.running_at:
        rims = []
    figures = spread(places, pitch_mm(standard), rims)
    bent = any(abs(a - b) > 0.05 for a, b in zip(places, figures, strict=True))
    line_at = _line_at(view, lines, lines.running_at)
    sign = 1.0 if lines.side in ("top", "right") else -1.0
    figure_at = line_at + sign * (PAST_MM + (BEND_MM if bent else 0.0) + 1.0)
    half = standard.text_mm / 2
    others = sorted([start[k], *places])
    for station, place, figure in zip(order, places, figures, strict=True):
        root = station.root[1] if sign > 0 else station.root[0]
        across = view.on_paper((root, root))[1 - k]
        b: Vec2 = (place, across) if level else (across, place)
        marked = view.plan.viewing.key == "face" and all(cover.size in MARKED for cover in station.covers)
        text = n.mark(station.value_mm) if marked else n.length(station.value_mm)
        label = (
            Label(text, (figure + half, figure_at), standard.text_mm, "start" if sign > 0 else "end", 90)
            if level
            else Label(text, (figure_at, figure - half), standard.text_mm, "start" if sign > 0 else "end")
        )
        bend = figure - place if bent else 0.0
        tick = any(1e-6 < abs(place - other) < ARROW_MM + 1.0 for other in others)
        dimension = LinearDimension("running", "x" if level else "y", start, b, line_at, station.value_mm, label, bend, tick=tick)
        yield Group("dimension", (dimension,), tuple(dict.fromkeys(c.feature for c in station.covers)), station.covers)


def _overall(view: PlacedView, lines: Lines, size_mm: float, name: str, standard: Standard, n: Numbers) -> Group:
    level = lines.side in ("top", "bottom")
    box = view.box
    low, high = (box.left, box.right) if level else (box.bottom, box.top)
    edge = {"top": box.top, "bottom": box.bottom, "left": box.left, "right": box.right}[lines.side]
    a: Vec2 = (low, edge) if level else (edge, low)
    b: Vec2 = (high, edge) if level else (edge, high)
    line_at = _line_at(view, lines, lines.overall_at)
    dimension = single(
        "x" if level else "y", a, b, line_at, size_mm, n.length(size_mm), standard.text_mm, "overall", lines.overall_at < lines.running_at
    )
    return Group("dimension", (dimension,), (), (Cover(PART, name),))


def single(
    along: Literal["x", "y"],
    a: Vec2,
    b: Vec2,
    line_at: float,
    value_mm: float,
    text: str,
    height: float,
    kind: Literal["overall", "single", "reference"] = "single",
    outside: bool = False,
) -> LinearDimension:
    """A size with an arrow at both ends, from the lower point `a` to the higher `b`.

    A small one, or one that is to be `outside`, has arrows and figure beyond `b`. The figure of an upright size of a section stands below `a`, where no
    extension line of another passes.
    """
    k = 0 if along == "x" else 1
    low, high = a[k], b[k]
    small = outside or high - low < max(text_width(text, height) + 1.5, 2 * ARROW_MM + 2.0)
    middle, half = (low + high) / 2, height / 2
    if along == "x":
        at = (high + ARROW_MM + 2.5, line_at - half) if small else (middle, line_at + FIGURE_OFF_MM)
    elif kind == "single":
        at = (line_at + half, low - (ARROW_MM if small else 0.0) - 2.5)
    else:
        at = (line_at + half, high + ARROW_MM + 2.5) if small else (line_at - FIGURE_OFF_MM, middle)
    anchor: Literal["start", "middle", "end"] = "start" if small else "middle"
    if along == "y" and kind == "single":
        anchor = "end"
    label = Label(text, at, height, anchor, 0 if along == "x" else 90)
    return LinearDimension(kind, along, a, b, line_at, value_mm, label, outside=small)
