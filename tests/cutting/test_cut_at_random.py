"""Random boards: what the lines of their files leave has the volume of the solid that the kernel makes."""

from __future__ import annotations

import pytest
from cut_pieces import FRONT_EDGE, LEFT_END, TOP, UNDER, back_edge, board, cut_of, right_end
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from reading_cuts import by_ezdxf, left_mm3

from build123.exports import cut
from build123.kernel import Store
from build123.kernel.fault import KernelFault
from build123.model.feature import EndKind, Geometry, Hole, HoleStep, Pocket, Trench, TrenchEnd, Vertex

LENGTH, WIDTH = 400.0, 200.0
tenths = lambda low, high: st.integers(round(low * 10), round(high * 10)).map(lambda n: n / 10)  # noqa: E731


@st.composite
def trenches(draw: st.DrawFn) -> Trench:
    """Along or across, from edge to edge or stopped, or a step at an edge; from above or below."""
    under = draw(st.booleans())
    sign = -1.0 if under else 1.0
    datum = UNDER if under else TOP
    along = draw(st.booleans())
    long, wide = (LENGTH, WIDTH) if along else (WIDTH, LENGTH)
    width, depth = draw(tenths(4, 30)), draw(tenths(1, 8))
    step = draw(st.booleans())
    at = width / 2 if step else draw(tenths(20, wide - 20))
    ends = []
    for _ in range(2):
        kind = draw(st.sampled_from([EndKind.open, EndKind.square, EndKind.round]))
        inset = 0.0 if kind is EndKind.open else draw(tenths(10, 60))
        ends.append((TrenchEnd(kind, width / 2 if kind is EndKind.round else 0.0), inset))
    (start, a), (end, b) = ends
    first, last = (a, sign * at), (long - b, sign * at)
    if not along:
        first, last = (at, sign * a), (at, sign * (long - b))
    # the step's open side is towards the edge at y = 0 or x = 0
    to_right = (not under) if along else under
    return Trench(datum, first, last, width, depth, start, end, open_left=step and not to_right, open_right=step and to_right)


@st.composite
def pockets(draw: st.DrawFn) -> Pocket:
    x, y = draw(tenths(10, 300)), draw(tenths(10, 120))
    w, h = draw(tenths(20, 80)), draw(tenths(20, 60))
    depth = draw(st.one_of(st.none(), tenths(1, 9)))
    if draw(st.booleans()):
        return Pocket(TOP, (Vertex(x, y), Vertex(x + w, y, 1.0), Vertex(x + w, y + h), Vertex(x, y + h, 1.0)), depth_mm=depth)
    if depth is None and draw(st.booleans()):
        x, w = -1.0, w + 1.0
    return Pocket(TOP, (Vertex(x, y), Vertex(x + w, y), Vertex(x + w, y + h), Vertex(x, y + h)), depth_mm=depth)


@st.composite
def holes(draw: st.DrawFn) -> Hole:
    where = draw(st.sampled_from(["top", "under", "left", "right", "front", "back"]))
    diameter = draw(st.sampled_from([4.0, 5.0, 8.0, 9.525]))
    x, y = draw(tenths(15, LENGTH - 15)), draw(tenths(15, WIDTH - 15))
    datum, point = {
        "top": (TOP, (x, y)),
        "under": (UNDER, (x, -y)),
        "left": (LEFT_END, (-y, 9.0)),
        "right": (right_end(LENGTH), (y, 9.0)),
        "front": (FRONT_EDGE, (x, 9.0)),
        "back": (back_edge(WIDTH), (-x, 9.0)),
    }[where]
    flat = where in ("top", "under")
    return Hole(datum, point, (HoleStep(diameter, draw(tenths(3, 9 if flat else 30))),), tip_deg=draw(st.sampled_from([0.0, 118.0])))


features = st.lists(st.one_of(trenches(), pockets(), holes()), min_size=1, max_size=5)


def check(shapes: list[Geometry]) -> None:
    part = board(*shapes)
    store = Store()
    try:
        made = cut_of(part, store=store)
    except KernelFault:
        return
    assert [f.message for f in cut.verify(made.job, made.files)] == []
    faces = {surface: by_ezdxf(data) for surface, (_, data) in made.faces(part).items()}
    assert left_mm3(faces, (LENGTH, WIDTH, 18.0)) == pytest.approx(made.volume(part), rel=2e-5, abs=3.0)
    assert cut.write(made.job) == made.files


@settings(max_examples=20, deadline=None, suppress_health_check=list(HealthCheck))
@given(features)
def test_the_lines_of_a_random_board_leave_its_solid(shapes: list[Geometry]) -> None:
    check(shapes)


@pytest.mark.nightly
@settings(max_examples=1500, deadline=None, suppress_health_check=list(HealthCheck))
@given(features)
def test_the_lines_of_many_random_boards_leave_their_solids(shapes: list[Geometry]) -> None:
    check(shapes)
