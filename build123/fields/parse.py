"""From a text to what it says: a value, a position or an extent."""

from __future__ import annotations

from fractions import Fraction
from typing import Final, Literal, cast

from typing_extensions import assert_never

from build123.fields.ast import (
    Between,
    Body,
    Centred,
    EachGap,
    Ending,
    Evenly,
    Expr,
    Extent,
    FaceOf,
    FaceWord,
    Level,
    Name,
    Names,
    Negative,
    Number,
    Operation,
    Outside,
    SameAs,
    Starting,
)
from build123.fields.grammar import Branch, Start, Unexpected, parse_tokens
from build123.fields.lexer import Lexer, Token
from build123.fields.unexpected import unexpected
from build123.problem import SpecError, Text

Sign = Literal["+", "-", "*", "/"]
_SIGNS: Final[dict[str, Sign]] = {"PLUS": "+", "MINUS": "-", "TIMES": "*", "OVER": "/"}
_NAME_IT: Final = "name the length under `sizes` and use its name"


def parse_value(text: Text, names: Names) -> Expr:
    """A length, an angle or a number: no part stands in it.

    Raises SpecError: bad-length, unknown-unit, unknown-name, division-by-zero.
    """
    made = _Reading(text, names, "value", "a size").expr()
    _only_sizes(made)
    return made


def parse_position(text: Text, names: Names) -> Expr:
    """A length, a face with a length added or taken away, or a level.

    Raises SpecError: as `parse_value`, and bad-position.
    """
    made = _Reading(text, names, "position", "a part or a size").expr()
    _only_position(made)
    return made


def parse_extent(text: Text, names: Names) -> Extent:
    """From where to where along one axis. Raises SpecError: as `parse_position`, and bad-extent."""
    made = _Reading(text, names, "extent", "a part or a size").extent()
    match made:
        case Between(low, high):
            _check(positions=(low, high))
        case Starting(low, length):
            _check(positions=(low,), values=(length,))
        case Ending(high, length):
            _check(positions=(high,), values=(length,))
        case Centred(middle, length):
            _check(positions=(middle,), values=(length,))
        case Evenly(count, low, high, length):
            _check(positions=(low, high), values=(count, length))
        case SameAs() | EachGap():
            pass
        case _:
            assert_never(made)
    return made


class _Reading:
    """One text on its way through lexer and parser."""

    def __init__(self, text: Text, names: Names, start: Start, wanted: str) -> None:
        self._text = text
        tokens = Lexer(text, names, wanted).tokens()
        try:
            self._tree = parse_tokens(tokens, start)
        except Unexpected as problem:
            raise unexpected(text, tokens, start, problem) from None

    def expr(self, branch: Branch | Token | None = None) -> Expr:
        """The expression that a branch says; by default the whole text."""
        branch = branch or self._tree
        assert isinstance(branch, Branch)
        span = self._text.place(branch.start, branch.end)
        match branch.action, branch.of:
            case "number", (Token(value=Fraction() as value, unit=unit),):
                return Number(value, unit, span)
            case "name", (Token(name=name),):
                return Name(name, span)
            case "body", (Token(name=name),):
                return Body(name, span)
            case "face", (Token(name=face), _, Token(name=part)):
                return FaceOf(cast(FaceWord, face), part, span)
            case "outside", (_, Token(name=part)):
                return Outside(part, span)
            case "floor", _:
                return Level(Number(Fraction(0), None, span), span)
            case "level", (_, height):
                return Level(self.expr(height), span)
            case "bracket", (_, inner, _):
                return self.expr(inner)
            case "negative", (_, inner):
                return Negative(self.expr(inner), span)
            case "operation", (left, Token(kind="PLUS" | "MINUS" | "TIMES" | "OVER" as kind), right):
                return Operation(_SIGNS[kind], self.expr(left), self.expr(right), span)
        raise AssertionError(branch.action)

    def extent(self) -> Extent:
        """The extent that the whole text says."""
        span = self._text.place(self._tree.start, self._tree.end)
        match self._tree.action, self._tree.of:
            case "between", (low, _, high):
                return Between(self.expr(low), self.expr(high), span)
            case "starting", (_, low, length):
                return Starting(self.expr(low), self._length(length), span)
            case "ending", (_, _, high, length):
                return Ending(self.expr(high), self._length(length), span)
            case "centred", (_, _, middle, length):
                return Centred(self.expr(middle), self._length(length), span)
            case "evenly", (count, _, low, _, high, length):
                return Evenly(self.expr(count), self.expr(low), self.expr(high), self._length(length), span)
            case "same_as", (_, _, Token(name=part)):
                return SameAs(part, span)
            case "each_gap", (_, _, _, Token(name=run)):
                return EachGap(run, span)
        raise AssertionError(self._tree.action)

    def _length(self, branch: Branch | Token) -> Expr | None:
        assert isinstance(branch, Branch)
        return self.expr(branch.of[1]) if branch.of else None


def _check(positions: tuple[Expr, ...], values: tuple[Expr | None, ...] = ()) -> None:
    for position in positions:
        _only_position(position)
    for value in values:
        if value is not None:
            _only_sizes(value)


def _only_sizes(expr: Expr) -> None:
    """No face where a size is wanted."""
    match expr:
        case Number() | Name():
            pass
        case Body(part, span):
            raise SpecError.at("bad-length", f"`{part}` is a part; a size is wanted here", span, label="a part", change=_NAME_IT)
        case FaceOf(_, part, span) | Outside(part, span):
            raise SpecError.at("bad-length", f"a face of `{part}` stands where a size is wanted", span, label="a face", change=_NAME_IT)
        case Level(_, span):
            raise SpecError.at(
                "bad-length", "a level stands where a size is wanted", span, label="a level", change="write the length alone"
            )
        case Negative(of):
            _only_sizes(of)
        case Operation(_, left, right):
            _only_sizes(left)
            _only_sizes(right)
        case _:
            assert_never(expr)


def _only_position(expr: Expr) -> None:
    """A face stands alone or with lengths added to it or taken away: never scaled, turned round or beside a second face."""
    match expr:
        case Body() | FaceOf() | Outside():
            pass
        case Level(height):
            _only_sizes(height)
        case Operation("+" | "-" as sign, left, right) if _has_face(left) or _has_face(right):
            if _has_face(right) and (_has_face(left) or sign == "-"):
                raise SpecError.at("bad-position", "a face cannot be taken away from or added to another face", expr.span, label="here",
                                   change="name the distance under `sizes` and use its name")  # fmt: skip
            face, length = (left, right) if _has_face(left) else (right, left)
            _only_position(face)
            _only_sizes(length)
        case Operation() | Negative() if _has_face(expr):
            raise SpecError.at("bad-position", "only a length can be multiplied, divided or negative, not the place of a face", expr.span,
                               label="here", change="write the face, then `+` or `-` a length")  # fmt: skip
        case Number() | Name() | Operation() | Negative():
            pass
        case _:
            assert_never(expr)


def _has_face(expr: Expr) -> bool:
    match expr:
        case Number() | Name():
            return False
        case Body() | FaceOf() | Outside() | Level():
            return True
        case Negative(of):
            return _has_face(of)
        case Operation(_, left, right):
            return _has_face(left) or _has_face(right)
        case _:
            assert_never(expr)
