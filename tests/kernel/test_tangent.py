"""Holes that touch each other, a wall or a face of the board along one line make solids and meshes that are closed."""

from __future__ import annotations

import math

import pytest
import trimesh
from wood import across, board, drilled, far_end, near_edge, top, under

from build123.kernel.mesh import mesh_of
from build123.kernel.solids import solid_of
from build123.model.feature import Geometry, Hole, HoleStep

TOP = top(18.0)
BORED = Hole(TOP, (100, 100), (HoleStep(8, 2), HoleStep(4, 18)), through=True)
SLOT = Hole(TOP, (100, 100), (HoleStep(4, 18),), through=True, slot=(10, 0))
DADO = across(TOP, 100, 18, 300, 6)


def bore(diameter: float, deep: float) -> float:
    return math.pi * diameter**2 / 4 * deep


COUNTERBORED = bore(8, 2) + bore(4, 16)
SLOTTED = bore(4, 18) + 10 * 4 * 18
TOUCHING: dict[str, tuple[tuple[Geometry, ...], float]] = {
    "a dowel hole and a pilot hole": ((drilled(TOP, 20, 100, 8, 12), drilled(TOP, 25, 100, 2, 10)), bore(8, 12) + bore(2, 10)),
    "equally deep": ((drilled(TOP, 20, 100, 8, 12), drilled(TOP, 20, 105, 2, 12)), bore(8, 12) + bore(2, 12)),
    "equal holes": ((drilled(TOP, 20, 100, 8, 12), drilled(TOP, 28, 100, 8, 12)), 2 * bore(8, 12)),
    "three in a row": ((drilled(TOP, 20, 100, 8, 12), drilled(TOP, 25, 100, 2, 9), drilled(TOP, 30, 100, 8, 9)), bore(8, 21) + bore(2, 9)),
    "as near as rounding": ((drilled(TOP, 20, 100, 8, 12), drilled(TOP, 25 - 1e-7, 100, 2, 10)), bore(8, 12) + bore(2, 10)),
    "from two faces": ((drilled(TOP, 100, 100, 8, 12), drilled(under(), 105, -100, 2, 12)), bore(8, 12) + bore(2, 12)),
    "in an end": ((drilled(far_end(600), 100, 9, 8, 12), drilled(far_end(600), 105, 9, 2, 20)), bore(8, 12) + bore(2, 20)),
    "one within the other": ((drilled(TOP, 100, 100, 8, 12), drilled(TOP, 103, 100, 2, 14)), bore(8, 12) + bore(2, 2)),
    "a counterbore": ((BORED, drilled(TOP, 105, 100, 2, 10)), COUNTERBORED + bore(2, 10)),
    "the side of a slot": ((SLOT, drilled(TOP, 102, 105, 6, 12)), SLOTTED + bore(6, 12)),
    "the end of a slot": ((SLOT, drilled(TOP, 110, 100, 6, 12)), SLOTTED + bore(6, 12)),
    "the wall of a dado": ((DADO, drilled(TOP, 113, 100, 8, 12)), 18 * 6 * 300 + bore(8, 12)),
    "the edge of the board": ((drilled(TOP, 4, 100, 8, 12),), bore(8, 12)),
    "the face of the board": ((drilled(near_edge(), 100, 4, 8, 12),), bore(8, 12)),
}


@pytest.mark.parametrize("name", TOUCHING)
def test_the_mesh_is_closed_and_no_more_than_a_hair_of_wood_is_left(name: str) -> None:
    geometry, taken = TOUCHING[name]
    solid = solid_of(board(600, 300, 18, *geometry))
    mesh = mesh_of(solid)
    assert trimesh.Trimesh(mesh.vertices, mesh.faces, process=False).is_watertight
    assert 600 * 300 * 18 - solid.Volume() == pytest.approx(taken, abs=1.0)


@pytest.mark.parametrize("gap", [0.0, 1e-7, -1e-7, 1e-5, -1e-5, 4e-4, -4e-4, 6e-4, -6e-4])
def test_just_beside_touching_is_no_worse(gap: float) -> None:
    solid = solid_of(board(600, 300, 18, drilled(TOP, 20, 100, 8, 12), drilled(TOP, 25 + gap, 100, 2, 10)))
    assert len(mesh_of(solid).faces)
    assert 600 * 300 * 18 - solid.Volume() == pytest.approx(bore(8, 12) + bore(2, 10), abs=0.2)


def test_the_later_of_two_equal_holes_is_the_narrower_one_and_holes_apart_keep_their_size() -> None:
    solid = solid_of(board(600, 300, 18, drilled(TOP, 20, 100, 8, 12), drilled(TOP, 28, 100, 8, 12), drilled(TOP, 200, 100, 8, 12)))
    radii = {round(f.Center().x): f for f in solid.Faces() if f.geomType() == "CYLINDER"}
    widths = {x: round(face.BoundingBox().ylen, 6) for x, face in radii.items()}
    assert widths == {20: 8.0, 28: 7.998, 200: 8.0}
