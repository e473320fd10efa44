"""Where every end plane of every part lies. The node of the dependency graph is one end plane, not a part.

Layout reads only sizes, stock and sight faces; joints move ends of blanks later, so that they cannot cause a cycle.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Literal, TypeVar

from build123.fields import ast
from build123.fields.evaluate import evaluate
from build123.fields.parse import parse_extent, parse_position, parse_value
from build123.fields.quantity import Dim, Quantity, as_angle, as_count, as_length
from build123.fields.show import show_length
from build123.model.body import DIRECTIONS, FACES, Body, FaceTag
from build123.model.why import Kind, Why
from build123.problem import Span, SpecError, Text
from build123.resolve.names import NameTable, names_in, table_of
from build123.resolve.scope import Declared, Scope
from build123.resolve.turning import Face, Number, Standing, dot, times, turn
from build123.spec.entries import FrameEntry

T = TypeVar("T")
AXES = ("x", "y", "z")
ALONG = (("left", "right"), ("front", "back"), ("bottom", "top"))


@dataclass(frozen=True, slots=True)
class End:
    """One end of a part in the part's own standing frame, with its reason."""

    face: Face
    why: Why


class _Leaning(Exception):
    """A face that does not cross the axis square was met inside an expression."""

    def __init__(self, face: Face, why: Why) -> None:
        super().__init__()
        self.face = face
        self.why = why


