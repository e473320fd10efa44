"""Tools of pockets and of profiles along an arris."""

from __future__ import annotations

import math
from functools import partial

from OCP.BRepAlgoAPI import BRepAlgoAPI_Cut
from OCP.TopoDS import TopoDS_Shape

from build123.kernel.blank import RISE_MM, Blank
from build123.kernel.outline import area_mm2, between, bounds, prism, ruled
from build123.kernel.tool import Tool
from build123.kernel.walk import solids_in
from build123.model.feature import Outline, Pocket, Profile, Vertex
from build123.model.frame import EXACT_MM, Frame, Vec, add, cross, dot, norm, scale, sub, unit


def pocket_tools(pocket: Pocket, blank: Blank, feature: str) -> list[Tool]:
    """The solids of a pocket: more than one where an island parts it."""
    frame = pocket.datum.frame
    top = blank.rise(pocket.datum)
    far_side = -blank.reach(frame)[0][2]
    depth = far_side if pocket.depth_mm is None else pocket.depth_mm
    if depth <= EXACT_MM:
        raise ValueError("a pocket from a surface that has no wood behind it")
    drop = blank.drop(frame, depth)
    far = pocket.far_outline if pocket.far_outline is not None else pocket.outline
    _check_ring(pocket.outline)
    _check_ring(far)
    if any(a.bulge != b.bulge for a, b in zip(pocket.outline, far, strict=True)):
        top = drop = 0.0
    floor = -depth - drop
    low, high = between(pocket.outline, far, -floor / depth), between(pocket.outline, far, -top / depth)
    (x0, y0), (x1, y1) = bounds(low)
    (x2, y2), (x3, y3) = bounds(high)
    box = (min(x0, x2), min(y0, y2), floor), (max(x1, x3), max(y1, y3), top)
    if not pocket.islands:
        is_box = low == high and _is_rectangle(low)
        return [Tool(lambda: ruled(low, high, frame, floor, top), frame, *box, feature, is_box)]
    shape = ruled(low, high, frame, floor, top)
    for island in pocket.islands:
        _check_ring(island)
        shape = BRepAlgoAPI_Cut(shape, prism(island, frame, floor - RISE_MM, top + RISE_MM)).Shape()
    return [Tool(partial(_same, solid), frame, *box, feature) for solid in solids_in(shape)]


def _same(solid: TopoDS_Shape) -> TopoDS_Shape:
    return solid


def _is_rectangle(ring: Outline) -> bool:
    """Whether a ring is a rectangle along its frame's axes."""
    (x0, y0), (x1, y1) = bounds(ring)
    return len(ring) == 4 and not any(v.bulge for v in ring) and all(v.x in (x0, x1) and v.y in (y0, y1) for v in ring)


def profile_tool(profile: Profile, blank: Blank, feature: str) -> Tool:
    """The section swept along the arris.

    A section's coordinates go along `u` and `v`, square to one another or not; its arcs are circles. Where the arris
    ends square to a face of the blank, the sweep runs past it.
    """
    along = unit(sub(profile.end, profile.start))
    for name, side in (("u", profile.u), ("v", profile.v)):
        if abs(dot(along, side)) > 1e-6:
            raise ValueError(f"{name} is not square to the arris")
    x = profile.u
    y = cross(along, x)
    frame = Frame(profile.start, x, y, along)
    v_x, v_y = dot(profile.v, x), dot(profile.v, y)
    if abs(v_y) < 1e-6:
        raise ValueError("u and v are one direction")
    section: Outline = tuple(Vertex(c.x + c.y * v_x, c.y * v_y, math.copysign(1.0, v_y) * c.bulge) for c in profile.section)
    if v_y < 0:
        section = _turned(section)
    _check_ring(section)
    low_z = -profile.run_start_mm - _past(blank, add(profile.start, scale(along, -profile.run_start_mm)), scale(along, -1.0))
    end = add(profile.end, scale(along, profile.run_end_mm))
    high_z = norm(sub(profile.end, profile.start)) + profile.run_end_mm + _past(blank, end, along)
    (x0, y0), (x1, y1) = bounds(section)
    return Tool(lambda: prism(section, frame, low_z, high_z), frame, (x0, y0, low_z), (x1, y1, high_z), feature)


def _turned(ring: Outline) -> Outline:
    """The same outline walked the other way; its bulges are of the sides as walked now."""
    back = ring[::-1]
    return tuple(Vertex(a.x, a.y, b.bulge and -b.bulge) for a, b in zip(back, (*back[1:], back[0]), strict=True))


def _past(blank: Blank, p: Vec, along: Vec) -> float:
    square = max(abs(c) for c in along) > 1 - 1e-9
    return RISE_MM if square and blank.leaves(p, along) else 0.0


def _check_ring(ring: Outline) -> None:
    if len(ring) < 2 or area_mm2(ring) <= EXACT_MM:
        raise ValueError("an outline has no area, or runs clockwise")
