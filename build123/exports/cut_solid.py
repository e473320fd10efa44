"""The solid that the cut files of a part leave, from their layers and depths alone."""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import lru_cache
from typing import TypeAlias

import manifold3d
import numpy as np

from build123.cutting.layers import Meaning
from build123.cutting.operation import Side
from build123.exports.cut_read import Read, Round
from build123.kernel.bodies import near_pairs
from build123.kernel.union_shapes import Floats, frusta, ring
from build123.model.frame import PLAN_MM, Box, Frame, Vec, dot, scale

OVER_MM = 1.0
"""A cutter stands out of the wood by this."""
BOARD_TRIANGLES = 12
Solid: TypeAlias = manifold3d.Manifold


@lru_cache(512)
def rebuilt_mm3(files: tuple[tuple[Side, Read], ...], size: Vec) -> float:
    """The volume that is left of a blank of this size; relief is left out, since it takes more than the part's form.

    The last ones are kept, so that what did not change is not worked out again.
    """
    wood = Solid.cube(list(size))
    cutters: list[Solid] = []
    for side, one in files:
        frame = Frame(scale(side.towards, max(0.0, dot(side.towards, size))), side.right, side.up, side.towards)
        deep = abs(dot(side.towards, size))
        outline = [ring(r.outline) for r in one.rings if r.meaning.kind == "OUTLINE"]
        if outline:
            wood = wood ^ _extruded(outline, -deep - OVER_MM, frame)
        cutters += _of_face(one, frame, deep)
    return float(wood.volume()) - sum(_common_mm3(wood, taken) for taken in _joined(cutters))


def _common_mm3(wood: Solid, taken: Solid) -> float:
    """The wood that a cutter takes; its own volume where it lies inside a plain board."""
    low, high = np.array(wood.bounding_box()).reshape(2, 3)
    at = np.array(taken.bounding_box()).reshape(2, 3)
    inside = wood.num_tri() == BOARD_TRIANGLES and bool((at[0] >= low - PLAN_MM).all() and (at[1] <= high + PLAN_MM).all())
    return float(taken.volume() if inside else (wood ^ taken).volume())


def _joined(cutters: list[Solid]) -> Iterator[Solid]:
    """Cutters that could meet as one body: different ones take different wood, so that their volumes add up."""
    bounds = [cutter.bounding_box() for cutter in cutters]
    group = list(range(len(cutters)))
    for i, j in near_pairs([Box((b[0], b[1], b[2]), (b[3], b[4], b[5])) for b in bounds], PLAN_MM):
        low, high = sorted((group[i], group[j]))
        group = [low if one == high else one for one in group] if low != high else group
    for number in sorted(set(group)):
        mine = [cutter for cutter, one in zip(cutters, group, strict=True) if one == number]
        yield mine[0] if len(mine) == 1 else Solid.batch_boolean(mine, manifold3d.OpType.Add)


def _of_face(one: Read, frame: Frame, deep: float) -> Iterator[Solid]:
    by_layer: dict[Meaning, list[Floats]] = {}
    for found in one.rings:
        if found.meaning.kind != "OUTLINE":
            by_layer.setdefault(found.meaning, []).append(ring(found.outline))
    for what, flat in by_layer.items():
        floor = -deep - OVER_MM if what.through else -(what.depth_mm or 0.0)
        yield from _extruded(flat, floor, frame).decompose()
    for hole in one.circles:
        if hole.meaning.kind == "HOLE":
            yield from _hole(hole, frame, deep)


def _extruded(flat: list[Floats], floor: float, frame: Frame) -> Solid:
    """What an odd number of lines goes round, from a floor to above the face."""
    body = manifold3d.CrossSection(flat, manifold3d.FillRule.EvenOdd).extrude(OVER_MM - floor)
    origin = frame.point((0.0, 0.0, floor))
    return body.transform(np.column_stack([frame.x, frame.y, frame.z, origin]))


def _hole(hole: Round, frame: Frame, deep: float) -> list[Solid]:
    what, r = hole.meaning, hole.radius_mm
    depth = deep + OVER_MM if what.through or what.depth_mm is None else what.depth_mm
    section = [(r, 0.0)]
    if what.cone_deg:
        until = min(depth, r / math.tan(math.radians(what.cone_deg / 2)))
        section.append((r - until * math.tan(math.radians(what.cone_deg / 2)), -until))
    else:
        section.append((r, -depth))
    if what.tip_deg:
        section.append((0.0, -depth - r / math.tan(math.radians(what.tip_deg / 2))))
    at = frame.point((*hole.at, 0.0))
    return frusta(section, Frame(at, frame.x, frame.y, frame.z), [(0.0, 0.0, 0.0)])
