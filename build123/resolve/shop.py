"""The shop of a spec as numbers."""

from __future__ import annotations

from build123.fields.show import show_length
from build123.model.design import Shop
from build123.model.why import Why
from build123.problem import SpecError, Text
from build123.resolve.layout import Layout
from build123.resolve.scope import Scope
from build123.spec.entries import ShopEntry

RANGES_MM: dict[str, tuple[float, float]] = {
    "cutting": (0.0, 5.0),
    "sawing": (0.0, 5.0),
    "drilling": (0.0, 5.0),
    "laying out": (0.0, 5.0),
    "screwdriver": (30.0, 1000.0),
    "hand": (10.0, 300.0),
    "marking": (0.1, 1.6),
}
"""What is taken for a shop's: past it, it is a slip of the unit or of the pen (common sense)."""


def shop_of(entry: ShopEntry, layout: Layout, scope: Scope) -> Shop:
    """The shop with its usual values where the spec leaves them out. SpecError `bad-value`."""
    given: dict[str, Why] = {}
    for name, field in ShopEntry.model_fields.items():
        key, text = field.alias or name, getattr(entry, name)
        if isinstance(text, Text):
            found = layout.length(scope, text)
            given[key] = Why(key, _possible(key, float(found.value), text, layout), found.why.how, found.why.of, text.span)
    values = {f"{key.replace(' ', '_')}_mm": why.value for key, why in given.items()}
    return Shop(**values, reasons=tuple(given.values()))  # type: ignore[arg-type]


def _possible(key: str, value_mm: float, text: Text, layout: Layout) -> float:
    least, most = RANGES_MM[key]
    if least <= value_mm <= most:
        return value_mm
    named = {
        "screwdriver": "the length of the screwdriver",
        "hand": "the room for a hand",
        "marking": "the stroke that shoulders are marked to",
    }
    what = named.get(key, f"the spread of {key}")
    shown = [show_length(value, layout.units) for value in (value_mm, least, most)]
    change = "write how much it varies, the largest less the smallest" if not least else "write the whole length, with its unit"
    raise SpecError.at("bad-value", f"{what} would be {shown[0]}; {shown[1]} to {shown[2]} is taken", text.span, change=change)
