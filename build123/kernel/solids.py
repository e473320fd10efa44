"""Solids of parts and hardware, in their own frames (mm)."""

from __future__ import annotations

import math
from collections.abc import Sequence

import cadquery as cq
from OCP.BRepAlgoAPI import BRepAlgoAPI_Cut
from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox, BRepPrimAPI_MakeCylinder
from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt
from OCP.ShapeUpgrade import ShapeUpgrade_UnifySameDomain
from OCP.Standard import Standard_Failure
from OCP.TopoDS import TopoDS_Solid
from OCP.TopTools import TopTools_ListOfShape
from typing_extensions import assert_never

from build123.kernel.blank import Blank
from build123.kernel.cells import carved
from build123.kernel.drills import turned
from build123.kernel.fault import CutApart, KernelFault
from build123.kernel.holes import bored, clear_of, with_holes
from build123.kernel.rings import closed_solid
from build123.kernel.sane import floats, wrong_with
from build123.kernel.tangent import narrowed
from build123.kernel.tool import Tool
from build123.kernel.tools import tools_of
from build123.kernel.walk import solids_in
from build123.model.feature import Feature, Hole
from build123.model.frame import EXACT_MM, PLAN_MM
from build123.model.part import Block, Hardware, Part, Rod, Screw, Staple

FAILURES = (Standard_Failure, RuntimeError, ValueError, LookupError, ZeroDivisionError)
"""What the kernel and the making of tools raise."""


def solid_of(part: Part) -> cq.Solid:
    """The part's solid in its bench frame: the blank minus the union of its features.

    Boxes square to the bench are carved by cells, all else in one boolean cut, plain holes that are clear of everything are
    put into the faces last. Raises KernelFault.
    """
    size = (part.length_mm, part.width_mm, part.thickness_mm)
    if not all(map(math.isfinite, floats(size))) or min(size) <= EXACT_MM:
        raise KernelFault(part.name, (), "blank", f"a size of {' x '.join(f'{s:g}' for s in size)} mm")
    for feature in part.features:
        if wrong := wrong_with(feature.geometry):
            raise KernelFault(part.name, (feature.about.id,), "reading the feature", wrong)
    blank = Blank(*size)
    tools: list[Tool] = []
    plain = []
    drilled = []
    for feature in part.features:
        try:
            if (hole := bored(feature, blank)) is not None:
                plain.append(hole)
            elif isinstance(feature.geometry, Hole):
                drilled.append(feature)
            else:
                tools += tools_of(feature, blank)
        except FAILURES as fault:
            raise KernelFault(part.name, (feature.about.id,), "making the tool", _said(fault)) from fault
    clear = clear_of(plain, [*tools, *_drills(part, drilled, blank)])
    drilled += [hole.feature for hole, is_clear in zip(plain, clear, strict=True) if not is_clear]
    holes = [hole for hole, is_clear in zip(plain, clear, strict=True) if is_clear]
    if drilled:
        tools += _drills(part, narrowed(drilled, tools, blank), blank)
    try:
        faces = carved(size, [tool.bench_box for tool in tools if tool.square_box])
        rest = tools if faces is None else [tool for tool in tools if not tool.square_box]
        solid = BRepPrimAPI_MakeBox(*size).Solid() if faces is None else closed_solid(faces)
    except FAILURES as fault:
        raise KernelFault(part.name, _ids(part.features), "carving", _said(fault)) from fault
    if rest:
        solid = _cut(part, solid, rest, unify=_touching(tools))
    if holes:
        try:
            solid = with_holes(solid, holes)
        except FAILURES as fault:
            raise KernelFault(part.name, _ids([h.feature for h in holes]), "drilling", _said(fault)) from fault
    return cq.Solid(solid)


def _drills(part: Part, holes: Sequence[Feature], blank: Blank) -> list[Tool]:
    tools: list[Tool] = []
    for feature in holes:
        try:
            tools += tools_of(feature, blank)
        except FAILURES as fault:
            raise KernelFault(part.name, (feature.about.id,), "making the tool", _said(fault)) from fault
    return tools


