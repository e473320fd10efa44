"""Meshes of solids: welded, closed, outward, double precision (mm)."""

from __future__ import annotations

import cadquery as cq

from build123.model.measured import Mesh


def mesh_of(solid: cq.Solid, deflection_mm: float = 0.1, angle_rad: float = 0.3) -> Mesh:
    """The solid's mesh in the solid's own frame, vertices exactly on its surfaces."""
    raise NotImplementedError
