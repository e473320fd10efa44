"""Holes as a view shows them: circles on the face, hidden outlines with a centre line from the side."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator

from build123.drawing.viewing import Viewing
from build123.drawing.vocabulary import Circle, Item, Line, Pen, Polyline
from build123.model.feature import Hole
from build123.model.frame import Vec, Vec2, add, cross, dot, norm, scale, sub, unit
from build123.model.part import Part

CENTRE_PAST_MM = 1.5
"""A centre line passes the outline by this, on paper; less at a small hole."""

Paper = Callable[[Vec2], Vec2]


def hole_items(part: Part, hole: Hole, view: Viewing, to_paper: Paper, factor: float) -> Iterator[Item]:
    """The lines of one hole. `factor` is the view's scale."""
    frame = hole.datum.frame
    axis = unit(frame.vector(hole.axis))
    mouth = frame.point((*hole.point, 0.0))
    slot = frame.vector((*hole.slot, 0.0))
    along = dot(axis, view.towards)
    depth = _through(part, mouth, axis) if hole.through else hole.steps[-1].depth_mm
    if abs(along) > 0.9999:
        pen = Pen.visible if along < 0 or hole.through else Pen.hidden
        for number, step in enumerate(hole.steps):
            seen = pen if along < 0 or number == len(hole.steps) - 1 else Pen.hidden
            yield _ring(view, mouth, slot, step.diameter_mm / 2, to_paper, factor, seen)
        r = hole.steps[0].diameter_mm / 2 * factor
        r += min(CENTRE_PAST_MM, max(r, 0.4))
        x, y = to_paper(view.at(mouth)[:2])
        yield Line((x - r, y), (x + r, y), Pen.centre)
        yield Line((x, y - r), (x, y + r), Pen.centre)
        return
    across = unit(cross(axis, view.towards))
    half_slot = abs(dot(slot, across)) / 2
    top = 0.0
    for number, step in enumerate(hole.steps):
        last = number == len(hole.steps) - 1
        bottom = depth if last else step.depth_mm
        r = low = step.diameter_mm / 2 + half_slot
        corners = [(-r, top), (-r, bottom), (r, bottom), (r, top)]
        if step.cone_deg:
            following = 0.0 if last else hole.steps[number + 1].diameter_mm / 2
            narrowing = math.tan(math.radians(step.cone_deg / 2))
            until = min(bottom, top + (step.diameter_mm / 2 - following) / narrowing)
            low = r - (until - top) * narrowing
            corners = [(-r, top), (-low, until), (-low, bottom), (low, bottom), (low, until), (r, top)]
        if last and hole.tip_deg and not hole.through:
            point = bottom + (low - half_slot) / math.tan(math.radians(hole.tip_deg) / 2)
            corners[len(corners) // 2 : len(corners) // 2] = [(0.0, point)]
        yield _run(view, mouth, axis, across, corners, to_paper, Pen.hidden)
        if last and hole.tip_deg and not hole.through:
            yield _run(view, mouth, axis, across, [(-low, bottom), (low, bottom)], to_paper, Pen.hidden)
        top = bottom
    past = min(CENTRE_PAST_MM, max(hole.steps[0].diameter_mm / 2 * factor, 0.4)) / factor
    yield _run(view, mouth, axis, across, [(0.0, -past), (0.0, depth + past)], to_paper, Pen.centre)
    if abs(along) > 0.02:
        yield _ellipse(view, mouth, axis, frame.z, hole.steps[0].diameter_mm / 2, to_paper)


def _through(part: Part, mouth: Vec, axis: Vec) -> float:
    """From the mouth to the far side of the blank."""
    far = math.inf
    for k, high in enumerate((part.length_mm, part.width_mm, part.thickness_mm)):
        if abs(axis[k]) > 1e-9:
            far = min(far, max((0.0 - mouth[k]) / axis[k], (high - mouth[k]) / axis[k]))
    return far


def _ring(view: Viewing, mouth: Vec, slot: Vec, radius: float, to_paper: Paper, factor: float, pen: Pen) -> Item:
    if norm(slot) == 0.0:
        return Circle(to_paper(view.at(mouth)[:2]), radius * factor, pen)
    way = view.at(unit(slot))
    nx, ny = -way[1] * radius, way[0] * radius
    a, b = view.at(sub(mouth, scale(slot, 0.5))), view.at(add(mouth, scale(slot, 0.5)))
    corners = [(a[0] - nx, a[1] - ny, 0.0), (b[0] - nx, b[1] - ny, 1.0), (b[0] + nx, b[1] + ny, 0.0), (a[0] + nx, a[1] + ny, 1.0)]
    return Polyline(tuple((*to_paper((x, y)), bulge) for x, y, bulge in corners), True, pen)


def _run(view: Viewing, mouth: Vec, axis: Vec, across: Vec, corners: list[tuple[float, float]], to_paper: Paper, pen: Pen) -> Polyline:
    points = [view.at(add(mouth, add(scale(across, off), scale(axis, deep)))) for off, deep in corners]
    return Polyline(tuple((*to_paper(p[:2]), 0.0) for p in points), False, pen)


def _ellipse(view: Viewing, mouth: Vec, axis: Vec, normal: Vec, radius: float, to_paper: Paper) -> Polyline:
    """The rim of a leaning hole on its surface."""
    u = unit(cross(axis, (0.0, 0.0, 1.0) if abs(axis[2]) < 0.9 else (1.0, 0.0, 0.0)))
    v = cross(axis, u)
    points = []
    for k in range(24):
        p = add(scale(u, radius * math.cos(k * math.pi / 12)), scale(v, radius * math.sin(k * math.pi / 12)))
        p = sub(p, scale(axis, dot(p, normal) / dot(axis, normal)))
        points.append(view.at(add(mouth, p)))
    return Polyline(tuple((*to_paper(p[:2]), 0.0) for p in points), True, Pen.visible)