def _cut(part: Part, blank: TopoDS_Solid, tools: Sequence[Tool], unify: bool) -> TopoDS_Solid:
    """One cut with all tools, as a list (tools that overlap within one compound leave wood standing)."""
    ids = tuple(dict.fromkeys(tool.feature for tool in tools))
    wood, cutters = TopTools_ListOfShape(), TopTools_ListOfShape()
    wood.Append(blank)
    for tool in tools:
        cutters.Append(tool.make())
    try:
        cut = BRepAlgoAPI_Cut()
        cut.SetArguments(wood)
        cut.SetTools(cutters)
        cut.SetToFillHistory(False)
        cut.Build()
        if not cut.IsDone():
            raise KernelFault(part.name, ids, "cutting", "the kernel did not finish")
        shape = cut.Shape()
        if unify:
            joined = ShapeUpgrade_UnifySameDomain(shape, True, True, False)
            joined.Build()
            shape = joined.Shape()
    except FAILURES as fault:
        raise KernelFault(part.name, ids, "cutting", _said(fault)) from fault
    solids = solids_in(shape)
    if len(solids) != 1:
        cause = "no wood is left" if not solids else f"the wood falls into {len(solids)} pieces"
        raise CutApart(part.name, ids, "cutting", cause)
    return solids[0]


def _touching(tools: Sequence[Tool]) -> bool:
    """Whether any two tools could touch, which is when one face of the wood can come out in two pieces."""
    boxes = [tool.bench_box for tool in tools]
    for n, (low, high) in enumerate(boxes):
        for other_low, other_high in boxes[:n]:
            if all(low[k] <= other_high[k] + PLAN_MM and other_low[k] <= high[k] + PLAN_MM for k in range(3)):
                return True
    return False


def solid_of_hardware(hardware: Hardware) -> cq.Solid:
    """The solid of a thing that is bought, in its own frame. Raises KernelFault."""
    solid = hardware.solid
    sizes = [size for size in floats(solid) if size != 0.0 or not isinstance(solid, Screw)]
    if not all(map(math.isfinite, sizes)) or min(sizes) <= EXACT_MM:
        raise KernelFault(hardware.name, (), "hardware", f"sizes of {' x '.join(f'{s:g}' for s in sizes)} mm")
    match solid:
        case Rod():
            axis = gp_Ax2(gp_Pnt(0, 0, 0), gp_Dir(0, 0, 1))
            return cq.Solid(BRepPrimAPI_MakeCylinder(axis, solid.diameter_mm / 2, solid.length_mm).Solid())
        case Block():
            return cq.Solid(BRepPrimAPI_MakeBox(*solid.size_mm).Solid())
        case Screw():
            return cq.Solid(turned(solid.section, (0.0, 0.0, 0.0), (0.0, 0.0, 1.0), (1.0, 0.0, 0.0)))
        case Staple():
            return _bent(solid)
        case _:
            assert_never(solid)


def _bent(staple: Staple) -> cq.Solid:
    wire, out, inner = staple.wire_mm, staple.crown_mm / 2, staple.crown_mm / 2 - staple.wire_mm
    corners = [(-out, 0), (out, 0), (out, staple.length_mm), (inner, staple.length_mm), (inner, wire), (-inner, wire)]
    corners += [(-inner, staple.length_mm), (-out, staple.length_mm)]
    wires = cq.Wire.makePolygon([cq.Vector(x, -wire / 2, z) for x, z in corners], close=True)
    return cq.Solid.extrudeLinear(wires, [], cq.Vector(0, wire, 0))


def _ids(features: Sequence[Feature]) -> tuple[str, ...]:
    return tuple(feature.about.id for feature in features)


def _said(fault: BaseException) -> str:
    return str(fault).strip() or type(fault).__name__
