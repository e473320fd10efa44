"""What an expression comes to, and why."""

from __future__ import annotations

from dataclasses import replace
from typing import Protocol, TypeAlias

from typing_extensions import assert_never

from build123.fields.ast import Body, Expr, FaceOf, Level, Name, Negative, Number, Operation, Outside
from build123.fields.quantity import Dim, Exact, Quantity, Units, combine, kind_of, literal
from build123.fields.show import show_literal
from build123.model.why import Why

Position: TypeAlias = Body | FaceOf | Outside | Level


class Scope(Protocol):
    """What names and faces stand for where an expression is written."""

    def value(self, name: Name) -> Quantity:
        """The size of that name. Raises SpecError."""

    def position(self, expr: Position) -> Quantity:
        """Where a face lies along the axis, as a length. Raises SpecError."""


def evaluate(expr: Expr, scope: Scope, units: Units) -> Quantity:
    """The value with its chain of reasons; exact where all inputs are.

    A name or a face alone keeps the reason it came with. Raises SpecError: division-by-zero, wrong-dimension, and what
    `scope` raises.
    """
    match expr:
        case Name():
            found = scope.value(expr)
            return found if found.why.what else replace(found, why=replace(found.why, what=expr.name))
        case Body() | FaceOf() | Outside() | Level():
            return scope.position(expr)
        case Number(value, unit, span):
            exact, dim = literal(value, unit)
            return Quantity(exact, dim, Why("", float(exact), span=span, kind=kind_of(dim)))
        case Negative() | Operation():
            formula = _Formula(scope, units)
            exact, dim = formula.value(expr)
            why = Why("", float(exact), formula.said(expr), tuple(q.why for q in formula.inputs), expr.span, kind=kind_of(dim))
            return Quantity(exact, dim, why)
        case _:
            assert_never(expr)


class _Formula:
    """One expression with its inputs, each counted once however often it stands there."""

    def __init__(self, scope: Scope, units: Units) -> None:
        self._scope = scope
        self._units = units
        self._index: dict[str, int] = {}
        self.inputs: list[Quantity] = []

    def value(self, expr: Expr) -> tuple[Exact, Dim]:
        match expr:
            case Number(value, unit):
                return literal(value, unit)
            case Name() | Body() | FaceOf() | Outside() | Level():
                found = self.inputs[self._input(expr)]
                return found.value, found.dim
            case Negative(of):
                exact, dim = self.value(of)
                return -exact, dim
            case Operation(sign, left, right, span):
                return combine(sign, self.value(left), self.value(right), self._units, span)
            case _:
                assert_never(expr)

    def said(self, expr: Expr, least: int = 0) -> str:
        """The formula as it was written, with `{n}` for its inputs; in brackets where it binds less than `least`."""
        match expr:
            case Number(value, unit):
                return show_literal(value, unit)
            case Name() | Body() | FaceOf() | Outside() | Level():
                return f"{{{self._input(expr)}}}"
            case Negative(of):
                written, binds = f"-{self.said(of, 3)}", 3
            case Operation(sign, left, right):
                binds = 1 if sign in "+-" else 2
                shown = "×" if sign == "*" else sign
                written = f"{self.said(left, binds)} {shown} {self.said(right, binds if sign in '+*' else binds + 1)}"
            case _:
                assert_never(expr)
        return f"({written})" if binds < least else written

    def _input(self, expr: Name | Position) -> int:
        key = _key(expr)
        if key not in self._index:
            self._index[key] = len(self.inputs)
            self.inputs.append(evaluate(expr, self._scope, self._units))
        return self._index[key]


def _key(expr: Name | Position) -> str:
    match expr:
        case Name(name):
            return f"name {name}"
        case Body(part):
            return f"body {part}"
        case FaceOf(face, part):
            return f"{face} of {part}"
        case Outside(part):
            return f"outside {part}"
        case Level(height):
            return f"level {height!r}"
        case _:
            assert_never(expr)
