"""Nodes of one level, as bits of a number, and who of them is in whose way. What is tried on the solids is remembered."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from build123.assembly.bodies import Bools
from build123.assembly.nodes import Node
from build123.assembly.reach import Reach
from build123.assembly.strong import strong


class Level:
    """Some nodes, of which sets are written as bit masks in their order."""

    def __init__(self, nodes: tuple[Node, ...], reach: Reach) -> None:
        self.nodes, self.reach = nodes, reach
        self.whole = (1 << len(nodes)) - 1
        self._rows = np.array([body for node in nodes for body in node.bodies], dtype=np.int64)
        self._of = np.array([k for k, node in enumerate(nodes) for _ in node.bodies], dtype=np.int64)
        self._stops: dict[int, list[int]] = {}
        self._untried: dict[int, list[int]] = {}
        self.touches = self._masks(reach.bodies.touch)

    def free(self, k: int, way: int, standing: int) -> bool:
        """Whether a node can leave all others that stand, tried on the solids."""
        node = self.nodes[k]
        others = standing & ~(1 << k)
        if node.ways and way in node.ways:
            return self.reach.draws(node.first, (b for j in bits(others) for b in self.nodes[j].bodies), way)
        if self.stops(way)[k] & others:
            return False
        return self._clear(k, way, others)

    def leaving(self, way: int, standing: int) -> list[int]:
        """The least sets of nodes that can leave the rest of `standing`; empty where it hangs together whole."""
        while True:
            found = strong(self.stops(way), standing)
            ends = [one for one in found if one != standing and not any(self.stops(way)[k] & standing & ~one for k in bits(one))]
            if all(self._clear(k, way, standing & ~one) for one in ends for k in bits(one)):
                return ends

    def stops(self, way: int) -> list[int]:
        """For each node, those that are known to be in its way."""
        self._prepare(way)
        return self._stops[way]

    def meet(self, one: int, rest: int) -> int:
        """The nodes of `rest` that touch one of the nodes in `one`."""
        found = 0
        for k in bits(one):
            found |= self.touches[k]
        return found & rest

    def _clear(self, k: int, way: int, others: int) -> bool:
        """Tries the moves that are untried. What stops one is remembered with the rest that is known."""
        self._prepare(way)
        open_ = self._untried[way][k] & others
        for j in bits(open_):
            self._untried[way][k] &= ~(1 << j)
            if self._meets(k, j, way):
                self._stops[way][k] |= 1 << j
                return False
        return not self._stops[way][k] & others

    def _meets(self, k: int, j: int, way: int) -> bool:
        mine, theirs = list(self.nodes[k].bodies), list(self.nodes[j].bodies)
        pairs = np.argwhere(self.reach.maybe(way)[np.ix_(mine, theirs)])
        return any(self.reach.blocked(mine[a], theirs[b], way) for a, b in pairs.tolist())

    def _prepare(self, way: int) -> None:
        if way not in self._stops:
            self._stops[way] = self._masks(self.reach.certain(way))
            possible = self._masks(self.reach.maybe(way))
            self._untried[way] = [maybe & ~stop for maybe, stop in zip(possible, self._stops[way], strict=True)]

    def _masks(self, bodies: Bools) -> list[int]:
        """For each node the nodes that any of its bodies is related to."""
        size = len(self.nodes)
        found = np.zeros((size, size), dtype=bool)
        rows, columns = np.nonzero(bodies[np.ix_(self._rows, self._rows)])
        found[self._of[rows], self._of[columns]] = True
        np.fill_diagonal(found, False)
        packed = np.packbits(found, axis=1, bitorder="little")
        return [int.from_bytes(row.tobytes(), "little") for row in packed]


def bits(mask: int) -> Iterator[int]:
    """The numbers of the bits that are set, lowest first."""
    while mask:
        low = mask & -mask
        yield low.bit_length() - 1
        mask ^= low
