"""Where every end plane of every part lies. The node of the dependency graph is one end plane, not a part.

Layout reads only sizes, stock and sight faces; joints move ends of blanks later, so that they cannot cause a cycle.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from build123.fields import ast
from build123.fields.evaluate import evaluate
from build123.fields.parse import parse_extent, parse_position
from build123.fields.quantity import Quantity, as_count, as_length
from build123.fields.show import show_length
from build123.fields.words import suggestion
from build123.model.body import FACES, Body, FaceTag
from build123.model.why import Why
from build123.problem import SpecError, Text
from build123.resolve.frames import AXES, Frames
from build123.resolve.positions import Leaning, Positions
from build123.resolve.scope import Declared, Scope
from build123.resolve.turning import Face, Number
from build123.resolve.values import Sizes

ALONG = (("left", "right"), ("front", "back"), ("bottom", "top"))


@dataclass(frozen=True, slots=True)
class End:
    """One end of a part in the part's own standing frame, with its reason."""

    face: Face
    why: Why


@dataclass
class Layout(Frames):
    """Evaluates end planes on demand and keeps them. Asking raises SpecError; the same one each time."""

    def _place_coordinate(self, scope: Scope, text: Text, axis: int) -> Number:
        expr = parse_position(text, self.names(scope))
        here = self.standing_of_scope(scope)
        try:
            return as_length(evaluate(expr, Positions(self, scope, self, text, here, axis, -1), self.units), self.units).value
        except Leaning:
            raise SpecError.at("leaning-face", "an assembly cannot be placed against a leaning face", text.span) from None

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
                return End(Face(normal, there.face.offset), self._opposite(one, axis, flipped, label, there.why))  # type: ignore[arg-type]
            return self._make_end(one, axis, side, label, text)

        return self._keep(("end", id(one), tag), label, text.span, make)

    def _opposite(self, one: Declared, axis: int, flipped: bool, label: str, there: Why) -> Why:
        """The reason of an end of the opposite hand; what stands square is told in the coordinates of its assembly or piece."""
        assert one.base is not None
        hand = f"the opposite hand of {one.base.name}"
        if not flipped:
            return Why(label, there.value, f"{{0}}, {hand}", (there,), there.span)
        if one.entry.frame is not None:
            return Why(label, -there.value, f"{{0}}, {hand}", (there,), there.span)
        middle = self.middle(one.scope, axis, one.key.span).why
        return Why(label, 2 * middle.value - there.value, f"2 × {{0}} - {{1}}, {hand}", (middle, there), there.span)

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
            size = max(face.offset + far.offset, -face.offset - far.offset)
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
            raise SpecError.at("unknown-name", f"there is no stock {str(stock)!r}{suggestion(stock, self.stock_thickness)}", stock.span)
        return self._keep(("stock", str(stock)), f"thickness of {stock}", stock.span, self.stock_thickness[stock])

    def _along(self, one: Declared, axis: int, length: ast.Expr | None) -> Quantity:
        """How far an extent with one face goes."""
        if length is not None:
            found = as_length(evaluate(length, Sizes(self, one.scope), self.units), self.units)
            if found.value <= 0:
                raise SpecError.at(
                    "negative-size",
                    f"{one.name} would be {show_length(found.value, self.units)} along {AXES[axis]}",
                    length.span or one.key.span,
                )
            return found
        if one.entry.stock is None and one.entry.hardware is not None:
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
        except Leaning as leaning:
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
            rest = as_length(evaluate(expr.right, Sizes(self, one.scope), self.units), self.units).value
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
        """A coordinate in the part's own frame; `Leaning` where a face in it is not square to the axis."""
        found = as_length(evaluate(expr, Positions(self, one.scope, self, text, self.standing(one), axis, side), self.units), self.units)
        return found.value, found.why

    def _evenly(self, one: Declared, axis: int, side: int, extent: ast.Evenly, label: str, text: Text) -> End:
        if one.index is None:
            raise SpecError.at("bad-extent", f"{one.key} is one part by its other words, and a run by these", text.span)
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
        except Leaning:
            raise SpecError.at(
                "leaning-face", f"{AXES[axis]} of {one.name}: a run cannot be spaced from a leaning face", text.span
            ) from None

    def _count(self, one: Declared, extent: ast.Evenly) -> int:
        return as_count(evaluate(extent.count, Sizes(self, one.scope), self.units), 1, 200)

    def _in_gap(self, one: Declared, axis: int, side: int, run: str, label: str, text: Text) -> End:
        if one.index is None:
            raise SpecError.at("bad-extent", f"{one.key} is one part by its other words, and a run by these", text.span)
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

    def body(self, one: Declared) -> Body:
        """All six ends, in floating point. SpecError `negative-size` where nothing is left."""
        if one.entry.stock is not None and one.entry.hardware is not None:
            raise SpecError.at(
                "bad-value", f"{one.key} is made of stock or is hardware, not both", one.entry.hardware.span, one.entry.stock.span
            )
        if one.entry.stock is None and one.entry.hardware is None:
            raise SpecError.at("key-missing", f"{one.key} needs `stock`, or `hardware` with all its lengths", one.key.span)
        if one.entry.round is not None and one.entry.hardware is None:
            raise SpecError.at("bad-value", f"only hardware is `round`; {one.key} is made of stock", one.entry.round.span)
        thickness_axis = 0 if one.entry.hardware is not None else self.thickness_axis(one)
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
