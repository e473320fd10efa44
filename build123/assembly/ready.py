"""Which nodes nothing is known to stop, kept up as others leave."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from build123.assembly.level import Level, bits


class Ready:
    """Nodes and directions in which nothing that stands is known to stop them.

    A node that is stopped is looked at again only when the one stop that was seen for it has gone.
    """

    def __init__(self, level: Level, standing: int) -> None:
        self._level, self._standing = level, standing
        self._seen: defaultdict[int, list[tuple[int, int]]] = defaultdict(list)
        self._ready: dict[tuple[int, int], None] = {}
        for way in range(len(level.reach.directions)):
            for k in bits(standing):
                if way in level.nodes[k].ways or not level.nodes[k].ways:
                    self.look(k, way)

    def look(self, k: int, way: int) -> bool:
        """Whether a node is ready still, by what is known now."""
        stops = 0 if way in self._level.nodes[k].ways else self._level.stops(way)[k] & self._standing
        if not stops:
            self._ready[k, way] = None
            return True
        self._ready.pop((k, way), None)
        self._seen[(stops & -stops).bit_length() - 1].append((k, way))
        return False

    def gone(self, group: int) -> None:
        """Take away what has left, and look again at those that it stopped."""
        self._standing &= ~group
        for k in bits(group):
            for way in range(len(self._level.reach.directions)):
                self._ready.pop((k, way), None)
        for k in bits(group):
            for other, way in self._seen.pop(k, ()):
                if self._standing >> other & 1:
                    self.look(other, way)

    def __iter__(self) -> Iterator[tuple[int, int]]:
        """Nodes with their directions."""
        return iter(tuple(self._ready))
