"""What one screw or nail holds. Estimates of clear wood from handbook equations, newtons; no design values.

Specific gravity is oven-dry weight on the volume at 12 % moisture content, diameters and penetrations are mm.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from build123.trade.tables import Row, rules, table


@dataclass(frozen=True, slots=True)
class Withdrawal:
    """An equation of the form factor × G^power × D × L, N with D and L in mm."""

    name: str
    factor: float
    gravity_power: float
    note: str
    source: str
    confidence: str


@dataclass(frozen=True, slots=True)
class LateralGroup:
    """Woods of like specific gravity that hold a screw alike across its axis: N = `screw_k` × D², D in mm."""

    name: str
    hardwood: bool
    gravity_low: float
    gravity_high: float
    screw_k: float
    note: str
    source: str
    confidence: str


@cache
def withdrawals() -> Mapping[str, Withdrawal]:
    """Equations of withdrawal by name."""

    def made(row: Row) -> Withdrawal:
        numbers = (float(row["factor"]), float(row["gravity_power"]))
        return Withdrawal(row["formula"], *numbers, row["note"], row["source"], row["confidence"])

    return table("strength", "formula", made)


@cache
def lateral_groups() -> Mapping[str, LateralGroup]:
    """Groups of woods for lateral loads by name, the light ones first."""

    def made(row: Row) -> LateralGroup:
        numbers = (float(row["gravity_low"]), float(row["gravity_high"]), float(row["screw_k"]))
        return LateralGroup(row["lateral"], row["wood"] == "hardwood", *numbers, row["note"], row["source"], row["confidence"])

    return table("lateral", "lateral", made)


def withdrawal_n(specific_gravity: float, diameter_mm: float, penetration_mm: float, end_grain: bool = False) -> float:
    """Pull at which a screw comes out, by the length of its thread in the wood (FPL-GTR-282 Eq. 8-10a).

    End grain holds three quarters of it on average, erratically (FPL Wood Handbook ch. 8, from memory).
    """
    share = rules()["SCREW-ENDGRAIN"].common if end_grain else 1.0
    return share * _pull_n("screw withdrawal", specific_gravity, diameter_mm, penetration_mm)


def allowable_withdrawal_n(specific_gravity: float, diameter_mm: float, penetration_mm: float) -> float:
    """Pull that a screw in side grain may be trusted with, about a fifth of what it comes out at.

    2850 G² D lbf for each inch of thread (engineering handbook, form of the American design rules).
    """
    return _pull_n("screw withdrawal allowable", specific_gravity, diameter_mm, penetration_mm)


def nail_withdrawal_n(specific_gravity: float, diameter_mm: float, penetration_mm: float) -> float:
    """Pull at which a plain nail comes out of side grain (FPL-GTR-282 Eq. 8-1)."""
    return _pull_n("nail withdrawal", specific_gravity, diameter_mm, penetration_mm)


def lateral_n(specific_gravity: float, hardwood: bool, diameter_mm: float) -> float | None:
    """Load across a screw at the proportional limit in side grain, seven diameters of thread in the wood (FPL-GTR-282 Eq. 8-13).

    Woods between two groups count as the lighter, heavier ones than the table has as its heaviest; None for lighter ones.
    """
    fitting = [group for group in lateral_groups().values() if group.hardwood == hardwood and group.gravity_low <= specific_gravity]
    return max(group.screw_k for group in fitting) * diameter_mm**2 if fitting else None


def _pull_n(name: str, specific_gravity: float, diameter_mm: float, penetration_mm: float) -> float:
    equation = withdrawals()[name]
    return equation.factor * math.pow(specific_gravity, equation.gravity_power) * diameter_mm * penetration_mm
