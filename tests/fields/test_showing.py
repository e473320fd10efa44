"""Values as they are read at a bench."""

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from build123.fields.show import plural, show_angle, show_area, show_length, show_number, show_volume


@pytest.mark.parametrize(
    ("mm", "shown"),
    [(752.0, "752 mm"), (752.5, "752.5 mm"), (426.586, "426.586 mm"), (0.1 + 0.2, "0.3 mm"), (0.0, "0 mm"), (-0.0, "0 mm"),
     (-12.5, "-12.5 mm"), (Fraction(1, 3), "0.333 mm"), (1000, "1000 mm"), (1e-9, "0 mm"), (-1e-9, "0 mm")],
)  # fmt: skip
def test_millimetres(mm: float, shown: str) -> None:
    assert show_length(mm, "mm") == shown


# 25.4 mm to the inch exactly.
@pytest.mark.parametrize(
    ("inches", "shown"),
    [("34", "34 in"), ("32.5625", "32 9/16 in"), ("3/4", "3/4 in"), ("1/64", "1/64 in"), ("0.715", "0.715 in"),
     ("32.57", "32.57 in"), ("-3/2", "-1 1/2 in"), ("0", "0 in"), ("1/3", "0.3333 in"), ("0.705", "0.705 in")],
)  # fmt: skip
def test_inches_are_fractions_where_they_lie_on_a_stroke(inches: str, shown: str) -> None:
    mm = Fraction(inches) * Fraction("25.4")
    assert show_length(mm, "in") == shown
    assert show_length(float(mm), "in") == shown


def test_inches_rounded_to_a_given_stroke() -> None:
    assert show_length(32.57 * 25.4, "in", fraction=32) == "32 9/16 in"
    assert show_length(0.999 * 25.4, "in", fraction=16) == "1 in"


def test_a_sign_where_it_is_wanted() -> None:
    assert [show_length(v, "mm", sign=True) for v in (0.1, -0.1, 0)] == ["+0.1 mm", "-0.1 mm", "0 mm"]
    assert show_length(25.4 / 32, "in", sign=True) == "+1/32 in"


@settings(max_examples=60, deadline=None)
@given(st.floats(-5000, 5000))
def test_what_is_shown_is_what_it_is(mm: float) -> None:
    assert float(show_length(mm, "mm").split()[0]) == pytest.approx(mm, abs=0.0005)
    shown = show_length(mm, "in").removesuffix(" in").lstrip("-").split()
    assert sum(Fraction(word) for word in shown) * Fraction("25.4") == pytest.approx(abs(mm), abs=0.00005 * 25.4 + 1e-6)


def test_other_values() -> None:
    assert (show_number(3.0), show_number(Fraction(1, 3)), show_angle(-10.0), show_angle(Fraction("22.5"))) == (
        "3",
        "0.3333",
        "-10°",
        "22.5°",
    )
    assert (show_volume(12.34, "mm"), show_volume(4_250_000, "mm"), show_volume(25.4**3 * 1.5, "in")) == (
        "12.3 mm³",
        "4,250 cm³",
        "1.5 in³",
    )
    assert (show_area(50, "mm"), show_area(123_456, "mm"), show_area(25.4**2 * 144, "in")) == ("50 mm²", "1,235 cm²", "144 in²")
    assert (plural(1, "shelf", "shelves"), plural(2, "shelf", "shelves"), plural(0, "side")) == ("1 shelf", "2 shelves", "0 sides")
