"""What is drawn of one solid: its true edges, and triangles that hide what is behind them. Plain data in the solid's own frame (mm)."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


@dataclass(frozen=True, eq=False)
class Ring:
    """The circle that an edge lies on. The edge starts at `centre` + `radius_mm` `start` and turns `sweep_rad` about `axis`."""

    centre: Floats
    axis: Floats
    start: Floats
    radius_mm: float
    sweep_rad: float


@dataclass(frozen=True, eq=False)
class Edge:
    """Where two faces meet. `points` (k, 3) follow it: the two ends of a straight one, else steps on the curve.

    `faces` are the numbers of the two faces. `ring` is set for a circle and an arc.
    """

    points: Floats
    faces: tuple[int, int]
    ring: Ring | None = None


@dataclass(frozen=True, eq=False)
class Barrel:
    """A cylinder face that bulges: from `base` along the unit `axis` for `length_mm`, from `start` turning `sweep_rad`."""

    base: Floats
    axis: Floats
    start: Floats
    radius_mm: float
    length_mm: float
    sweep_rad: float


@dataclass(frozen=True, eq=False)
class Wireframe:
    """A closed surface of triangles `corners[triangles]`, each in face `face_of`, with `normals` outwards, and its edges."""

    corners: Floats
    triangles: Ints
    face_of: Ints
    normals: Floats
    edges: tuple[Edge, ...]
    barrels: tuple[Barrel, ...] = ()
