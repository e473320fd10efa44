"""Where tables, sections and pictures go: free rectangles of the sheet, filled from the upper left."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from build123.drawing.lettering import Rect
from build123.model.frame import Vec2


@dataclass(frozen=True, slots=True)
class Block:
    """Something that has to find room."""

    width: float
    height: float


def pack(blocks: Sequence[Block], area: Rect, taken: Sequence[Rect], between: float) -> tuple[Vec2, ...] | None:
    """The upper left corner of each block, clear of what is taken and `between` from each other; None where they do not fit.

    In their order if they fit so, else the tallest first; each into the highest free rectangle that holds it, so that rows form.
    """
    free = [area]
    for box in taken:
        free = _less(free, box)
    order = list(range(len(blocks)))
    return _in_order(blocks, order, free, between) or _in_order(blocks, sorted(order, key=lambda k: -blocks[k].height), free, between)


def _in_order(blocks: Sequence[Block], order: Sequence[int], free: list[Rect], between: float) -> tuple[Vec2, ...] | None:
    found: dict[int, Vec2] = {}
    for k in order:
        block = blocks[k]
        fits = [f for f in free if f.right - f.left >= block.width and f.top - f.bottom >= block.height]
        if not fits:
            return None
        home = min(fits, key=lambda f: (-round(f.top, 3), f.left))
        found[k] = (home.left, home.top)
        free = _less(free, Rect(home.left, home.top - block.height - between, home.left + block.width + between, home.top))
    return tuple(found[k] for k in range(len(blocks)))


def _less(free: Sequence[Rect], box: Rect) -> list[Rect]:
    """The largest rectangles that are left when a box is taken out."""
    kept: list[Rect] = []
    for f in free:
        if not f.overlaps(box):
            kept.append(f)
            continue
        if box.left > f.left:
            kept.append(Rect(f.left, f.bottom, box.left, f.top))
        if box.right < f.right:
            kept.append(Rect(box.right, f.bottom, f.right, f.top))
        if box.bottom > f.bottom:
            kept.append(Rect(f.left, f.bottom, f.right, box.bottom))
        if box.top < f.top:
            kept.append(Rect(f.left, box.top, f.right, f.top))
    kept = list(dict.fromkeys(kept))
    return [f for f in kept if not any(f is not g and f.within(g) for g in kept)]
