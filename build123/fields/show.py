"""Values as a person reads them, and a chain of reasons line by line."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Final

from typing_extensions import assert_never

from build123.fields.ast import Unit
from build123.fields.quantity import MM, Exact, Units
from build123.model.why import Kind, Why

FINEST: Final = 64
"""The finest stroke of a maker's rule: 1/64 in."""

ON_A_STROKE_MM: Final = 1e-6
"""A length this near to a stroke is shown as the fraction: far below what is cut, far above rounding in a double."""

MM3_IN_CM3: Final = 1000.0
MM3_IN_IN3: Final = 25.4**3
MM2_IN_IN2: Final = 25.4**2


def show_length(mm: Exact, units: Units, *, fraction: int | None = None, sign: bool = False) -> str:
    """A length in the spec's units: "752 mm", "32 9/16 in", "0.715 in".

    Inches are a fraction where the length lies on a stroke of the rule; with `fraction` they are rounded to that part of
    an inch whatever they are. `sign` puts a plus before what is positive.
    """
    if units == "mm":
        return f"{_decimals(float(mm), 3, sign)} mm"
    exact = Fraction(mm) / MM["in"]
    strokes = round(exact * (fraction or FINEST))
    nearest = Fraction(strokes, fraction or FINEST)
    if fraction is not None or abs(float((exact - nearest) * MM["in"])) <= ON_A_STROKE_MM:
        return f"{_mixed(nearest, sign)} in"
    return f"{_decimals(float(exact), 4, sign)} in"


def show_number(value: Exact) -> str:
    """A plain number, up to four decimals."""
    return _decimals(float(value), 4, False)


def show_angle(degrees: Exact) -> str:
    """An angle, up to three decimals: "10°"."""
    return f"{_decimals(float(degrees), 3, False)}°"


def show_area(mm2: float, units: Units) -> str:
    """An area in cm2 (mm2 where it is less than one) or in square inches, to three figures."""
    if units == "in":
        return f"{_figures(mm2 / MM2_IN_IN2)} in²"
    return f"{_figures(mm2 / 100)} cm²" if abs(mm2) >= 100 else f"{_figures(mm2)} mm²"


def show_volume(mm3: float, units: Units) -> str:
    """A volume in cm3 (mm3 where it is less than one) or in cubic inches, to three figures."""
    if units == "in":
        return f"{_figures(mm3 / MM3_IN_IN3)} in³"
    return f"{_figures(mm3 / MM3_IN_CM3)} cm³" if abs(mm3) >= MM3_IN_CM3 else f"{_figures(mm3)} mm³"


def show_literal(value: Fraction, unit: Unit | None) -> str:
    """A number as a maker writes it: 12, 1 3/4 in, 0.715, 10°."""
    stroke = value.denominator & (value.denominator - 1) == 0 and value.denominator <= FINEST and unit not in ("mm", "cm", "m")
    number = _mixed(value, False) if stroke else show_number(value)
    return f"{number}°" if unit == "deg" else f"{number} {unit}" if unit else number


def plural(count: int, one: str, many: str = "") -> str:
    """Give "1 shelf" or "2 shelves"; `many` is given where it is not just an s more."""
    return f"{count} {one if count == 1 else many or one + 's'}"


def show_value(why: Why, units: Units) -> str:
    """The value of a reason in its unit."""
    match why.kind:
        case Kind.length:
            return show_length(why.value, units)
        case Kind.angle:
            return show_angle(why.value)
        case Kind.number:
            return show_number(why.value)
        case _:
            assert_never(why.kind)


def show_why(why: Why, units: Units) -> list[str]:
    """A chain of reasons, one line for each, inputs indented under what they make.

    A line reads `what = value = how   (file:line)`. What stands further up already is only referred to, so the text stays
    as short as the chain however often a size is used.
    """
    lines: list[str] = []
    seen: set[tuple[object, ...]] = set()
    waiting = [(why, 0)]
    while waiting:
        reason, depth = waiting.pop()
        key = (reason.what, reason.value, reason.how, reason.default, reason.span)
        again = key in seen and bool(reason.of)
        seen.add(key)
        lines.append("  " * depth + _line(reason, units, again))
        if not again:
            waiting.extend((cause, depth + 1) for cause in reversed(reason.of) if cause.what or cause.how or cause.default)
    return lines


def _line(why: Why, units: Units, again: bool) -> str:
    value = show_value(why, units)
    start = f"{why.what} = {value}" if why.what else value
    if again:
        return f"{start}   (see above)"
    how = fill(why.how, why, units)
    # A reason that only repeats the value says nothing.
    said = f" = {how}" if how and how != value else ""
    default = f"   default: {why.default}" if why.default else ""
    place = f"   ({why.span.source.name}:{why.span.line + 1})" if why.span else ""
    return f"{start}{said}{default}{place}"


def fill(how: str, why: Why, units: Units) -> str:
    """`how` with the values of its inputs put in; a number in braces that has no input stays as it is."""

    def value(found: re.Match[str]) -> str:
        n = int(found[1])
        return show_value(why.of[n], units) if n < len(why.of) else found[0]

    return re.sub(r"\{(\d+)\}", value, how)


def _decimals(value: float, places: int, sign: bool) -> str:
    rounded = round(value, places) + 0.0
    text = f"{abs(rounded):.{places}f}".rstrip("0").rstrip(".")
    return ("-" if rounded < 0 else "+" if sign and rounded > 0 else "") + text


def _figures(value: float) -> str:
    return f"{value:,.0f}" if abs(value) >= 100 else f"{value:.3g}"


def _mixed(value: Fraction, sign: bool) -> str:
    whole, over = divmod(abs(value.numerator), value.denominator)
    before = "-" if value < 0 else "+" if sign and value > 0 else ""
    stroke = f"{over}/{value.denominator}" if over else ""
    return before + " ".join(word for word in (str(whole) if whole or not over else "", stroke) if word)