@dataclass
class Layout:
    """Evaluates sizes, frames and end planes on demand and keeps them. Asking raises SpecError; the same one each time."""

    units: Literal["mm", "in"]
    frames: dict[str, tuple[Text, FrameEntry]]
    stock_thickness: dict[str, Callable[[], Quantity]]
    counted: set[str] = field(default_factory=set)
    _kept: dict[object, object] = field(default_factory=dict)
    _open: list[tuple[object, str, Span | None]] = field(default_factory=list)

    @contextmanager
    def _asking(self, key: object, label: str, span: Span | None) -> Iterator[None]:
        for n, (other, _, _) in enumerate(self._open):
            if other == key:
                ring = self._open[n:]
                shown = " -> ".join([f"{text} (line {s.line + 1})" if s else text for _, text, s in ring] + [ring[0][1]])
                spans = [s for _, _, s in ring]
                self._open_error = SpecError.at(
                    "cycle", f"these depend on one another in a ring: {shown}", *spans, change="say one of them by itself"
                )
                raise self._open_error
        if len(self._open) > 900:
            raise SpecError.at("too-deep", "this chain of positions is longer than 900", span)
        self._open.append((key, label, span))
        try:
            yield
        finally:
            self._open.pop()

    def _keep(self, key: object, label: str, span: Span | None, make: Callable[[], T]) -> T:
        """Make a value once; an error is kept too."""
        if key in self._kept:
            kept = self._kept[key]
            if isinstance(kept, SpecError):
                raise kept
            return kept  # type: ignore[return-value]
        with self._asking(key, label, span):
            try:
                made = make()
            except SpecError as error:
                self._kept[key] = error
                raise
        self._kept[key] = made
        return made

    # names ------------------------------------------------------------------------------------------------------------

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

    # sizes ------------------------------------------------------------------------------------------------------------

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
        return evaluate(parse_value(text, values), _Sizes(self, scope), self.units)

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

    # frames -----------------------------------------------------------------------------------------------------------

    def standing_of_scope(self, scope: Scope) -> Standing:
        """Where an assembly stands in the piece."""
        if scope.outer is None or scope.place is None:
            return Standing()
        place, outer = scope.place, scope.outer

        def make() -> Standing:
            around = self.standing_of_scope(outer)
            origin = []
            for axis in range(3):
                start = self._place_coordinate(outer, place.at[axis], axis)
                step = self.length(outer, place.every[axis]).value if place.every is not None else Fraction(0)
                origin.append(start + step * scope.number)
            angle = 0.0 if place.turn is None else float(as_angle(self.value(outer, place.turn)).value)
            return around.within(Standing(turn("z", angle), (origin[0], origin[1], origin[2])))

        return self._keep(("standing", id(scope)), f"place of {scope.label}", scope.place_key.span if scope.place_key else None, make)

    def _place_coordinate(self, scope: Scope, text: Text, axis: int) -> Number:
        expr = parse_position(text, self.names(scope))
        here = self.standing_of_scope(scope)
        try:
            return as_length(evaluate(expr, _Positions(self, scope, text, here, axis, -1), self.units), self.units).value
        except _Leaning:
            raise SpecError.at("leaning-face", "an assembly cannot be placed against a leaning face", text.span) from None

    def standing(self, one: Declared) -> Standing:
        """The frame that a part stands in: the piece, its assembly's, or a turned one."""

        def make() -> Standing:
            if one.base is not None:
                scope_frame = self.standing_of_scope(one.scope)
                return scope_frame.within(
                    self._own(one.base).mirrored(one.flip, {k: self.middle(one.scope, k, one.key.span) for k in one.flip})
                )
            return self.standing_of_scope(one.scope).within(self._own(one))

        return self._keep(("frame of", id(one)), f"frame of {one.name}", one.key.span, make)

    def _own(self, one: Declared) -> Standing:
        if one.entry.frame is None:
            return Standing()
        return self.turned(one.scope, one.entry.frame)

    def turned(self, scope: Scope, name: Text) -> Standing:
        """A named frame in its scope."""
        if name not in self.frames:
            import difflib

            near = difflib.get_close_matches(name, list(self.frames), 1)
            raise SpecError.at(
                "unknown-name", f"there is no frame {str(name)!r}" + (f"; did you mean {near[0]!r}?" if near else ""), name.span
            )
        key, entry = self.frames[name]

        def make() -> Standing:
            angle = float(as_angle(self.value(scope, entry.turn)).value)
            matrix = turn(entry.about, angle)
            through: tuple[Number, Number, Number] = (Fraction(0), Fraction(0), Fraction(0))
            if entry.through is not None:
                a, b, c = (self.length(scope, t).value for t in entry.through)
                through = (a, b, c)
            moved = times(matrix, through)
            own = Standing(matrix, tuple(p - q for p, q in zip(through, moved, strict=True)))  # type: ignore[arg-type]
            return self.turned(scope, entry.within).within(own) if entry.within is not None else own

        return self._keep(("frame", id(scope), str(name)), f"frame {name}", key.span, make)

    def middle(self, scope: Scope, axis: int, span: Span | None) -> Number:
        """The middle plane that pairs of a scope are mirrored about."""
        said = (scope.group.middle.x, scope.group.middle.y)[axis]
        if said is not None:
            return self.length(scope, said).value
        for name in (("width", "length"), ("depth",))[axis]:
            if name in self._values_only(scope):
                return as_length(self.size(scope, name, span), self.units).value / 2
        words = ("width", "left and right") if axis == 0 else ("depth", "front and back")
        raise SpecError.at(
            "no-middle",
            f"a pair of {words[1]} is mirrored about the middle, and nothing says where that is",
            span,
            change=f"name the overall size `{words[0]}` under sizes, or say `middle: {{{AXES[axis]}: ...}}`",
        )

    # ends -------------------------------------------------------------------------------------------------------------

    def facing(self, one: Declared, direction: tuple[float, float, float]) -> FaceTag:
        """The face of a part that looks most to a direction of the piece."""
        matrix = self.standing(one).matrix
        return max(FACES, key=lambda f: (round(sum(float(matrix[k][f[0]]) * f[1] * direction[k] for k in range(3)), 9), f))

    def end(self, one: Declared, tag: FaceTag) -> End:
        """One end plane."""
        axis, side = tag
        label = f"{ALONG[axis][side > 0]} end of {one.name}"
        text = self._text(one, axis)

        def make() -> End:
            if one.base is not None:
                flipped = axis in one.flip
                there = self.end(one.base, (axis, -side) if flipped else tag)
                normal = tuple(-c if k in one.flip else c for k, c in enumerate(there.face.normal))
                how = f"{{0}}, the opposite hand of {one.base.name}"
                value = -there.why.value if flipped else there.why.value
                return End(Face(normal, there.face.offset), Why(label, value, how, (there.why,), there.why.span))  # type: ignore[arg-type]
            return self._make_end(one, axis, side, label, text)

        return self._keep(("end", id(one), tag), label, text.span, make)

    def _text(self, one: Declared, axis: int) -> Text:
        texts = (one.entry.x, one.entry.y, one.entry.z)[axis]
        return texts[one.index if len(texts) > 1 and one.index is not None else 0]

    def extent(self, one: Declared, axis: int) -> ast.Extent:
        """What a part says for an axis."""

        def make() -> ast.Extent:
            text = self._text(one, axis)
            return parse_extent(text, self.names(one.scope))

        return self._keep(("extent", id(one), axis), f"{AXES[axis]} of {one.name}", one.key.span, make)

    def _same_end(self, one: Declared, axis: int, side: int, extent: ast.SameAs, label: str, text: Text) -> End:
        """The end of another part along the same axis; where it is the thickness, both must be equally thick."""
        other = self._same(one, extent, text)
        there = self.end(other, (axis, side))
        face = there.face.seen_from(self.standing(other), self.standing(one))
        if one.entry.stock is not None and self.thickness_axis(one) == axis:
            far = self.end(other, (axis, -side)).face.seen_from(self.standing(other), self.standing(one))
            size = abs(face.offset + far.offset)
            if size != self.thickness(one).value:
                raise SpecError.at(
                    "no-thickness",
                    f"{AXES[axis]} of {one.name} is the same as that of {other.name}, {show_length(size, self.units)}, "
                    f"but {one.entry.stock} is {show_length(self.thickness(one).value, self.units)} thick",
                    text.span,
                    change="let one extent give one face only: `from A`, `up to A` or `centred on A`",
                )
        return End(face, Why(label, there.why.value, f"{{0}}, the same as {other.name}", (there.why,), text.span))

    def _same(self, one: Declared, extent: ast.SameAs, text: Text) -> Declared:
        table = self.table(one.scope)
        name = extent.part
        place = Text(name, extent.span)
        if name not in table.single and name in table.several and one.index is not None:
            run = [d for d in table.several[name] if d.index == one.index and d.base is None]
            if len(run) == 1:
                return run[0]
        found = table.one(name, place)
        if found.scope is not one.scope:
            raise SpecError.at("bad-extent", f"{name} belongs to another assembly; say its faces instead", text.span)
        return found

    def thickness_axis(self, one: Declared) -> int:
        """The axis that the stock's thickness lies on: the one extent that gives one face and no `for`."""
        one = one.base or one

        def make() -> int:
            free = [axis for axis in range(3) if getattr(self.extent(one, axis), "length", 0) is None]
            same = [axis for axis in range(3) if isinstance(self.extent(one, axis), ast.SameAs)]
            if len(free) == 1 or (not free and len(same) == 1):
                return (free or same)[0]
            texts = [self._text(one, axis) for axis in range(3)]
            if not free:
                raise SpecError.at(
                    "no-thickness",
                    f"every extent of {one.name} gives both of its ends, so none is left for the thickness of {one.entry.stock}",
                    one.key.span,
                    change="let one extent give one face only: `from A`, `up to A` or `centred on A`",
                )
            both = " and ".join(AXES[a] for a in free)
            raise SpecError.at(
                "two-thicknesses",
                f"{both} of {one.name} each give one face, and the thickness of {one.entry.stock} can lie on one of them only",
                *[texts[a].span for a in free],
                change="say how far one of them goes: `from A for L`, or `A to B`",
            )

        return self._keep(("thickness axis", id(one)), f"thickness of {one.name}", one.key.span, make)

    def thickness(self, one: Declared) -> Quantity:
        """The measured thickness of a part's stock."""
        stock = one.entry.stock
        if stock is None:
            raise SpecError.at("key-missing", f"{one.name} needs `stock`, or `hardware` with all its lengths", one.key.span)
        if stock not in self.stock_thickness:
            import difflib

            near = difflib.get_close_matches(stock, list(self.stock_thickness), 1)
            raise SpecError.at(
                "unknown-name", f"there is no stock {str(stock)!r}" + (f"; did you mean {near[0]!r}?" if near else ""), stock.span
            )
        return self._keep(("stock", str(stock)), f"thickness of {stock}", stock.span, self.stock_thickness[stock])

    def _along(self, one: Declared, axis: int, length: ast.Expr | None) -> Quantity:
        """How far an extent with one face goes."""
        if length is not None:
            found = as_length(evaluate(length, _Sizes(self, one.scope), self.units), self.units)
            if found.value <= 0:
                raise SpecError.at(
                    "negative-size",
                    f"{one.name} would be {show_length(found.value, self.units)} along {AXES[axis]}",
                    length.span or one.key.span,
                )
            return found
        if one.entry.stock is None:
            raise SpecError.at(
                "no-thickness", f"hardware needs `for` on every extent with one face; {AXES[axis]} of {one.name} has none", one.key.span
            )
        self.thickness_axis(one)
        return self.thickness(one)

    def _make_end(self, one: Declared, axis: int, side: int, label: str, text: Text) -> End:
        extent = self.extent(one, axis)
        if not isinstance(extent, ast.Between):
            self._fixed(one, axis, extent)
        match extent:
            case ast.Between(low, high):
                return self._at(one, axis, side, low if side < 0 else high, label, text)
            case ast.Starting(low, length):
                if side < 0:
                    return self._at(one, axis, -1, low, label, text)
                return self._shifted(one, axis, 1, self.end(one, (axis, -1)), length, label)
            case ast.Ending(high, length):
                if side > 0:
                    return self._at(one, axis, 1, high, label, text)
                return self._shifted(one, axis, -1, self.end(one, (axis, 1)), length, label)
            case ast.Centred(middle, length):
                value, why = self._coordinate(one, axis, 0, middle, text)
                along = self._along(one, axis, length)
                sign = "+" if side > 0 else "-"
                return self._square(
                    axis, side, value + side * along.value / 2, Why(label, 0.0, f"{{0}} {sign} half of {{1}}", (why, along.why), text.span)
                )
            case ast.Evenly():
                return self._evenly(one, axis, side, extent, label, text)
            case ast.EachGap(run):
                return self._in_gap(one, axis, side, run, label, text)
            case ast.SameAs():
                return self._same_end(one, axis, side, extent, label, text)

    def _fixed(self, one: Declared, axis: int, extent: ast.Extent) -> None:
        """A part of stock must have its thickness settled before an end that needs it is asked for."""
        if one.entry.stock is not None and getattr(extent, "length", 0) is None and self.thickness_axis(one) != axis:
            raise AssertionError("thickness lies on another axis")

    def _square(self, axis: int, side: int, value: Number, why: Why) -> End:
        normal = tuple(side if k == axis else 0 for k in range(3))
        return End(Face(normal, value * side), Why(why.what, float(value), why.how, why.of, why.span))  # type: ignore[arg-type]

    def _shifted(self, one: Declared, axis: int, side: int, other: End, length: ast.Expr | None, label: str) -> End:
        along = self._along(one, axis, length)
        sign = "+" if side > 0 else "-"
        value = other.face.on_axis(axis)
        if value is not None:
            return self._square(
                axis, side, value + side * along.value, Why(label, 0.0, f"{{0}} {sign} {{1}}", (other.why, along.why), other.why.span)
            )
        normal = tuple(-c for c in other.face.normal)
        why = Why(
            label,
            other.why.value + side * float(along.value),
            f"{{0}} {sign} {{1}}, along the lean",
            (other.why, along.why),
            other.why.span,
        )
        return End(Face(normal, -other.face.offset + along.value), why)  # type: ignore[arg-type]

    def _at(self, one: Declared, axis: int, side: int, expr: ast.Expr, label: str, text: Text) -> End:
        """The end that an expression says, which may lean."""
        try:
            value, why = self._coordinate(one, axis, side, expr, text)
        except _Leaning as leaning:
            face, why = leaning.face, leaning.why
            normal = face.normal if face.normal[axis] * side > 0 else tuple(-c for c in face.normal)
            offset = face.offset if face.normal[axis] * side > 0 else -face.offset
            shift = self._shift(one, expr)
            offset = offset + shift * normal[axis]
            if one.entry.edges == "follow" or _is_level(expr):
                return End(Face(normal, offset), Why(label, float(offset / normal[axis]), "{0}, followed", (why,), text.span))  # type: ignore[arg-type]
            return self._squared(one, axis, side, Face(normal, offset), why, label, text)  # type: ignore[arg-type]
        return self._square(
            axis,
            side,
            value,
            Why(label, 0.0, why.how or "{0}", why.of or (why,), text.span) if not why.what else Why(label, 0.0, "{0}", (why,), text.span),
        )

    def _shift(self, one: Declared, expr: ast.Expr) -> Number:
        """The length that is added to a leaning face, along the axis."""
        if isinstance(expr, ast.Operation) and expr.sign in "+-":
            rest = as_length(evaluate(expr.right, _Sizes(self, one.scope), self.units), self.units).value
            return self._shift(one, expr.left) + (rest if expr.sign == "+" else -rest)
        return Fraction(0)

    def _squared(self, one: Declared, axis: int, side: int, face: Face, why: Why, label: str, text: Text) -> End:
        """The furthest square end that stays within a leaning face."""
        found: list[Number] = [face.offset]
        for k in range(3):
            if k == axis or face.normal[k] == 0:
                continue
            ends = []
            for s in (-1, 1):
                value = self.end(one, (k, s)).face.on_axis(k)
                if value is None:
                    raise SpecError.at(
                        "leaning-face",
                        f"{AXES[axis]} of {one.name} ends at a leaning face and {AXES[k]} leans too",
                        text.span,
                        change="say `edges: follow`",
                    )
                ends.append(value)
            found = [f - face.normal[k] * e for f in found for e in ends]
        values = [f / face.normal[axis] for f in found]
        value = min(values) if side > 0 else max(values)
        return self._square(axis, side, value, Why(label, 0.0, "{0}, where a square edge still stays within it", (why,), text.span))

    def _coordinate(self, one: Declared, axis: int, side: int, expr: ast.Expr, text: Text) -> tuple[Number, Why]:
        """A coordinate in the part's own frame; `_Leaning` where a face in it is not square to the axis."""
        found = as_length(evaluate(expr, _Positions(self, one.scope, text, self.standing(one), axis, side), self.units), self.units)
        return found.value, found.why

    def _evenly(self, one: Declared, axis: int, side: int, extent: ast.Evenly, label: str, text: Text) -> End:
        assert one.index is not None
        low, low_why = self._square_coordinate(one, axis, -1, extent.low, text)
        high, high_why = self._square_coordinate(one, axis, 1, extent.high, text)
        along = self._along(one, axis, extent.length)
        count = self._count(one, extent)
        clear = (high - low - count * along.value) / (count + 1)
        if clear <= 0:
            raise SpecError.at(
                "negative-size",
                f"{count} of {show_length(along.value, self.units)} do not fit into the {show_length(high - low, self.units)} between "
                f"{show_length(low, self.units)} and {show_length(high, self.units)}",
                text.span,
            )
        gap = Why("clear gap", float(clear), f"({{0}} - {{1}} - {count} × {{2}}) / {count + 1}", (high_why, low_why, along.why), text.span)
        value = low + (one.index + 1) * clear + (one.index + (side > 0)) * along.value
        how = f"{{0}} + {one.index + 1} × {{1}}" + (f" + {one.index + (side > 0)} × {{2}}" if one.index + (side > 0) else "")
        return self._square(axis, side, value, Why(label, 0.0, how, (low_why, gap, along.why), text.span))

    def _square_coordinate(self, one: Declared, axis: int, side: int, expr: ast.Expr, text: Text) -> tuple[Number, Why]:
        try:
            return self._coordinate(one, axis, side, expr, text)
        except _Leaning:
            raise SpecError.at(
                "leaning-face", f"{AXES[axis]} of {one.name}: a run cannot be spaced from a leaning face", text.span
            ) from None

    def _count(self, one: Declared, extent: ast.Evenly) -> int:
        return as_count(evaluate(extent.count, _Sizes(self, one.scope), self.units), 1, 200)

    def _in_gap(self, one: Declared, axis: int, side: int, run: str, label: str, text: Text) -> End:
        assert one.index is not None
        table = self.table(one.scope)
        members = [d for d in table.several.get(run, []) if d.base is None]
        members.sort(key=lambda d: d.index or 0)
        if not members:
            raise SpecError.at("bad-extent", f"{run!r} is not a run, so it has no gaps", text.span)
        extent = self.extent(members[0], axis)
        even = isinstance(extent, ast.Evenly)
        n = one.index + (0 if even else 1)
        if even and ((side < 0 and n == 0) or (side > 0 and n == len(members))):
            assert isinstance(extent, ast.Evenly)
            value, why = self._coordinate(members[0], axis, side, extent.low if side < 0 else extent.high, text)
            return self._square(axis, side, value, Why(label, 0.0, "{0}", (why,), text.span))
        other = members[n - 1] if side < 0 else members[n]
        there = self.end(other, (axis, -side))
        face = there.face.seen_from(self.standing(other), self.standing(one))
        value_here = face.on_axis(axis)
        if value_here is None:
            raise SpecError.at("leaning-face", f"the gaps of {run} lean", text.span)
        return self._square(axis, side, value_here, Why(label, 0.0, "{0}", (there.why,), text.span))

    # bodies -----------------------------------------------------------------------------------------------------------

    def body(self, one: Declared) -> Body:
        """All six ends, in floating point. SpecError `negative-size` where nothing is left."""
        thickness_axis = self.thickness_axis(one) if one.entry.stock is not None else 0
        standing = self.standing(one)
        ends = {tag: self.end(one, tag) for tag in FACES}
        for axis in range(3):
            low, high = ends[(axis, -1)], ends[(axis, 1)]
            a, b = low.face.on_axis(axis), high.face.on_axis(axis)
            if a is not None and b is not None and b <= a:
                raise SpecError.at(
                    "negative-size",
                    f"nothing is left of {one.name} along {AXES[axis]}: it would run from {show_length(low.why.value, self.units)} "
                    f"to {show_length(high.why.value, self.units)}",
                    self._text(one.base or one, axis).span,
                )
        return Body(one.name, standing.frame(), {tag: end.face.plane(standing) for tag, end in ends.items()}, thickness_axis)


