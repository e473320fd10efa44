"""Faces of other parts as coordinates along an axis."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from build123.fields import ast
from build123.fields.evaluate import evaluate
from build123.fields.quantity import Dim, Quantity, as_length
from build123.fields.show import show_length
from build123.model.body import DIRECTIONS, FaceTag
from build123.model.why import Why
from build123.problem import Span, SpecError, Text
from build123.resolve.frames import AXES
from build123.resolve.scope import Declared
from build123.resolve.turning import Face, Standing, dot
from build123.resolve.values import Sizes

if TYPE_CHECKING:
    from build123.resolve.layout import Layout


class Leaning(Exception):
    """A face that does not cross the axis square was met inside an expression."""

    def __init__(self, face: Face, why: Why) -> None:
        super().__init__()
        self.face = face
        self.why = why


@dataclass(frozen=True)
class Positions(Sizes):
    """Looks up faces too, as coordinates along an axis of `standing`. `side` is the end that is asked for; 0 is the middle."""

    layout: Layout
    text: Text
    standing: Standing
    axis: int
    side: int

    def position(self, expr: ast.Body | ast.FaceOf | ast.Outside | ast.Level) -> Quantity:
        """The coordinate of a face; `Leaning` where it has none."""
        if isinstance(expr, ast.Level):
            height = as_length(evaluate(expr.height, self, self.layout.units), self.layout.units)
            face = Face((0, 0, 1), height.value).seen_from(Standing(), self.standing)
            level = Why(f"level {show_length(height.value, self.layout.units)}", float(height.value), "", (height.why,), expr.span)
            return self._coordinate(face, level, expr.span)
        table = self.layout.table(self.scope)
        one = table.one(expr.part, Text(expr.part, expr.span))
        up = tuple(float(self.standing.matrix[k][self.axis]) for k in range(3))
        down = tuple(-c for c in up)
        if isinstance(expr, ast.FaceOf):
            tag = self.layout.facing(one, self.layout.ways(self.scope)[expr.face])
        elif self.side == 0:
            low = self._face(one, self.layout.facing(one, down), expr.span)  # type: ignore[arg-type]
            high = self._face(one, self.layout.facing(one, up), expr.span)  # type: ignore[arg-type]
            middle = (low.value + high.value) / 2
            return Quantity(
                middle, Dim.length, Why(f"middle of {one.name}", float(middle), "half way from {0} to {1}", (low.why, high.why), expr.span)
            )
        else:
            looks_up = (self.side < 0) == isinstance(expr, ast.Body)
            tag = self.layout.facing(one, up if looks_up else down)  # type: ignore[arg-type]
        return self._face(one, tag, expr.span)

    def _face(self, one: Declared, tag: FaceTag, span: Span | None) -> Quantity:
        end = self.layout.end(one, tag)
        standing = self.layout.standing(one)
        face = end.face.seen_from(standing, self.standing)
        matrix = standing.matrix
        looks = max(DIRECTIONS, key=lambda w: round(sum(float(matrix[k][tag[0]]) * tag[1] * DIRECTIONS[w][k] for k in range(3)), 9))
        return self._coordinate(face, Why(f"{looks} face of {one.name}", end.why.value, end.why.how, end.why.of, end.why.span), span)

    def _coordinate(self, face: Face, why: Why, span: Span | None) -> Quantity:
        value = face.on_axis(self.axis)
        if value is None:
            if dot(face.normal, tuple(1 if k == self.axis else 0 for k in range(3))) == 0:  # type: ignore[arg-type]
                raise SpecError.at("bad-extent", f"the {why.what} does not cross the {AXES[self.axis]} axis", span or self.text.span)
            raise Leaning(face, why)
        return Quantity(value, Dim.length, Why(why.what, float(value), why.how, why.of, why.span))
