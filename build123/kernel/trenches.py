"""Tools of trenches: dados, grooves, rabbets, kerfs, dovetail ways."""

from __future__ import annotations

import math
from dataclasses import dataclass

from OCP.BRepAlgoAPI import BRepAlgoAPI_Common
from OCP.TopoDS import TopoDS_Shape

from build123.kernel.blank import RISE_MM, Blank
from build123.kernel.outline import bounds, prism, ruled, without_doubles
from build123.kernel.tool import Tool
from build123.model.feature import EndKind, Outline, Trench, TrenchEnd, Vertex
from build123.model.frame import EXACT_MM, PLAN_MM, Frame, Vec, Vec2, cross, norm, scale, sub

QUARTER = math.tan(math.pi / 8)
"""The bulge of a quarter circle."""


@dataclass(frozen=True)
class _Channel:
    """A trench in its own frame: x along it from start to end, y to the left, z out of the surface.

    `left` and `right` are the walls at the surface, with the tangents by which they move to the left going down; a side
    without a wall is at `left_edge` or `right_edge` at every depth. `start_x` and `end_x` are where its ends are.
    """

    start_x: float
    end_x: float
    left: float
    right: float
    left_tan: float
    right_tan: float
    left_edge: float | None
    right_edge: float | None
    start_end: TrenchEnd
    end_end: TrenchEnd
    lean_cos: float
    flare_tan: float

    def outline(self, z: float) -> Outline:
        """The plan at height z (negative within the wood), counter-clockwise.

        Round corners keep their share of the width when the walls lean, and go outwards with them when they flare, as the
        cutter that makes them does.
        """
        left = self.left - z * self.left_tan if self.left_edge is None else self.left_edge
        right = self.right - z * self.right_tan if self.right_edge is None else self.right_edge
        start, r0 = self._end(self.start_end, z)
        end, r1 = self._end(self.end_end, z)
        x0, x1 = self.start_x - start, self.end_x + end
        right_wall, left_wall = float(self.right_edge is None), float(self.left_edge is None)
        return (
            *_corner((x0, right), (0.0, 1.0), (1.0, 0.0), r0 * right_wall),
            *_corner((x1, right), (-1.0, 0.0), (0.0, 1.0), r1 * right_wall),
            *_corner((x1, left), (0.0, -1.0), (-1.0, 0.0), r1 * left_wall),
            *_corner((x0, left), (1.0, 0.0), (0.0, -1.0), r0 * left_wall),
        )

    def _end(self, end: TrenchEnd, z: float) -> tuple[float, float]:
        if end.kind is not EndKind.round:
            return 0.0, 0.0
        out = -z * self.flare_tan
        return out, end.radius_mm / self.lean_cos + out


def _corner(at: Vec2, before: Vec2, after: Vec2, r: float) -> tuple[Vertex, ...]:
    """One corner of the plan: the walk comes in on the side `before` of it and goes on to the side `after`."""
    if r == 0.0:
        return (Vertex(*at),)
    first = Vertex(at[0] + before[0] * r, at[1] + before[1] * r, QUARTER)
    return first, Vertex(at[0] + after[0] * r, at[1] + after[1] * r)


def trench_tool(trench: Trench, blank: Blank, feature: str) -> Tool:
    """The solid of a trench; ValueError where its numbers contradict one another."""
    datum = trench.datum
    start = datum.frame.point((*trench.start, 0.0))
    end = datum.frame.point((*trench.end, 0.0))
    run = sub(end, start)
    length = norm(run)
    along = scale(run, 1 / length)
    frame = Frame(start, along, cross(datum.frame.z, along), datum.frame.z)
    channel = _channel(trench, blank, frame, length)
    top = blank.rise(datum)
    scooped = EndKind.scoop in (trench.start_end.kind, trench.end_end.kind)
    floor = -trench.depth_mm - (0.0 if scooped else blank.drop(frame, trench.depth_mm))
    low_plan, high_plan = channel.outline(floor), channel.outline(top)
    scoop = _scoop(trench, channel, floor, top) if scooped else None

    def make() -> TopoDS_Shape:
        shape = ruled(_tidy(low_plan), _tidy(high_plan), frame, floor, top)
        if scoop is None:
            return shape
        ys = [v.y for v in low_plan + high_plan]
        side = Frame(frame.origin, frame.x, frame.z, scale(frame.y, -1.0))
        return BRepAlgoAPI_Common(shape, prism(scoop, side, -max(ys) - RISE_MM, -min(ys) + RISE_MM)).Shape()

    (x0, y0), (x1, y1) = bounds(low_plan)
    (x2, y2), (x3, y3) = bounds(high_plan)
    is_box = not scooped and low_plan == high_plan and len(low_plan) == 4
    return Tool(make, frame, (min(x0, x2), min(y0, y2), floor), (max(x1, x3), max(y1, y3), top), feature, is_box)


