"""Lengths as a maker says them, in exact rationals; what can be read in two ways is refused."""

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from reading import NAMES, Sizes, excerpt, text, under_caret

from build123.fields.ast import Name, Negative, Number, Operation
from build123.fields.evaluate import evaluate
from build123.fields.parse import parse_value
from build123.fields.quantity import Dim, as_length
from build123.problem import SpecError, Text


def mm(written: str, units: str = "in") -> Fraction | float:
    assert units in ("mm", "in")
    return as_length(evaluate(parse_value(text(written), NAMES), Sizes(), units), units).value  # type: ignore[arg-type]


def refused(written: str) -> SpecError:
    with pytest.raises(SpecError) as caught:
        parse_value(text(written), NAMES)
    return caught.value


# The inch is 25.4 mm exactly: international yard and pound agreement of 1959.
@pytest.mark.parametrize(
    ("written", "exact_mm"),
    [
        ("18 mm", Fraction(18)),
        ("1.8 cm", Fraction(18)),
        ("2 m", Fraction(2000)),
        ("18", Fraction(18) * Fraction("25.4")),
        ("3/4 in", Fraction("19.05")),
        ('3/4"', Fraction("19.05")),
        ("3/4″", Fraction("19.05")),
        ("3/4''", Fraction("19.05")),
        ("1 3/4 in", Fraction("44.45")),
        ("1 3/4 inches", Fraction("44.45")),
        ("11 1/4", Fraction("285.75")),
        ("1½ in", Fraction("38.1")),
        ("⅛ in", Fraction("3.175")),
        ("1/64 in", Fraction("0.396875")),
        ("2' 6 1/2\"", Fraction("774.7")),
        ("2′6½″", Fraction("774.7")),
        ("2 ft 6 in", Fraction("762")),
        ("2'", Fraction("609.6")),
        ("6 feet", Fraction("1828.8")),
        ("0.715", Fraction("18.161")),
        (".5 in", Fraction("12.7")),
        ("3/4 in / 2", Fraction("9.525")),
        ("3/4 in + 1 mm", Fraction("20.05")),
        ("1/3 in * 3", Fraction("25.4")),
        ("2 × 3/4 in − 1/2 in", Fraction("25.4")),
        ("(1 + 1/2) * 2 in", Fraction("76.2")),
        ("12 / (3/4) * 1 mm", Fraction(16)),
        ("1 - 3/4", Fraction("6.35")),
        ("--3 mm", Fraction(3)),
        ("-2' 6\"", Fraction("-762")),
        ("width - 2 * ply.thickness", Fraction("863.6") - 2 * Fraction("18.161")),
        ("width/2", Fraction("431.8")),
        ("012", Fraction(12) * Fraction("25.4")),
        ("1000000000 / 3", Fraction(1000000000, 3) * Fraction("25.4")),
    ],
)
def test_a_length_is_exact(written: str, exact_mm: Fraction) -> None:
    value = mm(written)
    assert isinstance(value, Fraction) and value == exact_mm


def test_a_bare_number_is_in_the_files_units() -> None:
    assert (mm("18", "mm"), mm("18", "in")) == (18, Fraction("457.2"))
    assert mm("3/4 in + 1", "mm") == Fraction("20.05")


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 400), st.integers(0, 63), st.sampled_from([2, 4, 8, 16, 32, 64]))
def test_any_inch_fraction_is_exact(whole: int, over: int, under: int) -> None:
    assert mm(f"{whole} {over}/{under} in", "mm") == (whole + Fraction(over, under)) * Fraction(127, 5)


@settings(max_examples=60, deadline=None)
@given(st.lists(st.sampled_from([*"0123456789 /.-+*()'\",;:^%", "in", "mm", "width", "top", " of ", "to ", "½", "\u2028"]), max_size=14))
def test_no_text_brings_anything_but_a_length_or_a_finding(pieces: list[str]) -> None:
    written = "".join(pieces)
    try:
        evaluate(parse_value(Text(written), NAMES), Sizes(), "mm")
    except SpecError as error:
        assert error.finding.id and error.finding.message


