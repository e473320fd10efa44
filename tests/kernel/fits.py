"""Small assemblies for the tests of what is measured."""

from __future__ import annotations

import math
from dataclasses import replace

from wood import across, board, top

from build123.kernel.damage import Damage
from build123.kernel.dryfit import dry_fit
from build123.kernel.measure import Measurements
from build123.kernel.store import Store
from build123.model.design import Design
from build123.model.frame import Frame, Vec, add, cross, dot, scale, unit
from build123.model.measured import DryFit, FaceGap
from build123.model.part import Hardware, Part, Rod

STORE = Store()

UPRIGHT = Frame((0, 0, 0), (0, 0, 1), (0, 1, 0), (-1, 0, 0))
"""Length up, worked face to the left: the wood is at x = -18..0 and a shelf comes from the left."""


def fit(*bodies: Part | Hardware, damage: tuple[Damage, ...] = (), known: Measurements | None = None) -> DryFit:
    parts = tuple(b for b in bodies if isinstance(b, Part))
    hardware = tuple(b for b in bodies if isinstance(b, Hardware))
    return dry_fit(Design("test", "test", "mm", parts, hardware), STORE, damage=damage, known=known)


def side(depth: float = 6.0, width: float = 18.0) -> Part:
    """A side with one dado, middle at z = 500."""
    return board(1000, 300, 18, across(top(18), 500, width, 300, depth), name="side", placement=UPRIGHT)


def shelf(thickness: float = 18.0, end_x: float = -12.0, middle_z: float = 500.0) -> Part:
    """A shelf whose end is at `end_x`, reaching to the left."""
    place = Frame((end_x, 0, middle_z + thickness / 2), (-1, 0, 0), (0, 1, 0), (0, 0, -1))
    return board(400, 300, thickness, name="shelf", placement=place)


def dowel(at: Vec, along: Vec = (0, 0, 1), diameter: float = 8.0, length: float = 40.0, name: str = "dowel") -> Hardware:
    """A rod that begins at `at`."""
    z = unit(along)
    x = unit(cross((0, 0, 1), z)) if abs(z[2]) < 0.9 else unit(cross((0, 1, 0), z))
    return Hardware(name, "dowel", Rod(diameter, length), Frame(at, x, cross(z, x), z))


def turned(body: Part, deg: float = 30.0, axis: Vec = (1, 2, 3)) -> Part:
    """The body turned about the origin of the piece."""
    n, a = unit(axis), math.radians(deg)

    def turn(v: Vec) -> Vec:
        return add(add(scale(v, math.cos(a)), scale(cross(n, v), math.sin(a))), scale(n, dot(n, v) * (1 - math.cos(a))))

    f = body.placement
    return replace(body, placement=Frame(turn(f.origin), turn(f.x), turn(f.y), turn(f.z)))


def rounded(gaps: tuple[FaceGap, ...]) -> list[tuple[float, float]]:
    """Gap and area of each, sorted."""
    return sorted((round(g.gap_mm, 6) + 0.0, round(g.area_mm2, 3)) for g in gaps)
