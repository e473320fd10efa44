"""Names of layers: operation and depth from the face that is up, in mm.

    OUTLINE_THROUGH_18.0   TRENCH_6.0   POCKET_9.5   POCKET_THROUGH_18.0   RELIEF_6.0   RELIEF_THROUGH_18.0
    HOLE_D5.0_Z12.0   HOLE_D5.0_THROUGH   HOLE_D8.0_Z25.0_TIP118.0   HOLE_D10.0_Z2.5_CONE90.0   INFO

A tip is the point of the bit below that depth; a cone narrows from the diameter at the face. Letters, digits, points and low lines
stand in every version of DXF from R2000 on.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from typing_extensions import assert_never

from build123.cutting.figures import figure
from build123.cutting.operation import Cleared, Drilled, Operation, Relieved

INFO = "INFO"

COLOURS = {"OUTLINE": 1, "TRENCH": 5, "POCKET": 4, "HOLE": 3, "RELIEF": 6, INFO: 8}
"""AutoCAD colour index; the names say the same, so nothing hangs on it."""


def layer(operation: Operation) -> str:
    """The layer of an operation."""
    match operation:
        case Cleared():
            return f"{operation.kind.value}_{_depth(operation.through, operation.depth_mm)}"
        case Relieved():
            return f"RELIEF_{_depth(operation.through, operation.depth_mm)}"
        case Drilled():
            deep = "THROUGH" if operation.through else f"Z{figure(operation.depth_mm)}"
            name = f"HOLE_D{figure(operation.diameter_mm)}_{deep}"
            name += f"_CONE{figure(operation.cone_deg)}" if operation.cone_deg else ""
            return name + (f"_TIP{figure(operation.tip_deg)}" if operation.tip_deg else "")
        case _:
            assert_never(operation)


def _depth(through: bool, depth_mm: float) -> str:
    return f"THROUGH_{figure(depth_mm)}" if through else figure(depth_mm)


@dataclass(frozen=True, slots=True)
class Meaning:
    """What a layer's name says. `depth_mm` is None for a hole that goes through."""

    kind: str
    depth_mm: float | None
    through: bool = False
    diameter_mm: float = 0.0
    cone_deg: float = 0.0
    tip_deg: float = 0.0


_CLEARED = re.compile(r"(OUTLINE|TRENCH|POCKET|RELIEF)_(THROUGH_)?(\d+\.\d+)")
_HOLE = re.compile(r"HOLE_D(\d+\.\d+)_(?:Z(\d+\.\d+)|THROUGH)(?:_CONE(\d+\.\d+))?(?:_TIP(\d+\.\d+))?")


def meaning(name: str) -> Meaning | None:
    """What a layer is for; None for one that is never cut or that is not ours."""
    if found := _CLEARED.fullmatch(name):
        return Meaning(found[1], float(found[3]), bool(found[2]))
    if found := _HOLE.fullmatch(name):
        depth = float(found[2]) if found[2] else None
        return Meaning("HOLE", depth, depth is None, float(found[1]), float(found[3] or 0), float(found[4] or 0))
    return None