@pytest.mark.parametrize(
    ("written", "id", "caret", "change"),
    [
        ("1-3/4 in", "bad-length", "1-3/4", "1 3/4"),
        ("0,5", "bad-length", "0,5", "write 0.5"),
        ("1,200", "bad-length", "1,200", "1200"),
        ("2**3", "bad-length", "**", "write it out"),
        ("2 ^ 3", "bad-length", "^", "write it out"),
        ("width ** 2", "bad-length", "**", "write it out"),
        ("3²", "bad-length", "²", "write it out"),
        ("1e3", "bad-length", "e3", "write it out"),
        ("1.2.3", "bad-length", "1.2.3", ""),
        ("1_000", "bad-length", "1_000", ""),
        ("1:30", "bad-length", ":", ""),
        ("12 / 3/4", "bad-length", "3/4", "(3/4)"),
        ("width/3/4", "bad-length", "3/4", "(3/4)"),
        ("12/3/4", "bad-length", "12/3/4", "brackets"),
        ("1/0", "division-by-zero", "1/0", ""),
        ("2' 6", "bad-length", "2' 6", "write 2' 6\""),
        ("12 3", "bad-length", "3", ""),
        ("2 width", "bad-length", "width", ""),
        ("width mm", "bad-length", "mm", ""),
        ("9" * 16, "bad-length", "9" * 16, ""),
        ("18 mn", "unknown-unit", "mn", "`mm`"),
        ("18 inchs", "unknown-unit", "inchs", "`inches`"),
        ("18 MM", "unknown-unit", "MM", "`mm`"),
        ("18 cubits", "unknown-unit", "cubits", "mm, cm, m, in or ft"),
        ("2 * widht", "unknown-name", "widht", "`width`"),
        ("Width", "unknown-name", "Width", "`width`"),
        ("depth - ply.thicknes", "unknown-name", "ply.thicknes", "`ply.thickness`"),
        ("leg widht / 2", "unknown-name", "leg widht", "`leg width`"),
        ("rise-b", "unknown-name", "rise-b", "`rise-a`"),
        ("nan", "unknown-name", "nan", ""),
        ("top", "bad-length", "top", "sizes"),
        ("1 + back of top", "bad-length", "back of top", "sizes"),
        ("(1 + 2", "bad-length", "(", ""),
        ("1 + 2)", "bad-length", ")", ""),
        ("1 + * 2", "bad-length", "*", ""),
        ("* 2", "bad-length", "*", ""),
        ("2 *", "bad-length", "*", ""),
        ("__import__('os')", "unknown-name", "__import__", ""),
    ],
)
def test_a_trap_is_refused_with_its_caret(written: str, id: str, caret: str, change: str) -> None:
    error = refused(written)
    assert (error.finding.id, under_caret(error)) == (id, caret)
    assert change in error.finding.change


@pytest.mark.parametrize("written", ["1" * 401, "1+" * 200 + "1", "(" * 31 + "1" + ")" * 31, "-" * 31 + "1", "(" * 200, "-" * 400])
def test_long_and_deep_texts_are_refused(written: str) -> None:
    assert refused(written).finding.id == "bad-length"


def test_what_the_bounds_allow_is_worked_out() -> None:
    assert mm("1+" * 199 + "1", "mm") == 200
    assert mm("(" * 30 + "1" + ")" * 30, "mm") == 1


def test_nothing_at_all() -> None:
    assert "nothing is said" in refused("").finding.message


def test_every_node_has_its_own_characters() -> None:
    whole = parse_value(text("(width - 2) * -3/4 in"), NAMES)
    assert isinstance(whole, Operation) and isinstance(whole.left, Operation) and isinstance(whole.right, Negative)
    assert isinstance(whole.left.left, Name) and isinstance(whole.right.of, Number)
    assert excerpt(whole.span) == "(width - 2) * -3/4 in"
    assert excerpt(whole.left.span) == "width - 2"
    assert excerpt(whole.left.left.span) == "width"
    assert excerpt(whole.right.span) == "-3/4 in"
    assert excerpt(whole.right.of.span) == "3/4 in"


def test_a_quoted_length_is_pointed_at_as_a_whole() -> None:
    place = text("'2 * widht'").span
    with pytest.raises(SpecError) as caught:
        parse_value(Text("2 * widht", place, plain=False), NAMES)
    assert under_caret(caught.value) == "'2 * widht'"


def test_a_size_named_like_a_unit_with_more_words_is_a_name() -> None:
    from build123.fields.ast import Names

    made = parse_value(text("2 * m rail"), Names(frozenset({"m rail"}), frozenset()))
    assert isinstance(made, Operation) and made.right == Name("m rail", made.right.span)


def test_angles() -> None:
    value = evaluate(parse_value(text("90 deg - 10° / 2"), NAMES), Sizes(), "mm")
    assert (value.value, value.dim) == (85, Dim.angle)
