"""The cut list: what to cut from which stock, and how many."""

from __future__ import annotations

from dataclasses import dataclass

from build123.model.design import Design
from build123.model.part import Part, Stock


@dataclass(frozen=True, slots=True)
class CutRow:
    """One distinct part. Finished sizes in mm, before any joint is cut; length runs along the grain.

    `parts` are the names of all that are alike, in the design's order. `opposite_of` names the first part of the row that
    is its mirror image, where that stands further up.
    """

    parts: tuple[str, ...]
    thickness_mm: float
    width_mm: float
    length_mm: float
    stock: Stock
    opposite_of: str = ""

    @property
    def count(self) -> int:
        """How many to cut."""
        return len(self.parts)


def cut_list(design: Design) -> tuple[CutRow, ...]:
    """A row for each distinct part: stock by stock as the spec lists it, then in the design's order.

    Opposite hands are different parts and have rows of their own.
    """
    place = {stock.name: n for n, stock in enumerate(design.stocks)}
    kinds = sorted(design.kinds.values(), key=lambda parts: place.get(parts[0].stock.name, len(place)))
    hands: dict[tuple[str, str], str] = {}
    rows = []
    for parts in kinds:
        first = parts[0]
        rows.append(
            CutRow(
                tuple(part.name for part in parts),
                first.thickness_mm,
                first.width_mm,
                first.length_mm,
                first.stock,
                "" if symmetric(first) else hands.get((first.shape_key, first.stock.name), ""),
            )
        )
        hands.setdefault((first.hand_key, first.stock.name), first.name)
    return tuple(rows)


def symmetric(part: Part) -> bool:
    """Whether a part is its own mirror image, so that it has no opposite hand."""
    return part.hand_key == part.shape_key
