"""Names and sizes: what an expression of the spec comes to in its scope."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Literal

from build123.fields import ast
from build123.fields.evaluate import evaluate
from build123.fields.parse import parse_value
from build123.fields.quantity import Dim, Quantity, as_count, as_length
from build123.model.why import Kind, Why
from build123.problem import Span, SpecError, Text
from build123.resolve.memory import Memory
from build123.resolve.names import NameTable, names_in, table_of
from build123.resolve.scope import Scope
from build123.spec.entries import FrameEntry


@dataclass
class Values(Memory):
    """Evaluates sizes on demand and keeps them. `counted` are the names that counts use."""

    units: Literal["mm", "in"]
    frames: dict[str, tuple[Text, FrameEntry]]
    stock_thickness: dict[str, Callable[[], Quantity]]
    counted: set[str] = field(default_factory=set)

    def table(self, scope: Scope) -> NameTable:
        """The names of a scope."""
        key = ("table", id(scope))
        if key not in self._kept:
            self._kept[key] = table_of(scope)
        return self._kept[key]  # type: ignore[return-value]

    def names(self, scope: Scope) -> ast.Names:
        """What expressions in a scope may name."""
        key = ("names", id(scope))
        if key not in self._kept:
            stocks = frozenset(f"{name}.thickness" for name in self.stock_thickness)
            self._kept[key] = names_in(scope, self.table(scope), stocks)
        return self._kept[key]  # type: ignore[return-value]

    def size(self, scope: Scope, name: str, span: Span | None) -> Quantity:
        """A named size as seen in a scope: its own, or that of the scope around it."""
        if name.endswith(".thickness") and name[: -len(".thickness")] in self.stock_thickness:
            stock = name[: -len(".thickness")]
            return self._keep(("stock", stock), name, span, self.stock_thickness[stock])
        at: Scope | None = scope
        while at is not None:
            if name in at.given and at.outer is not None:
                text, where = at.given[name], at.outer
                break
            own = next((v for k, v in at.group.sizes.items() if k == name), None)
            if own is not None:
                text, where = own, at
                break
            at = at.outer
        else:
            raise SpecError.at("unknown-name", f"there is no size {name!r}", span)

        def make() -> Quantity:
            value = self.value(where, text)
            kind = Kind.angle if value.dim is Dim.angle else Kind.length
            number = value.value
            if value.dim is Dim.bare:
                return Quantity(number, Dim.bare, Why(name, float(number), value.why.how, value.why.of, text.span, kind=Kind.number))
            return Quantity(number, value.dim, Why(name, float(number), value.why.how, value.why.of, text.span, kind=kind))

        return self._keep(("size", id(at), name), name, text.span, make)

    def shown_size(self, scope: Scope, name: str) -> Why:
        """A size as it is listed: a bare number that no count uses is a length."""
        found = self.size(scope, name, None)
        if found.dim is Dim.bare and name not in self.counted:
            return as_length(found, self.units).why
        return found.why

    def value(self, scope: Scope, text: Text) -> Quantity:
        """An expression of sizes only."""
        values = ast.Names(self._values_only(scope), frozenset())
        return evaluate(parse_value(text, values), Sizes(self, scope), self.units)

    def _values_only(self, scope: Scope) -> frozenset[str]:
        key = ("values", id(scope))
        if key not in self._kept:
            found = {f"{name}.thickness" for name in self.stock_thickness}
            at: Scope | None = scope
            while at is not None:
                found |= {str(s) for s in at.group.sizes}
                at = at.outer
            self._kept[key] = frozenset(found)
        return self._kept[key]  # type: ignore[return-value]

    def length(self, scope: Scope, text: Text) -> Quantity:
        """A length, exact."""
        return as_length(self.value(scope, text), self.units)

    def count(self, scope: Scope, text: Text, low: int = 1, high: int = 200) -> int:
        """A whole number."""
        self.counted |= {word for word in self._values_only(scope) if word in text}
        return as_count(self.value(scope, text), low, high)


@dataclass(frozen=True)
class Sizes:
    """Looks up the sizes of a scope."""

    values: Values
    scope: Scope

    def value(self, name: ast.Name) -> Quantity:
        """A size."""
        return self.values.size(self.scope, name.name, name.span)

    def position(self, expr: ast.Body | ast.FaceOf | ast.Outside | ast.Level) -> Quantity:
        """Faces are not lengths."""
        raise SpecError.at("bad-length", "a length is wanted here, not the face of a part", expr.span)
