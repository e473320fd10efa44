"""Figures of a cut file: millimetres, whatever the spec is written in, to a thousandth."""

from __future__ import annotations

from dataclasses import dataclass

from build123.drawing.numbers import Numbers


def figure(mm: float) -> str:
    """A length with one to three decimals: "18.0", "18.161"."""
    text = f"{round(mm, 3) + 0.0:.3f}".rstrip("0")
    return f"{text}0" if text.endswith(".") else text


@dataclass(frozen=True, slots=True)
class Fine(Numbers):
    """Lengths to a thousandth of a millimetre, for notes that stand beside the lines they are about."""

    def length(self, mm: float) -> str:
        """Without zeros at the end."""
        return figure(mm).removesuffix(".0")

    def position(self, mm: float) -> str:
        """The same: a machine goes where it is told."""
        return self.length(mm)


MM = Fine("mm")
