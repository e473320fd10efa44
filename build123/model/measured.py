"""What the kernel measures on solids, as plain data. Checks see these and never a shape.

All lengths are mm, areas mm2, volumes mm3. Facts about one shape are in its own bench frame; facts about pairs are in
the piece's frame.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from build123.model.frame import Box, Vec


@dataclass(frozen=True, slots=True)
class Bore:
    """A cylindrical face. `hollow` tells a hole from a rod.

    `base` and `tip` are the ends of the axis within the face. `whole` is the share of the full cylinder surface that is
    there: less than 1 where the hole breaks out or is crossed.
    """

    base: Vec
    tip: Vec
    radius_mm: float
    hollow: bool
    whole: float


@dataclass(frozen=True, slots=True)
class Web:
    """Wood between two faces of one part that look away from each other.

    `thickness_mm` between them, `area_mm2` where they lie over one another, `at` the middle of that, `normal` of one.
    """

    thickness_mm: float
    area_mm2: float
    at: Vec
    normal: Vec


@dataclass(frozen=True, slots=True)
class BoreWall:
    """The least wood between a bore and a plane face, and where.

    `kind` is "beside" (to a face along the axis; negative where it cuts the bore open) or "beyond" (from the bottom of a
    blind bore, or its drill point, along the axis).
    """

    bore: int
    wall_mm: float
    at: Vec
    kind: Literal["beside", "beyond"] = "beside"


@dataclass(frozen=True, slots=True)
class ShapeFacts:
    """One distinct solid. `union_volume_mm3` is the blank less its features, computed by another library."""

    key: str
    volume_mm3: float
    area_mm2: float
    box: Box
    solids: int
    valid: bool
    union_volume_mm3: float
    bores: tuple[Bore, ...] = ()
    webs: tuple[Web, ...] = ()
    bore_walls: tuple[BoreWall, ...] = ()


@dataclass(frozen=True, slots=True)
class FaceGap:
    """Two plane faces of two bodies that look at each other.

    `normal` points out of `a`. `gap_mm` is positive where they are apart, 0 where they touch, negative where the bodies
    go into each other. `area_mm2` is where they lie over one another, `near` its box.
    """

    a: str
    b: str
    normal: Vec
    gap_mm: float
    area_mm2: float
    at: Vec
    near: Box


@dataclass(frozen=True, slots=True)
class BoreGap:
    """Two cylinders of two bodies on nearly one axis: hole against hole, or rod in hole.

    `offset_mm` is the largest distance of their axes over the common stretch, `length_mm` that stretch (0 for hole mouths
    that meet), `clearance_mm` the difference of their diameters.
    """

    a: str
    b: str
    axis: Vec
    at: Vec
    radius_a_mm: float
    radius_b_mm: float
    offset_mm: float
    length_mm: float
    depth_a_mm: float
    depth_b_mm: float


@dataclass(frozen=True, slots=True)
class Overlap:
    """Wood that two bodies both claim. `depth_mm` is twice volume over surface for a sliver; `mesh` shows it."""

    a: str
    b: str
    volume_mm3: float
    depth_mm: float
    at: Vec
    near: Box
    mesh: Mesh | None = None


@dataclass(frozen=True, slots=True)
class Beside:
    """What lies beside a fastener in one direction, from its axis: `air_mm` up to the wood, then `wood_mm` to the next face."""

    direction: Vec
    air_mm: float
    wood_mm: float


@dataclass(frozen=True, slots=True)
class Driven:
    """A screw, nail or leg of a staple as it stands in one part, told by rays through the part's mesh.

    `axis` runs from head to point, `point` is its end. `bite_mm` is the wood along the edge of its thread or shank, `broken_mm`
    the air between two stretches of it. `beyond_mm` is from the point on along the axis to the face of the part: negative
    where the point stands out, None where it does not come as far as the part's far side; `exit` is that place. `beside` are 16
    directions square to the axis.
    """

    hardware: str
    part: str
    axis: Vec
    point: Vec
    diameter_mm: float
    length_mm: float
    bite_mm: float
    broken_mm: float
    beyond_mm: float | None
    exit: Vec
    beside: tuple[Beside, ...]


@dataclass(frozen=True, eq=False)
class Mesh:
    """A welded, closed triangle mesh: `vertices` (n, 3) float64 mm, `faces` (m, 3) int64 counter-clockwise from outside.

    `lines` are polylines (k, 3) of the solid's edges.
    """

    vertices: NDArray[np.float64]
    faces: NDArray[np.int64]
    lines: tuple[NDArray[np.float64], ...] = ()


@dataclass(frozen=True)
class DryFit:
    """Everything measured on the assembled solids. Bodies are parts and hardware, by name."""

    shapes: Mapping[str, ShapeFacts]
    shape_of: Mapping[str, str]
    gaps: tuple[FaceGap, ...]
    bores: tuple[BoreGap, ...]
    overlaps: tuple[Overlap, ...]
    driven: tuple[Driven, ...] = ()
    pairs_looked_at: int = 0
    seconds: Mapping[str, float] = field(default_factory=dict)