def _is_level(expr: ast.Expr) -> bool:
    return isinstance(expr, ast.Level) or (isinstance(expr, ast.Operation) and _is_level(expr.left))


@dataclass(frozen=True)
class _Sizes:
    """Looks up the sizes of a scope."""

    layout: Layout
    scope: Scope

    def value(self, name: ast.Name) -> Quantity:
        """A size."""
        return self.layout.size(self.scope, name.name, name.span)

    def position(self, expr: ast.Body | ast.FaceOf | ast.Outside | ast.Level) -> Quantity:
        """Faces are not lengths."""
        raise SpecError.at("bad-length", "a length is wanted here, not the face of a part", expr.span)


@dataclass(frozen=True)
class _Positions(_Sizes):
    """Looks up faces too, as coordinates along an axis of `standing`. `side` is the end that is asked for; 0 is the middle."""

    text: Text
    standing: Standing
    axis: int
    side: int

    def position(self, expr: ast.Body | ast.FaceOf | ast.Outside | ast.Level) -> Quantity:
        """The coordinate of a face; `_Leaning` where it has none."""
        if isinstance(expr, ast.Level):
            height = as_length(evaluate(expr.height, self, self.layout.units), self.layout.units)
            face = Face((0, 0, 1), height.value).seen_from(Standing(), self.standing)
            return self._coordinate(
                face, Why(f"level {show_length(height.value, self.layout.units)}", float(height.value), "", (height.why,), expr.span)
            )
        table = self.layout.table(self.scope)
        one = table.one(expr.part, Text(expr.part, expr.span))
        up = tuple(float(self.standing.matrix[k][self.axis]) for k in range(3))
        down = tuple(-c for c in up)
        if isinstance(expr, ast.FaceOf):
            tag = self.layout.facing(one, DIRECTIONS[expr.face])
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
        return self._coordinate(face, Why(f"{looks} face of {one.name}", end.why.value, end.why.how, end.why.of, end.why.span))

    def _coordinate(self, face: Face, why: Why) -> Quantity:
        value = face.on_axis(self.axis)
        if value is None:
            if dot(face.normal, tuple(1 if k == self.axis else 0 for k in range(3))) == 0:  # type: ignore[arg-type]
                raise SpecError.at("bad-extent", f"the {why.what} does not cross the {AXES[self.axis]} axis", why.span, self.text.span)
            raise _Leaning(face, why)
        return Quantity(value, Dim.length, Why(why.what, float(value), why.how, why.of, why.span))
