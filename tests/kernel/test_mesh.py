"""Meshes are closed, outward, exact where the solid is plane, and their lines are the edges that one sees."""

from __future__ import annotations

import math

import numpy as np
import pytest
import trimesh
from test_solids import BY_HAND
from wood import across, board, drilled, top

from build123.kernel.mesh import mesh_of
from build123.kernel.solids import solid_of, solid_of_hardware
from build123.model.feature import EndKind, Trench, TrenchEnd
from build123.model.frame import WORLD
from build123.model.part import Hardware, Rod

TOP = top(18.0)
ROUND = TrenchEnd(EndKind.round, 5.0)


@pytest.mark.parametrize("name", BY_HAND)
def test_every_kind_of_feature_meshes_closed_and_outward(name: str) -> None:
    solid = solid_of(board(600, 300, 18, *BY_HAND[name][0]))
    mesh = mesh_of(solid)
    read = trimesh.Trimesh(mesh.vertices, mesh.faces, process=False)
    assert read.is_watertight and read.is_winding_consistent
    assert read.volume == pytest.approx(solid.Volume(), rel=1e-4)
    assert len(np.unique(mesh.vertices, axis=0)) == len(mesh.vertices)  # welded


def test_a_board_with_a_dado_is_exact() -> None:
    mesh = mesh_of(solid_of(board(600, 300, 18, across(TOP, 100, 18, 300, 6))))
    read = trimesh.Trimesh(mesh.vertices, mesh.faces, process=False)
    assert read.volume == pytest.approx(600 * 300 * 18 - 18 * 6 * 300, rel=1e-12)
    assert len(mesh.vertices) == 16
    assert mesh.vertices.dtype == np.float64


def test_lines_are_the_edges_of_the_solid_each_once() -> None:
    mesh = mesh_of(solid_of(board(600, 300, 18)))
    assert len(mesh.lines) == 12
    assert sum(float(np.linalg.norm(np.diff(line, axis=0), axis=1).sum()) for line in mesh.lines) == pytest.approx(4 * (600 + 300 + 18))


def test_the_seam_of_a_round_hole_is_no_line() -> None:
    mesh = mesh_of(solid_of(board(600, 300, 18, drilled(TOP, 100, 100, 8, 10))))
    rings = [line for line in mesh.lines if len(line) > 2]
    assert len(mesh.lines) == 14 and len(rings) == 2  # mouth and bottom
    assert all(np.array_equal(ring[0], ring[-1]) for ring in rings)
    chords = np.linalg.norm(np.diff(rings[0], axis=0), axis=1)
    assert 2 * math.asin(chords.max() / 8) <= 0.3 + 1e-9  # rad from chord to chord


def test_where_a_wall_turns_smoothly_into_a_round_end_there_is_no_line() -> None:
    mesh = mesh_of(solid_of(board(600, 300, 18, Trench(TOP, (100, 100), (200, 100), 10, 6, ROUND, ROUND))))
    # 12 of the blank; mouth and floor each two straight lines and two half circles; none from mouth to floor
    assert len(mesh.lines) == 12 + 8


def test_a_rod_has_two_circles() -> None:
    mesh = mesh_of(solid_of_hardware(Hardware("dowel", "dowel 8 x 40", Rod(8, 40), WORLD)))
    assert len(mesh.lines) == 2
    radius = np.hypot(mesh.vertices[:, 0], mesh.vertices[:, 1])
    assert radius == pytest.approx(np.full(len(radius), 4.0), abs=1e-12)  # every vertex on the surface


def test_chords_stay_within_the_deflection() -> None:
    rod = solid_of_hardware(Hardware("table top", "", Rod(1000, 20), WORLD))
    ring = next(line for line in mesh_of(rod, deflection_mm=0.1).lines)
    middles = (ring[1:] + ring[:-1]) / 2
    assert 500 - np.hypot(middles[:, 0], middles[:, 1]).min() <= 0.1 + 1e-9
