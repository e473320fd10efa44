"""How numbers stand on a sheet, which states its unit once."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from build123.fields.quantity import Units
from build123.fields.show import FINEST, show_angle, show_length, show_number

EXACT_MM = 1e-6
"""Rounding of a double; a length this near to a stroke of the rule is meant to be on it."""
IN_STEP = 0.0005
"""The last figure of decimal inches: half a thousandth, 0.013 mm, as fine as the 0.01 mm of the other sheets."""


@dataclass(frozen=True, slots=True)
class Numbers:
    """Shows lengths in the sheet's units, without the unit. `marked_mm` is the stroke that places are marked to, 0 for none."""

    units: Units
    marked_mm: float = 0.0

    def mark(self, mm: float) -> str:
        """A place to mark with rule and knife: on the nearest stroke where the shop says to which, else as a length."""
        return self.length(round(mm / self.marked_mm) * self.marked_mm if self.marked_mm else mm)

    def length(self, mm: float) -> str:
        """A size or a position: to 0.01 mm or 0.0005 in, shorter where it lies on a coarser stroke; a fraction only where it is one.

        Nothing is rounded to the strokes of a rule: a position that falls between them carries a fit with it.
        """
        if self.units == "in":
            inches = mm / 25.4
            if abs(inches * FINEST - round(inches * FINEST)) * 25.4 / FINEST > EXACT_MM:
                return show_number(round(inches / IN_STEP) * IN_STEP)
        return show_length(mm if self.units == "in" else round(mm, 2), self.units).removesuffix(f" {self.units}")

    def value(self, text: str) -> float:
        """A length that was shown, in mm again."""
        number = float(sum(Fraction(word) for word in text.split()))
        return number * 25.4 if self.units == "in" else number

    def angle(self, degrees: float) -> str:
        """An angle."""
        return show_angle(round(degrees, 2))
