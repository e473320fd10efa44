"""Numbers as a maker writes them: 18, 0.715, 3/4 in, 1 3/4", 2' 6 1/2", 1½."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable
from fractions import Fraction
from typing import Final, NamedTuple, NoReturn

from build123.fields.ast import Unit
from build123.fields.words import GRAMMAR, UNITS, did_you_mean
from build123.problem import SpecError, Text

DIGITS: Final = 15
"""A double holds so many; no length in a shop needs them."""

_VULGAR = "½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞⅐⅑⅒"
_AMOUNT = re.compile(
    rf"(?P<whole>[0-9]+)(?:\s+(?P<over>[0-9]+)/(?P<under>[0-9]+)(?![0-9.])|\s*(?P<vulgar>[{_VULGAR}]))"
    rf"|(?P<over1>[0-9]+)/(?P<under1>[0-9]+)(?![0-9.])"
    rf"|(?P<vulgar1>[{_VULGAR}])"
    r"|(?P<decimal>[0-9]+(?:\.[0-9]*)?|\.[0-9]+)"
)
_SPACE = re.compile(r"\s*")
_MARK = re.compile(r"''|[\"'°]")
_RUN = re.compile(r"[\w.]*")
_WORD = re.compile(r"[^\W\d_]+")

_SAME_MEANING = str.maketrans("×·÷⁄−–″”“′’‘\n\t\r\u00a0\u2009\u202f", "**//--\"\"\"'''      ")


class Literal(NamedTuple):
    """A number with its unit as it was written, and where it ends. `fraction` tells that it has a stroke in it."""

    value: Fraction
    unit: Unit | None
    end: int
    fraction: bool


def plain_signs(written: str) -> str:
    """The same text, character by character, with typographic signs, quotes and spaces made plain."""
    return written.translate(_SAME_MEANING)


def is_number(text: str, at: int) -> bool:
    """Whether a number starts here."""
    return bool(_AMOUNT.match(text, at))


def read_literal(text: str, at: int, place: Text, name_end: Callable[[int], int]) -> Literal:
    """The number that starts at `at` in `text` (made plain); `place` is the text as written, for the caret.

    `name_end` tells where the declared name at an offset ends (the offset itself where there is none): a name longer than
    a unit is no unit.

    Raises SpecError: bad-length, unknown-unit, division-by-zero.
    """
    value, end, fraction = _amount(text, at, place)
    unit, after = _unit(text, end, place, name_end)
    if unit != "ft":
        return Literal(value, unit, after if unit else end, fraction)
    inches_at = _skip(text, after)
    if not is_number(text, inches_at):
        return Literal(value, unit, after, fraction)
    inches, end, _ = _amount(text, inches_at, place)
    unit, after = _unit(text, end, place, name_end)
    if unit != "in":
        _bad(place, at, end, "after feet come inches", "inch mark missing", f'write {text[at:end]}"')
    return Literal(value * 12 + inches, "in", after, fraction)


def _amount(text: str, at: int, place: Text) -> tuple[Fraction, int, bool]:
    found = _AMOUNT.match(text, at)
    assert found is not None
    end = found.end()
    _refuse_traps(text, at, end, place)
    if sum(c.isdigit() for c in found[0]) > DIGITS:
        _bad(place, at, end, f"this number has more than {DIGITS} digits", "too long")
    over, under = found["over"] or found["over1"], found["under"] or found["under1"]
    if under is not None and int(under) == 0:
        raise SpecError.at("division-by-zero", f"`{found[0]}` divides by zero", place.place(at, end), label="by zero")
    value = Fraction(found["whole"] or found["decimal"] or 0)
    if over is not None:
        value += Fraction(int(over), int(under))
    vulgar = found["vulgar"] or found["vulgar1"]
    if vulgar:
        value += Fraction(unicodedata.numeric(vulgar)).limit_denominator(10)
    return value, end, over is not None


def _refuse_traps(text: str, at: int, end: int, place: Text) -> None:
    rest = text[end:]
    comma = re.match(r",([0-9]+)", rest)
    if comma:
        stop = end + comma.end()
        other = f", or {text[at:end]}{comma[1]} if the comma parts thousands" if len(comma[1]) == 3 else ""
        _bad(place, at, stop, "a comma does not stand in a number", "comma", f"write {text[at:end]}.{comma[1]}{other}")
    joined = re.match(r"-([0-9]+/[0-9]+)", rest)
    if joined and text[at:end].isdigit():
        stop = end + joined.end()
        _bad(place, at, stop, f"`{text[at:stop]}` can be read in two ways", "a sum or a mixed number?",
             f"write `{text[at:end]} {joined[1]}` for the mixed number, `{text[at:end]} - {joined[1]}` to take away")  # fmt: skip
    power = re.match(r"\s*(\*\*|\^|[²³])|[eE][+-]?[0-9]+", rest)
    if power:
        word = "a power" if power[1] else "an exponent"
        _bad(place, end + (power.start(1) if power[1] else 0), end + power.end(), f"{word} is not read in a length", word, "write it out")
    again = re.match(r"[._][0-9]*|/[0-9.]+", rest)
    if again:
        stop = end + again.end()
        if again[0].startswith("/"):
            _bad(place, at, stop, f"`{text[at:stop]}` can be read in two ways", "which division comes first?",
                 "put brackets around what belongs together")  # fmt: skip
        _bad(place, at, stop, f"`{text[at:stop]}` is not a number", "not a number")


def _unit(text: str, at: int, place: Text, name_end: Callable[[int], int]) -> tuple[Unit | None, int]:
    """The unit after a number and where it ends; None before a grammar word or anything that is no word."""
    start = _skip(text, at)
    mark = _MARK.match(text, start)
    if mark:
        return UNITS[mark[0]], mark.end()
    word = _WORD.match(text, start)
    if word is None or word[0] in GRAMMAR:
        return None, at
    named = name_end(start)
    if named > word.end() or (named == word.end() and word[0] not in UNITS):
        return None, at
    after = text[word.end() : word.end() + 1]
    if word[0] in UNITS and not (after.isdigit() or after == "_"):
        return UNITS[word[0]], word.end()
    stop = _RUN.match(text, start)
    end = stop.end() if stop else word.end()
    near = _near_unit(text[start:end])
    change = f"did you mean `{near}`?" if near else "lengths are in mm, cm, m, in or ft, angles in deg; put a sign (+ - * /) before a name"
    raise SpecError.at("unknown-unit", f"`{text[start:end]}` is not a unit", place.place(start, end), label="unknown unit", change=change)


def _near_unit(word: str) -> str | None:
    if word.lower() in GRAMMAR:
        return word.lower()
    words = [unit for unit in UNITS if unit.isalpha()]
    one_off = [unit for unit in words if len(unit) == len(word) and sum(a != b for a, b in zip(unit, word, strict=True)) == 1]
    return one_off[0] if one_off and len(word) > 1 else did_you_mean(word, words)


def _skip(text: str, at: int) -> int:
    found = _SPACE.match(text, at)
    return found.end() if found else at


def _bad(place: Text, start: int, end: int, message: str, label: str, change: str = "") -> NoReturn:
    raise SpecError.at("bad-length", message, place.place(start, end), label=label, change=change)
