"""Stock and fits of a spec as numbers."""

from __future__ import annotations

import hashlib
import re

from build123.fields.quantity import Units
from build123.fields.show import show_length
from build123.fields.words import suggestion
from build123.joints.joinery import Clearance
from build123.model.part import Stock, StockKind
from build123.model.why import Why
from build123.problem import SpecError, Text
from build123.resolve.layout import Layout
from build123.resolve.scope import Scope
from build123.spec.entries import FitEntry, StockEntry
from build123.spec.piece import Spec
from build123.trade import tables

THINNEST_MM = 0.1
LONGEST_MM = 20_000.0
"""Bounds on a stock's sizes: past them it is a slip of the unit, not wood (common sense)."""

NOMINAL_SHARE = (0.7, 1.6)
"""What wood is called over what it measures: sheets to 1.25, dressed boards to 1.34 (PS 20: 2 in boards are 1 1/2 in)."""
MOST_SQUEEZE_MM = 0.1
"""A tighter press fit splits the cheek of a housing or does not go in (common practice: a few hundredths of a millimetre)."""

PALETTE = ((0.80, 0.66, 0.46), (0.62, 0.46, 0.32), (0.86, 0.76, 0.60), (0.55, 0.56, 0.44), (0.72, 0.54, 0.42), (0.68, 0.66, 0.58))
"""Muted wood tones for stock without a colour of its own, picked by the material's name."""


def stock_of(name: str, entry: StockEntry, layout: Layout, scope: Scope) -> Stock:
    """One stock. SpecError where its numbers cannot be wood."""

    def mm(text: Text | None, what: str, least: float) -> float | None:
        if text is None:
            return None
        return bounded(float(layout.length(scope, text).value), f"{what} of {name}", least, layout.units, text)

    if (entry.sheet is None) == (entry.board is None):
        raise SpecError.at("bad-value", f"the stock {name} needs one of `sheet` and `board`: what it is, in words", entry.span)
    kind: StockKind = "sheet" if entry.sheet is not None else "board"
    material = str(entry.sheet if entry.sheet is not None else entry.board)
    thickness = mm(entry.thickness, "thickness", THINNEST_MM)
    assert thickness is not None
    nominal = mm(entry.nominal, "nominal", THINNEST_MM)
    if nominal is not None and not NOMINAL_SHARE[0] <= nominal / thickness <= NOMINAL_SHARE[1]:
        raise SpecError.at(
            "bad-value",
            f"{name} measures {show_length(thickness, layout.units)} and is called {show_length(nominal, layout.units)}",
            entry.nominal.span if entry.nominal else None,
            change="is one of them in another unit? write `mm` or `in` behind it",
        )
    grain = "length" if entry.grain is None else str(entry.grain)
    return Stock(
        name,
        kind,
        material,
        thickness,
        mm(entry.spread, "spread", 0.0) or 0.0,
        nominal,
        mm(entry.length, "length", 1.0),
        mm(entry.width, "width", 1.0),
        grain,  # type: ignore[arg-type]
        _density(entry, material),
        _colour(entry, material),
        entry.span,
        None if entry.rings is None else str(entry.rings),  # type: ignore[arg-type]
    )


def bounded(value_mm: float, what: str, least_mm: float, units: Units, text: Text) -> float:
    """The value where it can be wood's. SpecError `negative-size` else."""
    if not least_mm <= value_mm <= LONGEST_MM:
        raise SpecError.at("negative-size", f"{what} would be {show_length(value_mm, units)}", text.span)
    return value_mm


def _density(entry: StockEntry, material: str) -> float | None:
    if entry.density is None:
        return tables.density_kg_m3(material)
    found = re.fullmatch(r"\s*(\d{2,5}(?:\.\d+)?)\s*(?:kg/m3)?\s*", entry.density)
    if not found:
        raise SpecError.at(
            "bad-value", f"a density in kg/m3 is wanted here, not {str(entry.density)!r}", entry.density.span, change="for example 680"
        )
    return float(found.group(1))


def _colour(entry: StockEntry, material: str) -> tuple[float, float, float]:
    if entry.colour is None:
        return PALETTE[hashlib.sha256(material.encode()).digest()[0] % len(PALETTE)]
    found = re.fullmatch(r"#([0-9a-fA-F]{2})([0-9a-fA-F]{2})([0-9a-fA-F]{2})", entry.colour)
    if not found:
        raise SpecError.at(
            "bad-value", f"a colour is written #rrggbb, not {str(entry.colour)!r}", entry.colour.span, change='for example "#d9b88c"'
        )
    red, green, blue = (int(v, 16) / 255 for v in found.groups())
    return red, green, blue


class Fits:
    """The named fits of a spec: the trade's, changed and added to."""

    def __init__(self, spec: Spec, layout: Layout, scope: Scope) -> None:
        self._layout = layout
        self._scope = scope
        self._said: dict[str, FitEntry | Text] = {str(k): v for k, v in spec.fits.items()}

    def find(self, name: Text) -> Clearance:
        """A fit by name. SpecError with a suggestion where there is none."""
        said = self._said.get(name)
        usual = tables.fits().get(name)
        if said is None:
            if usual is None:
                known = sorted({*self._said, *tables.fits()})
                hint = suggestion(name, known)
                raise SpecError.at(
                    "unknown-name", f"there is no fit {str(name)!r}{hint}", name.span, change="fits here: " + ", ".join(known)
                )
            why = Why("clearance", usual.nominal_mm, default=f"{usual.rule} of the trade table, {usual.source}")
            return Clearance(usual.name, why, usual.low_mm, usual.high_mm)
        text = said.clearance if isinstance(said, FitEntry) else said
        found = self._layout.length(self._scope, text)
        value = float(found.value)
        why = Why("clearance", value, found.why.how, found.why.of, text.span)
        if value < -MOST_SQUEEZE_MM:
            raise SpecError.at(
                "bad-value",
                f"the fit {name} squeezes by {show_length(-value, self._layout.units)}; wood gives by {show_length(MOST_SQUEEZE_MM, self._layout.units)} at most",
                text.span,
            )
        low, high = self._range(said, value, (usual.low_mm, usual.high_mm) if usual else None)
        if not low <= value <= high:
            shown = [show_length(v, self._layout.units) for v in (value, low, high)]
            raise SpecError.at(
                "bad-value", f"the fit {name} has a clearance of {shown[0]}, outside its own range {shown[1]} to {shown[2]}", text.span
            )
        return Clearance(str(name), why, low, high)

    def _range(self, said: FitEntry | Text, value: float, usual: tuple[float, float] | None) -> tuple[float, float]:
        if usual is not None and usual[0] <= value <= usual[1]:
            low, high = usual
        else:
            low, high = (value / 2, value * 2) if value >= 0 else (value * 2, value / 2)
        if isinstance(said, FitEntry):
            if said.low is not None:
                low = float(self._layout.length(self._scope, said.low).value)
            if said.high is not None:
                high = float(self._layout.length(self._scope, said.high).value)
        return low, high
