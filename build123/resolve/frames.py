"""Where assemblies, turned frames and opposite hands stand in the piece."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from build123.fields.quantity import Dim, Quantity, as_angle, as_length
from build123.fields.words import suggestion
from build123.model.body import DIRECTIONS, FACES, FaceTag
from build123.model.frame import Vec, dot
from build123.model.why import Why
from build123.problem import Span, SpecError, Text
from build123.resolve.scope import Declared, Scope
from build123.resolve.turning import Number, Standing, times, turn
from build123.resolve.values import Values

AXES = ("x", "y", "z")


@dataclass
class Frames(Values):
    """Evaluates frames on demand."""

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

    def ways(self, scope: Scope) -> dict[str, Vec]:
        """Where the words left, front, top and so on look to in the piece when they are said in an assembly: they turn with it."""
        x, y, z = ((float(a), float(b), float(c)) for a, b, c in self.standing_of_scope(scope).matrix)
        return {word: (dot(x, way), dot(y, way), dot(z, way)) for word, way in DIRECTIONS.items()}

    def _place_coordinate(self, scope: Scope, text: Text, axis: int) -> Number:
        raise NotImplementedError

    def standing(self, one: Declared) -> Standing:
        """The frame that a part stands in: the piece, its assembly's, or a turned one."""

        def make() -> Standing:
            if one.base is not None:
                scope_frame = self.standing_of_scope(one.scope)
                return scope_frame.within(
                    self._own(one.base).mirrored(one.flip, {k: self.middle(one.scope, k, one.key.span).value for k in one.flip})
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
            raise SpecError.at("unknown-name", f"there is no frame {str(name)!r}{suggestion(name, self.frames)}", name.span)
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

    def middle(self, scope: Scope, axis: int, span: Span | None) -> Quantity:
        """The middle plane that pairs of a scope are mirrored about."""
        said = (scope.group.middle.x, scope.group.middle.y)[axis]
        if said is not None:
            found = self.length(scope, said)
            return Quantity(found.value, Dim.length, Why("middle", float(found.value), "{0}", (found.why,), said.span))
        for name in (("width", "length"), ("depth",))[axis]:
            if name in self._values_only(scope):
                whole = as_length(self.size(scope, name, span), self.units)
                return Quantity(whole.value / 2, Dim.length, Why("middle", float(whole.value / 2), "half of {0}", (whole.why,)))
        words = ("width", "left and right") if axis == 0 else ("depth", "front and back")
        raise SpecError.at(
            "no-middle",
            f"a pair of {words[1]} is mirrored about the middle, and nothing says where that is",
            span,
            change=f"name the overall size `{words[0]}` under sizes, or say `middle: {{{AXES[axis]}: ...}}`",
        )

    def facing(self, one: Declared, direction: tuple[float, float, float]) -> FaceTag:
        """The face of a part that looks most to a direction of the piece."""
        matrix = self.standing(one).matrix
        return max(FACES, key=lambda f: (round(sum(float(matrix[k][f[0]]) * f[1] * direction[k] for k in range(3)), 9), f))
