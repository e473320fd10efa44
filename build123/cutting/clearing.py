"""Regions to clear: run on past open ends, joined where they are equally deep, and the largest cutter that does each."""

from __future__ import annotations

import math
from collections.abc import Sequence

import shapely

from build123.cutting.flat import Flat, Region, apart, joined, less, rings
from build123.cutting.operation import Clear, Cleared
from build123.cutting.shapes import Opening, Reach, Taken, square_corners
from build123.model.feature import Outline, Vertex
from build123.model.frame import PLAN_MM, Vec2
from build123.trade.cutters import Cutter

SAME_MM2 = 1e-3
"""Regions that differ by no more are one: the rounding of coordinates along some metres."""
PAST_MM = 1.0
"""How far lines run past the edge where no cutter of the table fits."""
TIGHT_MM = 1e-3
"""A cutter fits a trench that is narrower by no more (common practice: cutters are ground closer, sheets are not)."""


def clear(taken: Sequence[Taken], solid: Flat, box: tuple[Vec2, Vec2], cutters: Sequence[Cutter]) -> list[Cleared]:
    """The operations for what is taken from one face, deepest last; `solid` is the part as seen, `box` its blank's corners."""
    run = [_run_out(one, [other for other in taken if other is not one], solid, box, cutters) for one in taken]
    found: list[Cleared] = []
    for depth in sorted({round(one.depth_mm, 4) for one in taken}):
        level = [(one, flat) for one, flat in zip(taken, run, strict=True) if round(one.depth_mm, 4) == depth]
        for piece in apart(joined([flat for _, flat in level])):
            mine = [one for one, flat in level if flat.shape.representative_point().within(piece.shape)]
            kind = Clear.trench if all(one.trench for one in mine) else Clear.pocket
            found.append(_cleared(kind, mine[0].depth_mm, False, piece, solid, cutters))
    return found


def outline(solid: Flat, deep_mm: float, cutters: Sequence[Cutter]) -> list[Cleared]:
    """The cut that frees the part, and cut-outs within it first."""
    found = []
    outer: list[Outline] = []
    for piece in apart(solid):
        outer.append(rings(piece)[0])
        for hole in piece.shape.interiors:
            found.append(_cleared(Clear.pocket, deep_mm, True, Flat(shapely.Polygon(hole), solid.rounds), solid, cutters))
    radii = [_radius(a, b) for ring in outer for a, b in zip(ring, (*ring[1:], ring[0]), strict=True) if a.bulge < 0]
    least = min(radii, default=None)
    square = any(True for ring in outer for _ in square_corners(ring, outwards=True))
    cutter = next((one for one in cutters if least is None or one.radius_mm <= least + TIGHT_MM), None)
    return [*found, Cleared(Clear.outline, deep_mm, True, tuple(outer), least, square, cutter)]


def run_through(one: Taken, solid: Flat, box: tuple[Vec2, Vec2]) -> Flat:
    """What goes through, past the edge where it is open, so that no sliver of the outline is left."""
    return one.flat if one.grown is None else _grown(one, solid.shape, box, PAST_MM)


def _cleared(kind: Clear, depth_mm: float, through: bool, piece: Flat, solid: Flat, cutters: Sequence[Cutter]) -> Cleared:
    lines = rings(piece)
    found = (corner for n, ring in enumerate(lines) for corner in square_corners(ring, outwards=n > 0))
    square = through or any(shapely.Point(corner.at).within(solid.shape.buffer(-10 * PLAN_MM)) for corner in found)
    return Cleared(kind, depth_mm, through, lines, least_radius_mm(lines), square, largest(piece, lines, cutters))


def least_radius_mm(lines: Sequence[Outline]) -> float | None:
    """The smallest inside radius of a region given by its outer ring and its islands."""
    radii = [
        _radius(a, b)
        for n, ring in enumerate(lines)
        for a, b in zip(ring, (*ring[1:], ring[0]), strict=True)
        if (a.bulge < 0 if n else a.bulge > 0)
    ]
    return min(radii, default=None)


def largest(piece: Flat, lines: Sequence[Outline], cutters: Sequence[Cutter]) -> Cutter | None:
    """The largest cutter that gets everywhere but into square corners."""
    least = least_radius_mm(lines)
    for cutter in cutters:
        r = cutter.radius_mm
        if (least is None or r <= least + TIGHT_MM) and _gets_everywhere(piece.shape, lines, r):
            return cutter
    return None


def _gets_everywhere(shape: Region, lines: Sequence[Outline], r: float) -> bool:
    coarse = shape.simplify(TIGHT_MM)
    reached = coarse.buffer(TIGHT_MM / 2 - r).buffer(r - TIGHT_MM / 2)
    left_in_corners = 0.0
    for n, ring in enumerate(lines):
        for corner in square_corners(ring, outwards=n > 0):
            (ux, uy), (vx, vy) = corner.walls
            between = math.acos(max(-1.0, min(1.0, ux * vx + uy * vy)))
            left_in_corners += r * r * (1 / math.tan(between / 2) - (math.pi - between) / 2)
    return bool(coarse.difference(reached).area <= left_in_corners * 1.01 + 0.02 * r * r)


def _radius(a: Vertex, b: Vertex) -> float:
    return math.hypot(b.x - a.x, b.y - a.y) * (1 + a.bulge * a.bulge) / (4 * abs(a.bulge))


def _run_out(one: Taken, others: Sequence[Taken], solid: Flat, box: tuple[Vec2, Vec2], cutters: Sequence[Cutter]) -> Flat:
    """The region with its open ends past the edge by the radius of the largest cutter that then fits."""
    if one.grown is None or not any(one.openings):
        return one.flat
    deeper = [other.flat for other in others if other.depth_mm >= one.depth_mm - PLAN_MM]
    wood = less(solid, deeper).shape
    for cutter in cutters:
        grown = _grown(one, wood, box, cutter.radius_mm)
        lines = rings(grown)
        if largest(grown, lines, [cutter]) is not None:
            return grown
    return _grown(one, wood, box, PAST_MM)


def _grown(one: Taken, wood: Region, box: tuple[Vec2, Vec2], by_mm: float) -> Flat:
    assert one.grown is not None
    reach = [0.0, 0.0, 0.0, 0.0]
    for k, opening in enumerate(one.openings):
        if opening is None:
            continue
        slant = _slant(opening, box)
        if slant is not None:
            reach[k] = by_mm + opening.wide_mm * slant
            continue
        trial = [0.0, 0.0, 0.0, 0.0]
        trial[k] = by_mm
        more = one.grown(_reach(trial)).shape.difference(one.flat.shape)
        if more.intersection(wood).area < SAME_MM2:
            reach[k] = by_mm
    return one.grown(_reach(reach))


def _reach(values: list[float]) -> Reach:
    return (values[0], values[1], values[2], values[3])


def _slant(opening: Opening, box: tuple[Vec2, Vec2]) -> float | None:
    """How much further an opening that leaves by the edge of the blank must run for each mm of its width; None elsewhere."""
    found = []
    for k in range(2):
        out, aside = opening.out[k], opening.out[1 - k]
        at_rim = opening.at[k] >= box[1][k] - PLAN_MM if out > 0 else opening.at[k] <= box[0][k] + PLAN_MM
        if abs(out) > PLAN_MM and at_rim:
            found.append(abs(aside / out))
    return min(found, default=None)
