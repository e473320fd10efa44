"""Boxes carved by cells give what the kernel's boolean gives."""

from __future__ import annotations

import cadquery as cq
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from OCP.BRepAlgoAPI import BRepAlgoAPI_Cut
from OCP.BRepCheck import BRepCheck_Analyzer
from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox
from OCP.gp import gp_Pnt
from OCP.TopTools import TopTools_ListOfShape
from wood import across, board, top

from build123.kernel.cells import carved
from build123.kernel.rings import closed_solid
from build123.kernel.solids import solid_of
from build123.model.feature import Trench

SIZE = (60.0, 40.0, 20.0)
Box = tuple[tuple[float, float, float], tuple[float, float, float]]


def by_boolean(boxes: list[Box]) -> cq.Shape:
    wood, tools = TopTools_ListOfShape(), TopTools_ListOfShape()
    wood.Append(BRepPrimAPI_MakeBox(*SIZE).Solid())
    for low, high in boxes:
        tools.Append(BRepPrimAPI_MakeBox(gp_Pnt(*low), gp_Pnt(*high)).Solid())
    cut = BRepAlgoAPI_Cut()
    cut.SetArguments(wood)
    cut.SetTools(tools)
    cut.Build()
    return cq.Shape.cast(cut.Shape()).clean()


def side(size: float) -> st.SearchStrategy[tuple[float, float]]:
    ends = st.integers(-1, int(size / 5) + 1)
    return st.tuples(ends, ends).filter(lambda e: e[0] != e[1]).map(lambda e: (min(e) * 5.0, max(e) * 5.0))


BOXES = st.lists(st.tuples(*(side(s) for s in SIZE)).map(lambda b: tuple(zip(*b, strict=True))), min_size=1, max_size=5)


@settings(max_examples=60, deadline=None)
@given(BOXES)
def test_carving_agrees_with_the_boolean_or_leaves_it_to_that(boxes: list[Box]) -> None:
    faces = carved(SIZE, boxes)
    cut = by_boolean(boxes)
    if faces is None:
        return
    solid = cq.Solid(closed_solid(faces))
    assert BRepCheck_Analyzer(solid.wrapped).IsValid()
    assert solid.Volume() == pytest.approx(cut.Volume(), rel=1e-12)
    assert solid.Area() == pytest.approx(cut.Area(), rel=1e-12)
    assert len(cut.Solids()) == 1
    assert (len(solid.Faces()), len(solid.Edges()), len(solid.Vertices())) == (
        len(cut.Faces()),
        len(cut.Edges()),
        len(cut.Vertices()),
    )


@pytest.mark.parametrize(
    ("what", "boxes"),
    [
        ("it falls in two", [((20, -1, -1), (30, 41, 21))]),
        ("nothing is left", [((-1, -1, -1), (61, 41, 21))]),
        ("it is hollow", [((10, 10, 5), (20, 20, 10))]),
        ("it hangs by an edge", [((-1, -1, -1), (30, 20, 21)), ((30, 20, -1), (61, 41, 21))]),
    ],
)
def test_what_is_no_plain_solid_is_left_to_the_boolean(what: str, boxes: list[Box]) -> None:
    assert carved(SIZE, boxes) is None, what


def test_planes_within_a_millionth_are_one() -> None:
    faces = carved(SIZE, [((10, -1, 15), (20, 41, 21)), ((20.0000004, -1, 15), (30, 41, 21))])
    assert faces is not None
    assert closed_solid(faces).NbChildren() == 1
    assert len(faces) == 10  # a blank's 6, of which the top is two; 2 walls and a floor


def test_no_face_is_split_where_floors_of_one_depth_meet() -> None:
    datum = top(18.0)
    solid = solid_of(board(600, 300, 18, across(datum, 100, 18, 300, 6), Trench(datum, (0, 295), (600, 295), 10, 6, open_left=True)))
    # by hand: under face, 2 ends, 2 edges, 2 tops beside the dado, its 2 walls, the rabbet's 2 walls beside the dado, 1 floor
    assert len(solid.Faces()) == 12
