"""What is said of one solid: whether it is sound; and which bodies are near each other."""

from __future__ import annotations

import cadquery as cq
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from OCP.BRep import BRep_Builder
from OCP.TopoDS import TopoDS_Shell, TopoDS_Solid
from wood import board, drilled, top

from build123.kernel.bodies import Body, near_pairs
from build123.kernel.facts import facts_of
from build123.kernel.mesh import mesh_of
from build123.kernel.read_faces import read_faces
from build123.kernel.solids import solid_of
from build123.model.frame import WORLD, Box
from build123.model.measured import ShapeFacts
from build123.model.part import Part


def pierced(holes: int) -> Part:
    return board(1000, 300, 18, *(drilled(top(18), 20 + 30 * (k % 30), 20 + 30 * (k // 30), 5, 12) for k in range(holes)))


def facts(part: Part, solid: cq.Solid) -> ShapeFacts:
    return facts_of(Body(part.name, part.shape_key, WORLD, solid, lambda: mesh_of(solid)), part, read_faces(solid))


def without_a_face(solid: cq.Solid) -> cq.Solid:
    builder, shell, open_solid = BRep_Builder(), TopoDS_Shell(), TopoDS_Solid()
    builder.MakeShell(shell)
    for face in solid.Faces()[1:]:
        builder.Add(shell, face.wrapped)
    builder.MakeSolid(open_solid)
    builder.Add(open_solid, shell)
    return cq.Solid(open_solid)


@pytest.mark.parametrize("holes", [2, 130])
def test_a_solid_with_a_face_missing_is_not_valid(holes: int) -> None:
    part = pierced(holes)
    solid = solid_of(part)
    assert facts(part, solid).valid
    assert not facts(part, without_a_face(solid)).valid


@pytest.mark.parametrize("holes", [2, 130])
def test_volume_area_and_bores_are_those_of_the_solid(holes: int) -> None:
    part = pierced(holes)
    found = facts(part, solid_of(part))
    assert found.volume_mm3 == pytest.approx(1000 * 300 * 18 - holes * np.pi * 6.25 * 12)
    assert found.union_volume_mm3 == pytest.approx(found.volume_mm3, rel=1e-9)
    assert found.area_mm2 == pytest.approx(2 * (1000 * 300 + 1000 * 18 + 300 * 18) + holes * np.pi * 5 * 12)
    assert len(found.bores) == holes and found.solids == 1
    assert found.box.low == pytest.approx((0, 0, 0)) and found.box.high == pytest.approx((1000, 300, 18))


CORNER = st.tuples(*[st.integers(0, 60)] * 3)
SIZE = st.tuples(*[st.integers(1, 20)] * 3)


@given(st.lists(st.tuples(CORNER, SIZE), max_size=30), st.integers(0, 5))
@settings(max_examples=60, deadline=None)
def test_near_pairs_are_those_that_comparing_all_finds(rows: list[tuple[tuple[int, ...], tuple[int, ...]]], reach: int) -> None:
    boxes = [Box((c[0], c[1], c[2]), (c[0] + s[0], c[1] + s[1], c[2] + s[2])) for c, s in rows]
    every = [(i, j) for j in range(len(boxes)) for i in range(j) if boxes[i].grown(reach).meets(boxes[j])]
    assert near_pairs(boxes, float(reach)) == sorted(every)