def _tidy(outline: Outline) -> Outline:
    """Two quarter circles that meet are one half circle."""
    kept = list(without_doubles(outline))
    for k, vertex in enumerate(kept):
        if vertex.bulge == QUARTER and kept[k - 1].bulge == QUARTER:
            kept[k - 1] = Vertex(kept[k - 1].x, kept[k - 1].y, 1.0)
            return _tidy(tuple(kept[:k] + kept[k + 1 :]))
    return tuple(kept)


def _channel(trench: Trench, blank: Blank, frame: Frame, length: float) -> _Channel:
    lean, flare = math.radians(trench.lean_deg), math.radians(trench.flare_deg)
    half = trench.width_mm / 2 / math.cos(lean)
    low, high = blank.reach(frame)
    middle = length / 2

    def edge(is_open: bool, y: float, out: Vec, beyond: float) -> float | None:
        return beyond if is_open and blank.leaves(frame.point((middle, y, 0.0)), out) else None

    opens = EndKind.open
    runs_out = trench.end_end.kind is opens and blank.leaves(frame.point((length, 0.0, 0.0)), frame.x)
    runs_in = trench.start_end.kind is opens and blank.leaves(frame.origin, scale(frame.x, -1.0))
    channel = _Channel(
        start_x=min(low[0], 0.0) - RISE_MM if runs_in else 0.0,
        end_x=max(high[0], length) + RISE_MM if runs_out else length,
        left=half,
        right=-half,
        left_tan=math.tan(lean + flare),
        right_tan=math.tan(lean - flare),
        left_edge=edge(trench.open_left, half, frame.y, max(high[1], half) + RISE_MM),
        right_edge=edge(trench.open_right, -half, scale(frame.y, -1.0), min(low[1], -half) - RISE_MM),
        start_end=trench.start_end,
        end_end=trench.end_end,
        lean_cos=math.cos(lean),
        flare_tan=math.tan(flare),
    )
    widest = 2 * max(trench.start_end.radius_mm, trench.end_end.radius_mm)
    if EndKind.round in (trench.start_end.kind, trench.end_end.kind) and widest > trench.width_mm + EXACT_MM:
        raise ValueError("a round end has a radius of more than half the width")
    return channel


def _scoop(trench: Trench, channel: _Channel, floor: float, top: float) -> Outline:
    """The trench's profile along its length, in (x along, z up). The surface is cut from start to end."""
    floor0, leave0, bulge0 = _climb(trench.start_end, channel.start_x, 1.0, floor, top)
    floor1, leave1, bulge1 = _climb(trench.end_end, channel.end_x, -1.0, floor, top)
    if floor1 < floor0 - PLAN_MM:
        raise ValueError("the two scooped ends meet above the floor")
    profile = (
        Vertex(leave0[0], top),
        Vertex(*leave0, bulge0),
        Vertex(floor0, floor),
        Vertex(floor1, floor, bulge1),
        Vertex(*leave1),
        Vertex(leave1[0], top),
    )
    return without_doubles(profile)


def _climb(end: TrenchEnd, x: float, inward: float, floor: float, top: float) -> tuple[float, Vec2, float]:
    """One end in (x along, z up): where the floor ends, where the wall is upright from there on, the arc's bulge."""
    if end.kind is not EndKind.scoop:
        return x, (x, floor), 0.0
    radius = end.radius_mm
    centre_z = radius + floor
    centre_x = x + inward * math.sqrt(radius * radius - max(0.0, centre_z) ** 2)
    until = min(top, centre_z)
    out = math.sqrt(radius * radius - (centre_z - until) ** 2)
    angle = math.acos(min(1.0, (centre_z - until) / radius))
    return centre_x, (centre_x - inward * out, until), math.tan(angle / 4)
