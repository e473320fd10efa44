"""The parts list: a mark for each distinct part and each kind of fitting."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

from build123.drawing.numbers import Numbers
from build123.drawing.standard import Standard
from build123.model.design import Design

HEADING = ("mark", "part", "count", "stock", "T × W × L")


@dataclass(frozen=True, slots=True)
class Marked:
    """One row: the mark, and the bodies that carry it."""

    mark: str
    bodies: tuple[str, ...]
    cells: tuple[str, ...]


def parts_list(design: Design, norm: Standard) -> tuple[Marked, ...]:
    """Parts stock by stock, then fittings by label. Sizes are the finished ones, length along the grain."""
    n = Numbers(norm.units)
    rows: list[Marked] = []
    place = {stock.name: k for k, stock in enumerate(design.stocks)}
    kinds = sorted(design.kinds.values(), key=lambda parts: place.get(parts[0].stock.name, len(place)))
    families = Counter(family for parts in kinds for family in {part.family for part in parts})
    for parts in kinds:
        first, mark = parts[0], str(len(rows) + 1)
        sizes = " × ".join(n.length(size) for size in (first.thickness_mm, first.width_mm, first.length_mm))
        alike = {part.family for part in parts}
        name = first.name if len(parts) == 1 else f"{first.name} and {len(parts) - 1} alike"
        if len(parts) > 1 and len(alike) == 1 and first.family and families[first.family] == 1:
            name = first.family
        rows.append(Marked(mark, tuple(part.name for part in parts), (mark, name, str(len(parts)), first.stock.name, sizes)))
    for label in dict.fromkeys(thing.label for thing in design.hardware):
        bodies = tuple(thing.name for thing in design.hardware if thing.label == label)
        mark = str(len(rows) + 1)
        rows.append(Marked(mark, bodies, (mark, label, str(len(bodies)), "bought", "–")))
    return tuple(rows)
