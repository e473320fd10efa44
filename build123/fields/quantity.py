"""Values with their dimension: exact rationals as long as they can be, and never a length taken for a number."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import Enum
from fractions import Fraction
from typing import Final, Literal, TypeAlias

from build123.fields.ast import Unit
from build123.model.why import Kind, Why
from build123.problem import Span, SpecError

Units: TypeAlias = Literal["mm", "in"]
"""What a file's bare numbers are in."""

Exact: TypeAlias = Fraction | float
"""A float only where a turned frame has been passed."""

MM: Final[dict[Unit, Fraction]] = {
    "mm": Fraction(1), "cm": Fraction(10), "m": Fraction(1000), "in": Fraction(127, 5), "ft": Fraction(1524, 5),
}  # fmt: skip
"""Millimetres in each unit of length; the inch is 25.4 mm exactly (international yard and pound agreement, 1959)."""


class Dim(Enum):
    """What a value measures. `bare` was written without a unit; `ratio` is a length divided by a length."""

    bare = "a number"
    ratio = "a ratio"
    length = "a length"
    area = "an area"
    angle = "an angle"


@dataclass(frozen=True, slots=True)
class Quantity:
    """A value: mm, mm2 or degrees as `dim` says; a bare one is in the file's units where a length is wanted."""

    value: Exact
    dim: Dim
    why: Why


def literal(value: Fraction, unit: Unit | None) -> tuple[Exact, Dim]:
    """A written number in mm, in degrees, or as it is."""
    if unit is None:
        return value, Dim.bare
    if unit == "deg":
        return value, Dim.angle
    return value * MM[unit], Dim.length


def kind_of(dim: Dim) -> Kind:
    """How a value of this dimension is shown."""
    return Kind.length if dim is Dim.length else Kind.angle if dim is Dim.angle else Kind.number


_TIMES: Final = {
    frozenset({Dim.bare}): Dim.bare, frozenset({Dim.ratio}): Dim.ratio, frozenset({Dim.bare, Dim.ratio}): Dim.ratio,
    frozenset({Dim.bare, Dim.length}): Dim.length, frozenset({Dim.ratio, Dim.length}): Dim.length,
    frozenset({Dim.bare, Dim.angle}): Dim.angle, frozenset({Dim.ratio, Dim.angle}): Dim.angle,
    frozenset({Dim.length}): Dim.area,
    frozenset({Dim.bare, Dim.area}): Dim.area, frozenset({Dim.ratio, Dim.area}): Dim.area,
}  # fmt: skip

_OVER: Final = {
    (Dim.area, Dim.length): Dim.length,
    (Dim.bare, Dim.bare): Dim.bare,
    (Dim.ratio, Dim.bare): Dim.ratio, (Dim.bare, Dim.ratio): Dim.ratio,
}  # fmt: skip


def combine(
    sign: Literal["+", "-", "*", "/"], left: tuple[Exact, Dim], right: tuple[Exact, Dim], units: Units, span: Span | None
) -> tuple[Exact, Dim]:
    """One operation. Raises SpecError: division-by-zero, wrong-dimension."""
    (a, of_a), (b, of_b) = left, right
    match sign:
        case "+" | "-":
            (a, b), dim = _alike((a, of_a), (b, of_b), units, span)
            return (a + b if sign == "+" else a - b), dim
        case "*":
            product = _TIMES.get(frozenset({of_a, of_b}))
            if product is None:
                raise _wrong(f"{of_a.value} times {of_b.value} is nothing that a piece has", span)
            return a * b, product
        case "/":
            if b == 0:
                raise SpecError.at("division-by-zero", "this divides by zero", span, label="by zero")
            return a / b, _quotient(of_a, of_b, span)


def _quotient(of_a: Dim, of_b: Dim, span: Span | None) -> Dim:
    if (of_a, of_b) in _OVER:
        return _OVER[of_a, of_b]
    if of_b in (Dim.bare, Dim.ratio):
        return of_a
    if of_a is of_b:
        return Dim.ratio
    hint = "write a fraction without spaces around its stroke: 3/4 in" if of_a is Dim.bare and of_b is Dim.length else ""
    raise _wrong(f"{of_a.value} cannot be divided by {of_b.value}", span, hint)


def _alike(left: tuple[Exact, Dim], right: tuple[Exact, Dim], units: Units, span: Span | None) -> tuple[tuple[Exact, Exact], Dim]:
    (a, of_a), (b, of_b) = left, right
    if of_a is of_b:
        return (a, b), of_a
    match of_a, of_b:
        case Dim.bare, Dim.length:
            return (a * MM[units], b), Dim.length
        case Dim.length, Dim.bare:
            return (a, b * MM[units]), Dim.length
        case (Dim.bare, Dim.angle) | (Dim.angle, Dim.bare):
            return (a, b), Dim.angle
        case (Dim.bare, Dim.ratio) | (Dim.ratio, Dim.bare):
            return (a, b), Dim.ratio
        case _:
            raise _wrong(f"{of_a.value} and {of_b.value} cannot be added or taken away from one another", span)


def as_length(quantity: Quantity, units: Units) -> Quantity:
    """The same as a length in mm; a bare number is in the file's units. Raises SpecError: wrong-dimension."""
    match quantity.dim:
        case Dim.length:
            return quantity
        case Dim.bare:
            value = quantity.value * MM[units]
            return Quantity(value, Dim.length, replace(quantity.why, value=float(value), kind=Kind.length))
        case Dim.ratio:
            raise _wrong("a length is wanted here; this divides a length by a length, which leaves a number", quantity.why.span)
        case Dim.area | Dim.angle:
            raise _wrong(f"a length is wanted here; this is {quantity.dim.value}", quantity.why.span)


def as_angle(quantity: Quantity) -> Quantity:
    """The same as an angle in degrees; a bare number is in degrees. Raises SpecError: wrong-dimension."""
    if quantity.dim not in (Dim.angle, Dim.bare):
        raise _wrong(f"an angle is wanted here; this is {quantity.dim.value}", quantity.why.span, "write it as `10 deg`")
    return Quantity(quantity.value, Dim.angle, replace(quantity.why, kind=Kind.angle))


def as_number(quantity: Quantity) -> Quantity:
    """The same as a plain number. Raises SpecError: wrong-dimension."""
    if quantity.dim not in (Dim.bare, Dim.ratio):
        raise _wrong(f"a plain number is wanted here; this is {quantity.dim.value}", quantity.why.span, "take the unit out")
    return quantity


def as_count(quantity: Quantity, low: int, high: int) -> int:
    """A whole number from `low` to `high`. Raises SpecError: wrong-dimension, bad-count."""
    number = as_number(quantity).value
    if number != int(number):
        raise SpecError.at("bad-count", f"a whole number is wanted here; this is {float(number):g}", quantity.why.span)
    if not low <= number <= high:
        raise SpecError.at("bad-count", f"{int(number)} is not from {low} to {high}", quantity.why.span)
    return int(number)


def _wrong(message: str, span: Span | None, change: str = "") -> SpecError:
    return SpecError.at("wrong-dimension", message, span, label="here", change=change)
