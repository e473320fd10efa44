"""Where the piece stands, and how much its stock moves there."""

from __future__ import annotations

import re

from build123.model.design import Climate
from build123.model.part import Stock
from build123.model.why import Kind, Why
from build123.problem import SpecError, Text
from build123.spec.entries import ClimateEntry
from build123.trade.moisture import USUAL_CLIMATE, climates, emc_pct, movement

DAMPEST_PCT = 95.0
"""Past this the equation of moisture content is steep and wood is wet, not damp."""


def climate_of(entry: ClimateEntry) -> Climate:
    """The climate of a spec, a usual place where it says nothing. SpecError for a humidity that cannot be."""
    usual = climates()[str(entry.place) if entry.place is not None else USUAL_CLIMATE]
    low = _humidity(entry.driest, usual.humidity_low_pct)
    high = _humidity(entry.dampest, usual.humidity_high_pct)
    said = entry.dampest or entry.driest
    if low >= high:
        raise SpecError.at(
            "bad-value",
            f"the dampest air of the year, {high:g} %, would be no damper than the driest, {low:g} %",
            said.span if said else entry.span,
        )
    name = usual.name if said is None else f"{low:g} to {high:g} % relative humidity"
    source = f"{usual.source}, {usual.confidence}" if said is None else "as the spec says"
    dry, damp = emc_pct(usual.temperature_c, low), emc_pct(usual.temperature_c, high)
    told = said if said is not None else entry.place
    span = None if told is None else told.span
    change = Why(
        "change of moisture content in points",
        damp - dry,
        f"wood at {dry:.1f} % in the driest air of the year, {low:g} %, and at {damp:.1f} % in the dampest, {high:g} %",
        span=span,
        default="" if span else f"{usual.name}, {source}",
        kind=Kind.number,
    )
    return Climate(name, low, high, usual.temperature_c, change, source)


def moves_of(stock: Stock, climate: Climate) -> Why:
    """How much one mm of a stock moves across its grain over a year."""
    found = movement(stock.material, stock.rings, stock.kind == "sheet")
    coefficient = Why("for one point of moisture content", found.per_pct, default=f"{found.source} ({found.confidence})", kind=Kind.number)
    return Why(
        f"movement of one mm of {stock.name} in a year",
        found.per_pct * climate.change.value,
        "{0} x {1}",
        (coefficient, climate.change),
        stock.span,
        kind=Kind.number,
    )


def _humidity(text: Text | None, usual: float) -> float:
    if text is None:
        return usual
    found = re.fullmatch(r"\s*(\d{1,3}(?:\.\d+)?)\s*%?\s*", text)
    if not found or not 0 < float(found.group(1)) <= DAMPEST_PCT:
        raise SpecError.at(
            "bad-value",
            f"a relative humidity in % is wanted here, up to {DAMPEST_PCT:g}, not {str(text)!r}",
            text.span,
            change="for example 45",
        )
    return float(found.group(1))
