"""A blank less boxes that stand square to it, without a boolean: dados, grooves, rabbets, tongues, notches.

The planes of all boxes cut the blank into cells that are wood or not. Faces, edges and corners of the wood follow from the
pattern of cells about each place, and are the largest there can be. Coordinates are used as they are given.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from build123.kernel.rings import Corner, Face, Ring, outer_first
from build123.model.frame import PLAN_MM, Vec

MOST_CELLS = 100_000
BoxMm = tuple[Vec, Vec]
Cells = NDArray[np.bool_]


def carved(size: Vec, boxes: Sequence[BoxMm]) -> list[Face] | None:
    """The faces of the blank (0..size) less the boxes; None where it needs a boolean.

    That is where the wood falls apart or is gone, is hollow, touches itself along an edge or at a corner, or where a face
    does.
    """
    planes = [_planes(size[k], [box[side][k] for box in boxes for side in (0, 1)]) for k in range(3)]
    shape = tuple(len(p) - 1 for p in planes)
    if shape[0] * shape[1] * shape[2] > MOST_CELLS:
        return None
    wood = np.ones(shape, dtype=bool)
    for low, high in boxes:
        wood[tuple(slice(_index(planes[k], low[k]), _index(planes[k], high[k])) for k in range(3))] = False
    cells = np.pad(wood, 1)
    if not wood.any() or not _in_one(cells) or not _in_one(~cells):
        return None
    edges = [_edges(cells, axis) for axis in range(3)]
    if any(found is None for found in edges):
        return None
    numbers = _numbered([found for found in edges if found is not None])
    return None if numbers is None else _faces(cells, planes, numbers)


def _planes(size: float, cuts: Sequence[float]) -> NDArray[np.float64]:
    """The blank's two faces and every plane between them; planes nearer than PLAN_MM are one, the blank's own before others."""
    kept = [0.0]
    for cut in sorted(cuts):
        if cut > kept[-1] + PLAN_MM and cut < size - PLAN_MM:
            kept.append(cut)
    return np.array([*kept, size])


def _index(planes: NDArray[np.float64], value: float) -> int:
    """The plane at a value; values outside the blank are at its faces."""
    return int(np.argmin(np.abs(planes - min(max(value, planes[0]), planes[-1]))))


def _in_one(cells: Cells) -> bool:
    """Whether the cells hang together by their sides."""
    reached = np.zeros_like(cells)
    reached.flat[int(np.argmax(cells))] = True
    while True:
        grown = reached.copy()
        for axis in range(3):
            here, there = [slice(None)] * 3, [slice(None)] * 3
            here[axis], there[axis] = slice(1, None), slice(None, -1)
            grown[tuple(here)] |= reached[tuple(there)]
            grown[tuple(there)] |= reached[tuple(here)]
        grown &= cells
        if np.array_equal(grown, reached):
            return bool(np.array_equal(reached, cells))
        reached = grown


def _edges(cells: Cells, axis: int) -> Cells | None:
    """Along one axis, which unit stretches of grid lines are edges: one or three of the four cells about them are wood.

    None where two cells meet along an edge only.
    """
    turned = np.moveaxis(cells, axis, 0)[1:-1]
    a, b, c, d = turned[:, :-1, :-1], turned[:, 1:, :-1], turned[:, :-1, 1:], turned[:, 1:, 1:]
    if np.any((a == d) & (b == c) & (a != b)):
        return None
    return np.moveaxis(a ^ b ^ c ^ d, 0, axis)


def _numbered(edges: Sequence[Cells]) -> list[NDArray[np.int64]] | None:
    """For each axis a number for each unit stretch, equal along one edge; -1 where there is none."""
    ends = []
    for axis, real in enumerate(edges):
        wide = [(0, 0)] * 3
        wide[axis] = (1, 1)
        padded = np.pad(real, wide).astype(np.int8)
        ends.append(np.take(padded, range(1, padded.shape[axis]), axis) + np.take(padded, range(padded.shape[axis] - 1), axis))
    degree = ends[0] + ends[1] + ends[2]
    if np.any(degree == 6):
        return None
    numbers = []
    following = 0
    for axis, real in enumerate(edges):
        straight = np.moveaxis((ends[axis] == 2) & (degree == 2), axis, -1)
        lines = np.moveaxis(real, axis, -1)
        starts = lines.copy()
        starts[..., 1:] &= ~(lines[..., :-1] & straight[..., 1:-1])
        number = np.cumsum(starts.ravel()).reshape(starts.shape) - 1 + following
        following += int(starts.sum())
        numbers.append(np.moveaxis(np.where(lines, number, -1), -1, axis))
    return numbers


def _faces(cells: Cells, planes: Sequence[NDArray[np.float64]], numbers: Sequence[NDArray[np.int64]]) -> list[Face] | None:
    faces = []
    for axis in range(3):
        turned = np.moveaxis(cells, axis, 0)
        across = ((axis + 1) % 3, (axis + 2) % 3)
        flat = tuple(sorted(across))
        for p in range(len(planes[axis])):
            below, above = turned[p, 1:-1, 1:-1], turned[p + 1, 1:-1, 1:-1]
            for sign, mask in ((1, below & ~above), (-1, above & ~below)):
                for patch in _patches(mask if flat == across else mask.T):
                    rings = _rings(patch, axis, p, sign, planes, numbers)
                    if rings is None:
                        return None
                    faces.append(Face(axis, sign, outer_first(rings, axis, sign)))
    return faces


def _patches(mask: Cells) -> Iterator[set[tuple[int, int]]]:
    """Cells of one plane that hang together by their sides."""
    left = {(int(q), int(r)) for q, r in np.argwhere(mask)}
    for start in sorted(left):
        if start not in left:
            continue
        left.discard(start)
        patch, new = {start}, [start]
        while new:
            q, r = new.pop()
            for beside in ((q + 1, r), (q - 1, r), (q, r + 1), (q, r - 1)):
                if beside in left:
                    left.discard(beside)
                    patch.add(beside)
                    new.append(beside)
        yield patch


def _rings(
    patch: set[tuple[int, int]], axis: int, p: int, sign: int, planes: Sequence[NDArray[np.float64]], numbers: Sequence[NDArray[np.int64]]
) -> list[Ring] | None:
    """The edges about a patch in order, the wood's face to the left seen from outside; None where it touches itself."""
    b, c = (axis + 1) % 3, (axis + 2) % 3
    ahead: dict[int, tuple[list[int], list[int], int]] = {}

    def side(along: int, q: int, r: int, forth: bool) -> None:
        at = [0, 0, 0]
        at[axis], at[b], at[c] = p, q, r
        number = int(numbers[along][at[0], at[1], at[2]])
        end = list(at)
        end[along] += 1
        if number in ahead:
            low, high, way = ahead[number]
            ahead[number] = (min(low, at), max(high, end), way)
        else:
            ahead[number] = (at, end, 1 if forth == (sign > 0) else -1)

    for q, r in patch:
        if (q, r - 1) not in patch:
            side(b, q, r, True)
        if (q + 1, r) not in patch:
            side(c, q + 1, r, True)
        if (q, r + 1) not in patch:
            side(b, q, r + 1, False)
        if (q - 1, r) not in patch:
            side(c, q, r, False)

    def corner(at: list[int]) -> Corner:
        return (float(planes[0][at[0]]), float(planes[1][at[1]]), float(planes[2][at[2]]))

    leaving: dict[Corner, tuple[int, int, Corner]] = {}
    for number, (low, high, way) in ahead.items():
        tail, head = (corner(low), corner(high)) if way > 0 else (corner(high), corner(low))
        if tail in leaving:
            return None
        leaving[tail] = (number, way, head)
    rings = []
    while leaving:
        start = min(leaving)
        ring, at = [], start
        while at in leaving:
            number, way, head = leaving.pop(at)
            ring.append((number, way, at))
            at = head
        if at != start:
            return None
        rings.append(tuple(ring))
    return rings
