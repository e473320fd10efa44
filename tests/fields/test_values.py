"""What an expression comes to: dimensions are kept apart and every value has its reason."""

from fractions import Fraction

import pytest
from reading import NAMES, Sizes, text, under_caret

from build123.fields.evaluate import evaluate
from build123.fields.parse import parse_position, parse_value
from build123.fields.quantity import Dim, Quantity, as_angle, as_count, as_length, as_number
from build123.fields.show import show_why
from build123.model.why import Kind, Why
from build123.problem import SpecError


def worked_out(written: str) -> Quantity:
    return evaluate(parse_value(text(written), NAMES), Sizes(), "in")


@pytest.mark.parametrize(
    ("written", "value", "dim"),
    [
        ("2 * 3", 6, Dim.bare),
        ("width / 2", 17, Dim.bare),
        ("2 * 3 mm", 6, Dim.length),
        ("6 mm / 2", 3, Dim.length),
        ("6 mm / 2 mm", 3, Dim.ratio),
        ("1 in / 1 mm", Fraction("25.4"), Dim.ratio),
        ("6 mm / 2 mm * 5 mm", 15, Dim.length),
        ("10 mm / (6 mm / 3 mm)", 5, Dim.length),
        ("6 mm / 2 mm + 1", 4, Dim.ratio),
        ("2 mm * 3 mm / 6 mm", 1, Dim.length),
        ("2 mm * 3 mm / (1 mm * 6 mm)", 1, Dim.ratio),
        ("2 mm * 3 mm", 6, Dim.area),
        ("1 + 1 mm", Fraction("26.4"), Dim.length),
        ("30 deg / 3", 10, Dim.angle),
        ("30 deg + 5", 35, Dim.angle),
        ("-(1 - 3)", 2, Dim.bare),
    ],
)
def test_dimensions(written: str, value: Fraction, dim: Dim) -> None:
    found = worked_out(written)
    assert (found.value, found.dim) == (value, dim) and found.why.value == float(value)


@pytest.mark.parametrize(
    ("written", "id", "caret"),
    [
        ("3 / 4 in", "wrong-dimension", "3 / 4 in"),
        ("1 in * 1 in * 1 in", "wrong-dimension", "1 in * 1 in * 1 in"),
        ("2 in + 10 deg", "wrong-dimension", "2 in + 10 deg"),
        ("10 deg * 2 in", "wrong-dimension", "10 deg * 2 in"),
        ("1 mm / 1 mm + 1 mm", "wrong-dimension", "1 mm / 1 mm + 1 mm"),
        ("2 * (1 in / (3 - 3))", "division-by-zero", "1 in / (3 - 3)"),
        ("width / (width - 34)", "division-by-zero", "width / (width - 34)"),
    ],
)
def test_a_wrong_operation_is_pointed_at(written: str, id: str, caret: str) -> None:
    with pytest.raises(SpecError) as caught:
        worked_out(written)
    assert (caught.value.finding.id, under_caret(caught.value)) == (id, caret)


@pytest.mark.parametrize("written", ["2 mm * 3 mm", "6 mm / 2 mm", "10 deg"])
def test_what_is_no_length_is_not_taken_for_one(written: str) -> None:
    with pytest.raises(SpecError) as caught:
        as_length(worked_out(written), "mm")
    assert caught.value.finding.id == "wrong-dimension" and under_caret(caught.value) == written


def test_a_fraction_with_spaces_gets_the_hint() -> None:
    with pytest.raises(SpecError) as caught:
        worked_out("3 / 4 in")
    assert "3/4 in" in caught.value.finding.change


def test_counts_angles_and_numbers() -> None:
    assert as_count(worked_out("count + 6 mm / 2 mm"), 1, 10) == 6
    assert as_angle(worked_out("-10")).value == -10 and as_angle(worked_out("-10")).why.kind is Kind.angle
    assert as_number(worked_out("6 mm / 4 mm")).value == Fraction(3, 2)
    for written, id in [
        ("1/2", "bad-count"),
        ("0", "bad-count"),
        ("11", "bad-count"),
        ("3 mm", "wrong-dimension"),
        ("3 deg", "wrong-dimension"),
    ]:
        with pytest.raises(SpecError) as caught:
            as_count(worked_out(written), 1, 10)
        assert caught.value.finding.id == id and under_caret(caught.value) == written
    with pytest.raises(SpecError):
        as_angle(worked_out("3 mm"))


