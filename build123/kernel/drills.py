"""Tools of holes: turned solids about the axis of the drill."""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import partial

from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeFace, BRepBuilderAPI_MakePolygon
from OCP.BRepPrimAPI import BRepPrimAPI_MakeCylinder, BRepPrimAPI_MakePrism, BRepPrimAPI_MakeRevol
from OCP.gp import gp_Ax1, gp_Ax2, gp_Dir, gp_Pnt, gp_Vec
from OCP.TopoDS import TopoDS_Face, TopoDS_Shape

from build123.kernel.blank import RISE_MM, Blank
from build123.kernel.tool import Tool
from build123.model.feature import Hole
from build123.model.frame import EXACT_MM, Frame, Vec, Vec2, add, cross, dot, norm, scale, unit

Turned = tuple[Vec2, ...]
"""Radius and depth (positive into the wood) of the corners of half a section, from the top down; the axis closes it."""


def turned_section(hole: Hole, top_mm: float, through_mm: float) -> Turned:
    """Half the section of a hole that starts `top_mm` above the surface; `through_mm` is where a through hole ends."""
    corners: list[Vec2] = [(hole.steps[0].diameter_mm / 2, -top_mm)]
    depth = 0.0
    for k, step in enumerate(hole.steps):
        last = k == len(hole.steps) - 1
        radius = step.diameter_mm / 2
        floor = through_mm if last and hole.through else step.depth_mm
        if floor <= depth + EXACT_MM:
            raise ValueError(f"step {k + 1} of the hole has no depth")
        _go(corners, radius, depth)
        if step.cone_deg:
            following = 0.0 if last else hole.steps[k + 1].diameter_mm / 2
            slope = math.tan(math.radians(step.cone_deg) / 2)
            cone_floor = min(floor, depth + (radius - following) / slope)
            radius -= (cone_floor - depth) * slope
            _go(corners, radius, cone_floor)
        _go(corners, radius, floor)
        depth = floor
    radius = corners[-1][0]
    if hole.tip_deg and not hole.through and radius > EXACT_MM:
        _go(corners, 0.0, depth + radius / math.tan(math.radians(hole.tip_deg) / 2))
    return tuple(corners)


def _go(corners: list[Vec2], radius: float, depth: float) -> None:
    """The next corner; one that lies on a straight wall is passed over, so that a wall is one face."""
    radius = radius if radius > EXACT_MM else 0.0
    if abs(corners[-1][0] - radius) <= EXACT_MM and abs(corners[-1][1] - depth) <= EXACT_MM:
        return
    if len(corners) > 1 and abs(corners[-1][0] - radius) <= EXACT_MM and corners[-2][0] == corners[-1][0]:
        corners.pop()
        radius = corners[-1][0]
    corners.append((radius, depth))


def turned(section: Turned, at: Vec, axis: Vec, across: Vec, half: bool = False) -> TopoDS_Shape:
    """The solid that a section makes about the axis through `at`.

    `half` makes half of it, from `across` through axis x across to the other side.
    """
    if not half and len(section) == 2 and section[0][0] == section[1][0]:
        base = add(at, scale(axis, section[0][1]))
        place = gp_Ax2(gp_Pnt(*base), gp_Dir(*axis), gp_Dir(*across))
        return BRepPrimAPI_MakeCylinder(place, section[0][0], section[1][1] - section[0][1]).Shape()
    about = gp_Ax1(gp_Pnt(*at), gp_Dir(*axis))
    face = _section_face(section, at, axis, across)
    return BRepPrimAPI_MakeRevol(face, about, math.pi).Shape() if half else BRepPrimAPI_MakeRevol(face, about).Shape()


def _section_face(section: Turned, at: Vec, axis: Vec, across: Vec, both: bool = False) -> TopoDS_Face:
    ring = list(section)
    if both:
        ring += [(-r, d) for r, d in reversed(section) if r > 0]
    else:
        ring = [(0.0, section[0][1]), *ring] + ([(0.0, section[-1][1])] if section[-1][0] > 0 else [])
    polygon = BRepBuilderAPI_MakePolygon()
    for radius, depth in ring:
        polygon.Add(gp_Pnt(*add(at, add(scale(axis, depth), scale(across, radius)))))
    polygon.Close()
    return BRepBuilderAPI_MakeFace(polygon.Wire(), True).Face()


def drill_tools(hole: Hole, blank: Blank, feature: str) -> list[Tool]:
    """The solids of a hole: one, or for a slotted hole two half rounds with what lies between."""
    frame = hole.datum.frame
    axis = unit(frame.vector(hole.axis))
    at = frame.point((*hole.point, 0.0))
    sine = norm(cross(axis, frame.z))
    cosine = -dot(axis, frame.z)
    if cosine <= 1e-3:
        raise ValueError("the axis of the hole does not go into the wood")
    widest = max(step.diameter_mm for step in hole.steps) / 2
    tilt = widest * sine / cosine
    rise = blank.rise(hole.datum)
    slot = frame.vector((*hole.slot, 0.0))
    across = unit(cross(axis, slot)) if norm(slot) > EXACT_MM else _square_to(axis, frame)
    own = Frame(at, across, cross(axis, across), axis)
    far = blank.reach(own)[1][2] + abs(dot(slot, axis)) + tilt + RISE_MM
    section = turned_section(hole, rise + tilt, far)
    depth = section[-1][1]
    if norm(slot) <= EXACT_MM:
        low, high = (-widest, -widest, section[0][1]), (widest, widest, depth)
        return [Tool(partial(turned, section, at, axis, across), own, low, high, feature)]
    half = scale(slot, 0.5)
    first, second = add(at, scale(half, -1.0)), add(at, half)
    run, sink = abs(dot(half, own.y)), abs(dot(half, axis))
    low, high = (-widest, -widest - run, section[0][1] - sink), (widest, widest + run, depth + sink)

    def between() -> TopoDS_Shape:
        return BRepPrimAPI_MakePrism(_section_face(section, first, axis, across, both=True), gp_Vec(*slot)).Shape()

    ends: list[Callable[[], TopoDS_Shape]] = [
        partial(turned, section, first, axis, across, True),
        partial(turned, section, second, axis, scale(across, -1.0), True),
    ]
    return [Tool(make, own, low, high, feature) for make in (*ends, between)]


def _square_to(axis: Vec, frame: Frame) -> Vec:
    side = frame.x if abs(dot(axis, frame.x)) < 0.9 else frame.y
    return unit(add(side, scale(axis, -dot(axis, side))))
