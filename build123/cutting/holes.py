"""Holes square to a face: a circle for each plain step; slots are pockets with round ends."""

from __future__ import annotations

import math
from collections.abc import Sequence

from build123.cutting.clearing import least_radius_mm
from build123.cutting.flat import flat_of, rings
from build123.cutting.operation import Clear, Cleared, Drilled, Operation, Remark, Side
from build123.cutting.remarks import cone_remark
from build123.cutting.shapes import deep_mm
from build123.cutting.sides import flat, seen
from build123.model.feature import Feature, Hole, Vertex
from build123.model.frame import EXACT_MM, PLAN_MM
from build123.model.part import Part
from build123.trade.cutters import Cutter


def hole_operations(
    part: Part, side: Side, feature: Feature, hole: Hole, cutters: Sequence[Cutter]
) -> tuple[list[Operation], list[Remark]]:
    """What is drilled or milled for a hole; a cone is cut where it starts at the face and left to a remark elsewhere."""
    deep = deep_mm(part, side)
    x, y = flat(side, hole.datum.frame.point((*hole.point, 0.0)))
    at = (round(x, 6) + 0.0, round(y, 6) + 0.0)
    made: list[Operation] = []
    remarks: list[Remark] = []
    above = 0.0
    for n, step in enumerate(hole.steps):
        last = n == len(hole.steps) - 1
        through = (last and hole.through) or step.depth_mm >= deep - PLAN_MM
        depth = deep if through else step.depth_mm
        tip = hole.tip_deg if last and not through else 0.0
        if math.hypot(*hole.slot) > EXACT_MM:
            if step.cone_deg or tip:
                remarks.append(cone_remark(part, feature, hole))
            if not step.cone_deg:
                made.append(_slot(side, hole, step.diameter_mm, depth, through, cutters))
        elif step.cone_deg and above > EXACT_MM:
            remarks.append(cone_remark(part, feature, hole))
        else:
            made.append(Drilled(at, step.diameter_mm, depth, through, step.cone_deg, tip))
        above = step.depth_mm
    return made, remarks


def _slot(side: Side, hole: Hole, diameter_mm: float, depth_mm: float, through: bool, cutters: Sequence[Cutter]) -> Cleared:
    """Two half circles and the straight walls between them."""
    (px, py), (sx, sy), r = hole.point, hole.slot, diameter_mm / 2
    long = math.hypot(sx, sy)
    nx, ny = -sy / long * r, sx / long * r
    a, b = (px - sx / 2, py - sy / 2), (px + sx / 2, py + sy / 2)
    ring = (
        Vertex(a[0] - nx, a[1] - ny),
        Vertex(b[0] - nx, b[1] - ny, 1.0),
        Vertex(b[0] + nx, b[1] + ny),
        Vertex(a[0] + nx, a[1] + ny, 1.0),
    )
    lines = rings(flat_of(seen(side, hole.datum, ring)))
    cutter = next((one for one in cutters if one.diameter_mm <= diameter_mm + PLAN_MM), None)
    return Cleared(Clear.pocket, depth_mm, through, lines, least_radius_mm(lines), False, cutter)