def test_a_bare_length_says_so_in_its_reason_too() -> None:
    length = as_length(worked_out("3/4"), "in")
    assert (length.value, length.why.value, length.why.kind) == (Fraction("19.05"), 19.05, Kind.length)


@pytest.mark.parametrize(
    ("written", "how", "inputs"),
    [
        ("width", "", []),
        ("3/4 in", "", []),
        ("34 - 1/2 in", "34 - 1/2 in", []),
        ("width - 2*ply.thickness", "{0} - 2 × {1}", ["width", "ply.thickness"]),
        ("width - width / 2 - over", "{0} - {0} / 2 - {1}", ["width", "over"]),
        ("(width - over) / 2", "({0} - {1}) / 2", ["width", "over"]),
        ("width - (over - depth)", "{0} - ({1} - {2})", ["width", "over", "depth"]),
        ("width - (over + depth)", "{0} - ({1} + {2})", ["width", "over", "depth"]),
        ("width / (over * 2)", "{0} / ({1} × 2)", ["width", "over"]),
        ("-(width + 1)", "-({0} + 1)", ["width"]),
        ("width * (-2)", "{0} × -2", ["width"]),
    ],
)
def test_the_reason_is_the_formula_with_its_inputs(written: str, how: str, inputs: list[str]) -> None:
    why = worked_out(written).why
    assert (why.how, [cause.what for cause in why.of]) == (how, inputs)


def test_a_face_keeps_its_own_reason() -> None:
    found = evaluate(parse_position(text("front of top - 2 mm"), NAMES), Sizes(), "mm")
    assert (found.value, found.why.how, found.why.of[0].what) == (98, "{0} - 2 mm", "face of top")


def test_a_float_from_a_turned_frame_is_carried_on() -> None:
    class Turned(Sizes):
        def position(self, expr: object) -> Quantity:
            return Quantity(100.5, Dim.length, Why("turned", 100.5))

    found = evaluate(parse_position(text("top + 1/2 in"), NAMES), Turned(), "mm")
    assert found.value == pytest.approx(113.2)


def test_a_chain_is_printed_once_and_referred_to() -> None:
    place = text("18").span
    thickness = Why("ply.thickness", 18.0, span=place)
    inside = Why("inside width", 764.0, "{0} - 2 × {1}", (Why("width", 800.0, span=place), thickness))
    depth = Why("dado depth", 6.0, default="a third of the thickness, common practice")
    shelf = Why("shelf length", 776.0, "{0} between the sides + 2 × {1} into the dados", (inside, depth), place)
    both = Why("", 1552.0, "{0} + {1}", (shelf, Why("other shelf", 776.0, "{0} + 2 × {1}", (inside, depth))))
    assert show_why(both, "mm") == [
        "1552 mm = 776 mm + 776 mm",
        "  shelf length = 776 mm = 764 mm between the sides + 2 × 6 mm into the dados   (piece.yaml:3)",
        "    inside width = 764 mm = 800 mm - 2 × 18 mm",
        "      width = 800 mm   (piece.yaml:3)",
        "      ply.thickness = 18 mm   (piece.yaml:3)",
        "    dado depth = 6 mm   default: a third of the thickness, common practice",
        "  other shelf = 776 mm = 764 mm + 2 × 6 mm",
        "    inside width = 764 mm   (see above)",
        "    dado depth = 6 mm   default: a third of the thickness, common practice",
    ]


def test_a_chain_that_doubles_at_every_step_stays_short() -> None:
    why = Why("a0", 1.0)
    for n in range(1, 2000):
        why = Why(f"a{n}", 1.0, "{0} + {1} - {0}", (why, why))
    assert len(show_why(why, "mm")) < 4001
