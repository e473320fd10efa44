"""How numbers stand on a sheet, which states its unit once."""

from __future__ import annotations

from dataclasses import dataclass

from build123.fields.quantity import Units
from build123.fields.show import FINEST, show_angle, show_length, show_number

MARKED_MM = 0.05
"""How finely a position can be marked, at the best (common practice with a knife and a gauge)."""
EXACT_MM = 1e-6
"""Rounding of a double; a length this near to a stroke of the rule is meant to be on it."""


def _on_stroke(mm: float, within_mm: float) -> bool:
    strokes = mm / 25.4 * FINEST
    return abs(strokes - round(strokes)) * 25.4 / FINEST <= within_mm


@dataclass(frozen=True, slots=True)
class Numbers:
    """Shows lengths in the sheet's units, without the unit."""

    units: Units

    def length(self, mm: float) -> str:
        """A size that something has to fit: to 0.01 mm or 0.001 in; a fraction only where it is one."""
        if self.units == "in" and not _on_stroke(mm, EXACT_MM):
            return show_number(round(mm / 25.4, 3))
        return self._plain(round(mm, 2) if self.units == "mm" else mm)

    def position(self, mm: float) -> str:
        """A position to mark: to 0.05 mm; in inches the fraction where that is as near, else to 0.001 in."""
        if self.units == "mm":
            return self._plain(round(round(mm / MARKED_MM) * MARKED_MM, 2))
        return self._plain(mm, FINEST) if _on_stroke(mm, MARKED_MM) else self.length(mm)

    def _plain(self, mm: float, fraction: int | None = None) -> str:
        return show_length(mm, self.units, fraction=fraction).removesuffix(f" {self.units}")

    def angle(self, degrees: float) -> str:
        """An angle."""
        return show_angle(round(degrees, 2))
