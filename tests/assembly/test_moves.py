"""Moves of pairs of solids: nothing thin is jumped, and a fit is no obstacle."""

from __future__ import annotations

import math
from itertools import product

import manifold3d
import numpy as np
import pytest
from drilled import drilled_board
from hypothesis import given, settings
from hypothesis import strategies as st

from build123.assembly.strong import strong
from build123.assembly.sweep import Sweeps
from build123.kernel import Store
from build123.model.frame import WORLD, Frame, Vec
from build123.model.measured import Mesh
from build123.model.part import Hardware, Part, Rod, Stock

PLY = Stock("ply", "sheet", "birch plywood", 18.0)
Cells = tuple[bool, ...]
SIZE = 3
AXES: tuple[Vec, ...] = ((1.0, 0.0, 0.0), (-1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, -1.0, 0.0), (0.0, 0.0, 1.0), (0.0, 0.0, -1.0))
TURNED = Frame((5.0, -3.0, 40.0), (0.6, 0.8, 0.0), (-0.8, 0.6, 0.0), (0.0, 0.0, 1.0))


class Blocks(Store):
    """Bodies made of boxes, by shape key."""

    def __init__(self) -> None:
        super().__init__()
        self.made: dict[str, Mesh] = {}

    def mesh(self, body: Part | Hardware) -> Mesh:
        return self.made[body.shape_key] if body.shape_key in self.made else super().mesh(body)

    def body(self, name: str, *boxes: tuple[Vec, Vec], placement: Frame = WORLD) -> Part:
        """A body that fills boxes (corner, size); boxes with the sign of the first size below 0 are cut out."""
        solid = manifold3d.Manifold()
        for low, size in boxes:
            box = manifold3d.Manifold.cube([abs(x) for x in size]).translate(list(low))
            solid = solid - box if size[0] < 0 else solid + box
        mesh = solid.to_mesh64()
        self.made[name] = Mesh(np.array(mesh.vert_properties)[:, :3], np.array(mesh.tri_verts, dtype=np.int64))
        return Part(name, PLY, placement, 1.0, 1.0, 1.0, (), {}, "+z", name, name)


def dado(store: Blocks, wide: float) -> Part:
    """A side, 18 thick, with a housing 6 deep across it from z = 100."""
    return store.body(f"side {wide}", ((0, 0, 0), (18, 200, 300)), ((12, -1, 100), (-7, 202, wide)))


def test_an_exact_housing_lets_its_shelf_out_and_along() -> None:
    store = Blocks()
    side, shelf = dado(store, 18.0), store.body("shelf", ((12, 0, 100), (300, 200, 18)))
    free = [way for way in AXES if not Sweeps(store).meets(shelf, side, way)]
    assert free == [(1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, -1.0, 0.0)]


@pytest.mark.parametrize(("tight_mm", "meets"), [(-0.05, False), (0.0, False), (0.0009, False), (0.0011, True), (0.05, True)])
def test_what_reaches_deeper_than_a_hair_is_in_the_way(tight_mm: float, meets: bool) -> None:
    store = Blocks()
    side, shelf = dado(store, 18.0 - tight_mm), store.body("shelf", ((12, 0, 100), (300, 200, 18)))
    assert Sweeps(store).meets(shelf, side, (1.0, 0.0, 0.0)) is meets


def test_a_press_fit_is_no_obstacle_to_its_own_parts() -> None:
    store = Blocks()
    side, shelf = dado(store, 17.95), store.body("shelf", ((12, 0, 100), (300, 200, 18)))
    assert not Sweeps(store).meets(shelf, side, (1.0, 0.0, 0.0), slack_mm=0.05)
    assert Sweeps(store).meets(shelf, side, (-1.0, 0.0, 0.0), slack_mm=0.05)


@pytest.mark.parametrize("thin_mm", [0.01, 0.1, 3.0])
def test_something_thin_a_metre_away_is_not_jumped(thin_mm: float) -> None:
    store = Blocks()
    veneer = store.body(f"veneer {thin_mm}", ((0, 0, 1000), (100, 100, thin_mm)))
    leaf = store.body("leaf", ((20, 20, 0), (10, 10, thin_mm)))
    assert Sweeps(store).meets(leaf, veneer, (0.0, 0.0, 1.0))
    assert not Sweeps(store).meets(leaf, veneer, (0.0, 0.0, -1.0))


