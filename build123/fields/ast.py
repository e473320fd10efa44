"""What a length, a position or an extent says, before anything is known of its value."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Literal, TypeAlias

from build123.problem import Span

Unit = Literal["mm", "cm", "m", "in", "ft", "deg"]
FaceWord = Literal["left", "right", "front", "back", "top", "bottom"]


@dataclass(frozen=True, slots=True)
class Number:
    """A literal. `unit` is None for a bare number, which is in the file's units where a length is wanted."""

    value: Fraction
    unit: Unit | None
    span: Span | None = None


@dataclass(frozen=True, slots=True)
class Name:
    """A declared size, or a stock's `NAME.thickness`."""

    name: str
    span: Span | None = None


@dataclass(frozen=True, slots=True)
class Body:
    """A part's name alone: its face that looks at the extent."""

    part: str
    span: Span | None = None


@dataclass(frozen=True, slots=True)
class FaceOf:
    """`front of P`: the face that looks most to that direction of the piece."""

    face: FaceWord
    part: str
    span: Span | None = None


@dataclass(frozen=True, slots=True)
class Outside:
    """`outside P`: the face that looks away from the extent."""

    part: str
    span: Span | None = None


@dataclass(frozen=True, slots=True)
class Level:
    """`level L` (or `floor`, which is level 0): the horizontal plane of the piece at that height."""

    height: Expr
    span: Span | None = None


@dataclass(frozen=True, slots=True)
class Negative:
    """Minus."""

    of: Expr
    span: Span | None = None


@dataclass(frozen=True, slots=True)
class Operation:
    """Arithmetic on two values. There is no power."""

    sign: Literal["+", "-", "*", "/"]
    left: Expr
    right: Expr
    span: Span | None = None


Expr: TypeAlias = Number | Name | Body | FaceOf | Outside | Level | Negative | Operation


@dataclass(frozen=True, slots=True)
class Between:
    """`A to B`: from a face that looks up the axis to one that looks down it."""

    low: Expr
    high: Expr
    span: Span | None = None


@dataclass(frozen=True, slots=True)
class Starting:
    """`from A`, with `for L` or the stock's thickness."""

    low: Expr
    length: Expr | None
    span: Span | None = None


@dataclass(frozen=True, slots=True)
class Ending:
    """`up to A`, with `for L` or the stock's thickness."""

    high: Expr
    length: Expr | None
    span: Span | None = None


@dataclass(frozen=True, slots=True)
class Centred:
    """`centred on A`, with `for L` or the stock's thickness."""

    middle: Expr
    length: Expr | None
    span: Span | None = None


@dataclass(frozen=True, slots=True)
class Evenly:
    """`N evenly A to B`: N bodies with equal clear gaps, before the first and after the last too."""

    count: Expr
    low: Expr
    high: Expr
    length: Expr | None
    span: Span | None = None


@dataclass(frozen=True, slots=True)
class SameAs:
    """`same as P`: what P says for this axis."""

    part: str
    span: Span | None = None


@dataclass(frozen=True, slots=True)
class EachGap:
    """`each gap of RUN`: one body for each clear gap between neighbours of a run."""

    run: str
    span: Span | None = None


Extent: TypeAlias = Between | Starting | Ending | Centred | Evenly | SameAs | EachGap


@dataclass(frozen=True, slots=True)
class Names:
    """What may be named: `values` are sizes and `STOCK.thickness`; `bodies` are parts, pairs and runs."""

    values: frozenset[str]
    bodies: frozenset[str]
