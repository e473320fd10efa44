"""What a feature takes away, as a solid with a box about it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from build123.model.frame import Frame, Vec

if TYPE_CHECKING:
    from OCP.TopoDS import TopoDS_Shape


@dataclass(frozen=True, slots=True, eq=False)
class Tool:
    """One closed solid to cut with; it lies wholly in the box `low`..`high` (mm) of `frame`."""

    shape: TopoDS_Shape
    frame: Frame
    low: Vec
    high: Vec
    feature: str
