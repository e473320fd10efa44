"""Texts with places, and the names of the design page's four pieces."""

from fractions import Fraction
from typing import ClassVar

from build123.fields.ast import Body, FaceOf, Level, Name, Names, Outside
from build123.fields.quantity import Dim, Quantity, kind_of
from build123.model.why import Kind, Why
from build123.problem import Source, Span, SpecError, Text

NAMES = Names(
    frozenset({"width", "height", "depth", "length", "over", "leg width", "ply.thickness", "pine.thickness", "count", "rise-a"}),
    frozenset(
        {
            "side", "left side", "right side", "top", "bottom", "back", "shelf", "shelf 1", "shelf 2", "divider", "front rail",
            "back rail", "leg", "front left leg", "front right leg", "back left leg", "long apron", "short apron", "cap", "base",
            "stile", "left stile", "right stile", "rail", "front cornice", "side cornice", "top of cell 3", "shelf 2 of cell 3", "top-rail",
        }
    ),
)  # fmt: skip


def text(written: str) -> Text:
    """The text as it would stand on line 3 of a file, from column 5 on."""
    line = "  x: " + written
    source = Source("piece.yaml", "\n\n" + line)
    return Text(written, Span(source, 2, 5, 2, len(line)))


def under_caret(error: SpecError) -> str:
    """The characters that the finding points at."""
    return excerpt(error.finding.span)


def excerpt(span: Span | None) -> str:
    assert span is not None
    return span.source.lines[span.line][span.column : span.end_column]


class Sizes:
    """A scope with bare sizes, one true length, and faces at places of our own."""

    bare: ClassVar = {"width": 34, "height": 42, "depth": Fraction(45, 4), "over": Fraction(3, 4), "count": 3}
    lengths_mm: ClassVar = {"ply.thickness": Fraction("18.161"), "pine.thickness": Fraction("19.05")}

    def value(self, name: Name) -> Quantity:
        if name.name in self.bare:
            return self._made(name.name, Fraction(self.bare[name.name]), Dim.bare)
        return self._made(name.name, self.lengths_mm[name.name], Dim.length)

    def position(self, expr: Body | FaceOf | Outside | Level) -> Quantity:
        assert isinstance(expr, Body | FaceOf | Outside)
        return self._made(f"face of {expr.part}", Fraction(100), Dim.length)

    def _made(self, what: str, value: Fraction, dim: Dim) -> Quantity:
        kind = kind_of(dim)
        assert isinstance(kind, Kind)
        return Quantity(value, dim, Why(what, float(value), kind=kind))
