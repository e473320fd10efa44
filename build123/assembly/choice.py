"""Which of the moves that would do comes off first: what a maker puts on last."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from build123.assembly.level import Level, bits
from build123.model.frame import Vec, dot, scale

LONG_MM = 60.0
"""A housed end pushed further than this along its housing starves the joint of glue and seizes (common practice); a dowel or tongue goes less."""
SQUARE = 0.999
HALF = 0.5
LEVEL = 0.1
RUB_MM = 25.0
"""Faces that rub along each other further than this wipe off glue (common practice); walls of housings are seldom deeper."""
Cost = tuple[float, ...]


class Choice:
    """Costs of moves of one level; the cheapest comes off first.

    `last_way` and `last_kind` are those of the move before, `base` is the node to keep to the last, as a mask.
    """

    def __init__(self, level: Level) -> None:
        self.level = level
        self.last_way = -1
        self.last_kind = ""
        self.base = 0
        self._slides: dict[tuple[int, int, int], tuple[float, float]] = {}
        self._rubbed: dict[tuple[int, int, int], int] = {}
        bodies = level.reach.bodies
        rows = [list(node.bodies) for node in level.nodes]
        self._low = np.array([bodies.lows[r].min(axis=0) for r in rows]).reshape(-1, 3)
        self._high = np.array([bodies.highs[r].max(axis=0) for r in rows]).reshape(-1, 3)
        size = self._high - self._low
        self._hardware = [node.first not in bodies.parts for node in level.nodes]
        self._settled: list[dict[int, tuple[Cost, Cost]]] = [{} for _ in level.nodes]
        self._thin: list[int] = np.argmin(size, axis=1).tolist()
        self._volumes: list[float] = np.round(size.prod(axis=1)).tolist()
        self._whole = whole = self._high.max(axis=0) - self._low.min(axis=0)
        covers = size[:, [1, 2, 0]] * size[:, [2, 0, 1]] >= 0.5 * whole[[1, 2, 0]] * whole[[2, 0, 1]]
        self._covers: list[list[bool]] = covers.tolist()
        self._bottom = np.round(self._low[:, 2], 1).tolist()

    def alone(self, k: int, way: int, standing: int) -> Cost:
        """The cost of taking one node off: driven hardware and loose parts first, then backs and tops, then in few directions."""
        if way not in self._settled[k]:
            self._settled[k][way] = self._settle(k, way, standing)
        before, after = self._settled[k][way]
        return (*before, way != self.last_way, self.level.nodes[k].kind != self.last_kind, *after)

    def _settle(self, k: int, way: int, standing: int) -> tuple[Cost, Cost]:
        """What does not change before a neighbour is gone."""
        touched = self.level.touches[k] & standing & ~(1 << k)
        rubs = sum(self._rubs(k, j, way) for j in bits(touched))
        before = (not self.is_early(k), not self.is_hardware(k), self.slides(k, way, standing), not self.closes(k, way), rubs)
        return before, (touched.bit_count(), -self._bottom[k], self._volumes[k], -k)

    def together(self, group: int, way: int, standing: int) -> Cost:
        """The cost of taking several nodes off together: few joints to close at once, then few nodes."""
        rest = standing & ~group
        closes = sum(self.level.meet(1 << k, rest).bit_count() for k in bits(group))
        long = any(self.slides(k, way, rest) for k in bits(group))
        return long or bool(group & self.base) or self.splits(group, standing), closes, group.bit_count(), way != self.last_way, -group

    def chosen(self, group: int, way: int) -> None:
        """Remember what came off, and forget what it changes."""
        for k in bits(self.level.meet(group, self.level.whole)):
            self._settled[k].clear()
        self.last_way = way
        self.last_kind = self.level.nodes[next(bits(group))].kind

    def keep_base(self, standing: int) -> None:
        """Settle what the rest is put onto: the node that most others meet, then the lowest, then the largest; no panel let in all round."""
        if not self.base & standing:
            panels = self.level.reach.bodies.housed_all_round
            self.base = 1 << max(
                bits(standing),
                key=lambda k: (
                    not self.is_hardware(k) and not self.level.nodes[k].loose,
                    self.level.nodes[k].first not in panels,
                    max(2, self.level.meet(1 << k, standing & ~(1 << k)).bit_count()),
                    -self._bottom[k],
                    self._volumes[k],
                    -k,
                ),
            )

    def is_early(self, k: int) -> bool:
        """Whether a node comes off before all others wherever it can: driven hardware and loose parts."""
        return self.is_hardware(k) or self.level.nodes[k].loose

    def is_hardware(self, k: int) -> bool:
        """Whether a node has no part in it."""
        return self._hardware[k]

    def volume(self, k: int) -> float:
        """The volume of a node's box."""
        return self._volumes[k]

    def slides(self, k: int, way: int, standing: int) -> bool:
        """Whether a node would be pushed a long way along a housing."""
        return not self.level.nodes[k].loose and any(
            self._slide(k, j, way)[0] > LONG_MM for j in bits(self.level.touches[k] & standing & ~(1 << k))
        )

    def splits(self, group: int, standing: int) -> bool:
        """Whether what stands would fall apart without some nodes."""
        rest = standing & ~group
        near = self.level.meet(group, rest)
        if not near & (near - 1):
            return False
        reached = edge = near & -near
        while edge and near & ~reached:
            edge = self.level.meet(edge, rest & ~reached)
            reached |= edge
        return bool(near & ~reached)

    def closes(self, k: int, way: int) -> bool:
        """Whether a single board covers most of the back, the front or the top, and comes off square to its face."""
        if not self.is_outward(way) or self.level.nodes[k].children:
            return False
        axis = 2 if self.level.reach.directions[way][2] > SQUARE else 1
        return axis == self._thin[k] and self._covers[k][axis]

    def close_together(self, group: int, way: int) -> bool:
        """Whether some nodes make a flat frame or panel that covers the back, the front or the top, as a face frame does."""
        rows = list(bits(group))
        size = self._high[rows].max(axis=0) - self._low[rows].min(axis=0)
        axis = 2 if self.level.reach.directions[way][2] > SQUARE else 1
        others = [k for k in range(3) if k != axis]
        return bool(4 * size[axis] < size[others].min() and 2 * size[others].prod() >= self._whole[others].prod())

    def is_outward(self, way: int) -> bool:
        """Whether a direction is the one in which backs, fronts or tops come off."""
        ahead = self.level.reach.directions[way]
        return ahead[2] > SQUARE or abs(ahead[1]) > SQUARE

    def _rubs(self, k: int, j: int, way: int) -> int:
        """0 where a joint opens as it is meant to, 1 where it opens another way, 2 and more where faces rub on the way."""
        if (k, j, way) not in self._rubbed:
            bodies, ahead = self.level.reach.bodies, self.level.reach.directions[way]
            theirs = set(self.level.nodes[j].bodies)
            pairs = [(a, b) for a in self.level.nodes[k].bodies for b in bodies.neighbours[a] & theirs]
            meant = [opens for pair in pairs for opens in bodies.openings.get(pair, ())]
            seats = [scale(c.normal, -1.0) for pair in pairs for c in bodies.contacts[pair] if c.normal is not None]
            opens = any(dot(one, ahead) > HALF for one in meant or seats)
            self._rubbed[k, j, way] = 2 * (self._slide(k, j, way)[1] > RUB_MM) + (not opens)
        return self._rubbed[k, j, way]

    def _slide(self, k: int, j: int, way: int) -> tuple[float, float]:
        """How far a node moves within a housing of another, and how far its faces rub along it."""
        if (k, j, way) not in self._slides:
            found = list(self._lengths(k, j, self.level.reach.directions[way]))
            self._slides[k, j, way] = (max((x for x, _ in found), default=0.0), max((x for _, x in found), default=0.0))
        return self._slides[k, j, way]

    def _lengths(self, k: int, j: int, ahead: Vec) -> Iterator[tuple[float, float]]:
        """For each two bodies: the stretch between two walls or in a hole, and that of any face that lies along the move."""
        bodies = self.level.reach.bodies
        theirs = set(self.level.nodes[j].bodies)
        for a in self.level.nodes[k].bodies:
            for b in bodies.neighbours[a] & theirs:
                contacts = bodies.contacts[a, b]
                along = [(c.normal, c.size) for c in contacts if c.normal is not None and abs(dot(c.normal, ahead)) < LEVEL]
                walls = [size for n, size in along if any(dot(n, m) < -SQUARE for m, _ in along)]
                holes = [c.size for c in contacts if c.axis is not None and abs(dot(c.axis, ahead)) > SQUARE]
                yield _longest([*walls, *holes], ahead), _longest([size for _, size in along], ahead)


def _longest(sizes: list[Vec], ahead: Vec) -> float:
    return max((sum(abs(ahead[i]) * size[i] for i in range(3)) for size in sizes), default=0.0)
