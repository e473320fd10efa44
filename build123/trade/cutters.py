"""Router cutters that are sold everywhere."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from build123.trade.tables import INCH_MM, rows


@dataclass(frozen=True, slots=True)
class Cutter:
    """A straight cutter. `label` is its diameter as the trade says it."""

    id: str
    label: str
    diameter_mm: float
    metric: bool
    note: str
    source: str
    confidence: str

    @property
    def radius_mm(self) -> float:
        """Half the diameter."""
        return self.diameter_mm / 2


@cache
def cutters(units: str) -> tuple[Cutter, ...]:
    """The cutters of one system of units ("mm" or "in"), the largest first."""
    found = []
    for row in rows("cutters"):
        if row["unit"] != units:
            continue
        size = Fraction(row["diameter"]) * (INCH_MM if units == "in" else 1)
        found.append(
            Cutter(row["cutter"], f"{row['diameter']} {units}", float(size), units == "mm", row["note"], row["source"], row["confidence"])
        )
    return tuple(sorted(found, key=lambda cutter: -cutter.diameter_mm))