def test_a_board_passes_a_window_that_it_fits_and_no_other() -> None:
    store = Blocks()
    wall = store.body("wall", ((0, 0, 0), (18, 300, 300)), ((-1, 100, 100), (-20, 60, 20)))
    for wide, meets in ((60.0, False), (60.01, True)):
        board = store.body(f"board {wide}", ((50, 100, 101), (400, wide, 18)))
        assert Sweeps(store).meets(board, wall, (-1.0, 0.0, 0.0)) is meets


def test_a_slanted_move_follows_a_slanted_face() -> None:
    """A wedge slides along the slope that it lies on, and neither into it nor flat along."""
    store = Blocks()
    slope = math.radians(10)
    ramp = store.body("ramp", ((0, 0, -5), (100, 50, 5)))
    block = store.body("block", ((10, 10, 0), (20, 20, 20)))
    lean = Frame((0, 0, 0), (math.cos(slope), 0, math.sin(slope)), (0, 1, 0), (-math.sin(slope), 0, math.cos(slope)))
    tilted = [Part(p.name, PLY, lean, 1, 1, 1, (), {}, "+z", p.name, p.name) for p in (block, ramp)]
    sweeps = Sweeps(store)
    assert not sweeps.meets(*tilted, (math.cos(slope), 0.0, math.sin(slope)))
    assert not sweeps.meets(*tilted, (0.0, 0.0, 1.0))
    assert sweeps.meets(*tilted, (1.0, 0.0, 0.0))
    assert not sweeps.meets(*tilted, (-1.0, 0.0, 0.0))


@pytest.mark.parametrize("way", AXES)
def test_a_dowel_leaves_its_hole_by_the_mouth_alone(way: Vec, store: Store) -> None:

    dowel = Hardware("dowel", "dowel 8 x 30", Rod(8.0, 30.0), Frame((100.0, 50.0, 4.0)))
    assert Sweeps(store).meets(dowel, drilled_board(100.0, 50.0), way) is (way != (0.0, 0.0, 1.0))


def cells(draw: list[bool]) -> list[tuple[int, int, int]]:
    return [cell for cell, filled in zip(product(range(SIZE), repeat=3), draw, strict=True) if filled]


@given(*[st.lists(st.booleans(), min_size=SIZE**3, max_size=SIZE**3).filter(any) for _ in range(2)], st.booleans())
@settings(max_examples=60, deadline=None)
def test_a_move_meets_exactly_where_a_cell_lies_before_a_cell(one: list[bool], two: list[bool], turned: bool) -> None:
    """Bodies of unit cubes, against counting cells column by column."""
    store = Blocks()
    frame = TURNED if turned else WORLD
    a, b = (
        store.body(name, *(((x, y, z), (1, 1, 1)) for x, y, z in cells(draw)), placement=frame) for name, draw in (("a", one), ("b", two))
    )
    sweeps = Sweeps(store)
    for n, way in enumerate(AXES):
        axis, sign = n // 2, 1 if n % 2 == 0 else -1
        others = [k for k in range(3) if k != axis]
        expected = any(all(p[k] == q[k] for k in others) and sign * p[axis] <= sign * q[axis] for p, q in product(cells(one), cells(two)))
        assert sweeps.meets(a, b, frame.vector(way)) is expected
        assert sweeps.meets(b, a, frame.vector((-way[0], -way[1], -way[2]))) is expected


@given(st.lists(st.integers(0, 255), min_size=8, max_size=8), st.integers(1, 255))
def test_strongly_connected_sets_are_those_that_reach_one_another(edges: list[int], within: int) -> None:
    edges = [edge & ~(1 << n) for n, edge in enumerate(edges)]
    reach = [1 << n | (edge & within) for n, edge in enumerate(edges)]
    for k, n in product(range(8), repeat=2):
        if within >> k & 1 and reach[n] >> k & 1:
            reach[n] |= reach[k]
    found = strong(edges, within)
    assert sum(found) == within and all(not a & b for i, a in enumerate(found) for b in found[:i])
    for group in found:
        for n in (n for n in range(8) if group >> n & 1):
            assert group == sum(1 << k for k in range(8) if within >> k & 1 and reach[n] >> k & 1 and reach[k] >> n & 1)
    for at, group in enumerate(found):
        later = sum(found[at + 1 :])
        assert not any(edges[n] & later for n in range(8) if group >> n & 1)
