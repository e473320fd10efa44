"""Nothing on a sheet lies on anything else, and it all is on the sheet."""

import pytest
from drawn_parts import SAMPLES, face, feature, part
from hypothesis import given, settings
from hypothesis import strategies as st
from reading_sheets import clashes

from build123.drawing.lettering import Rect
from build123.drawing.sheet import SheetAbout, draw_part
from build123.model.feature import Hole, HoleStep, Trench


@pytest.mark.parametrize("units", ["mm", "in"])
@pytest.mark.parametrize("make", SAMPLES, ids=lambda make: make.__name__)
def test_no_text_lies_on_text_arrow_or_line(make, units):
    assert clashes(draw_part([make()], SheetAbout("Seed cabinet", units))) == []


@pytest.mark.parametrize("make", SAMPLES, ids=lambda make: make.__name__)
def test_the_band_of_a_failed_dry_fit_covers_nothing(make):
    sheet = draw_part([make()], SheetAbout("Seed cabinet", "mm", failed=True))
    assert clashes(sheet) == []
    band = next(g for g in sheet.groups if g.role == "band").items[0].points
    box = Rect(band[0][0], band[0][1], band[2][0], band[2][1])
    assert not any(
        box.crossed_by(a[:2], b[:2])
        for v in sheet.views
        for g in v.groups
        for i in g.items
        if hasattr(i, "points")
        for a, b in [(i.points[0], i.points[-1])]
    )


@st.composite
def panels(draw):
    length, width = draw(st.floats(200, 2400)), draw(st.floats(60, 600))
    features = []
    x = 20.0
    for n in range(draw(st.integers(0, 6))):
        x += draw(st.floats(20, 300))
        if x + 40 > length:
            break
        features.append(
            feature(Trench(face(18), (x, 0), (x, width), draw(st.sampled_from([6.0, 18.1])), 6), f"dado {n}", "dado", f"shelf {n}")
        )
    for n in range(draw(st.integers(0, 5))):
        at = (draw(st.floats(10, length - 10)), draw(st.floats(10, width - 10)))
        features.append(feature(Hole(face(18), at, (HoleStep(8, 12),)), f"hole {n}", "dowel hole", "rail"))
    return part("panel", length, width, 18.0, features)


@settings(max_examples=40, deadline=None, derandomize=True)
@given(panels(), st.sampled_from(["mm", "in"]))
def test_random_panels_are_legible(panel, units):
    assert clashes(draw_part([panel], SheetAbout("Seed cabinet", units))) == []


def test_long_and_many_names_stay_in_the_title_block():
    panel = part("a very long name of a part that nobody would give to a shelf but that somebody will " * 3, 400, 200, 18, [])
    assert (
        clashes(
            draw_part([panel] * 70, SheetAbout("The piece with a name that goes on and on " * 4, "in", 100, 100, True, ("b" * 200, "c")))
        )
        == []
    )
