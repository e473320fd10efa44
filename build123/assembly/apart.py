"""Taking apart: from what stands, move after move, until one thing is left or nothing comes off."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from build123.assembly.choice import Choice, Cost
from build123.assembly.level import Level, bits
from build123.assembly.ready import Ready

FEW = 60
"""On levels with more nodes than this no face frames are looked for: single parts come off as well, only less as a maker would."""


@dataclass(frozen=True, slots=True)
class Off:
    """Nodes of a level that come off together along a direction; `inner` takes them apart in turn where they are several."""

    group: int
    way: int
    inner: Apart | None = None


@dataclass(frozen=True, slots=True)
class Apart:
    """The moves in the order of taking apart. `left` is what stands last: one node, or nodes that hold one another."""

    offs: tuple[Off, ...]
    left: int

    def stuck(self) -> Iterator[int]:
        """Each set of nodes of the level that nothing can part."""
        if self.left & (self.left - 1):
            yield self.left
        for off in self.offs:
            if off.inner is not None:
                yield from off.inner.stuck()


def take_apart(level: Level, standing: int) -> Apart:
    """Takes nodes off until no more come off.

    The order does no harm: what can leave a set can leave any part of that set in the same way. So a piece that can be taken
    apart at all is taken apart whatever comes off first ("Geometric reasoning about mechanical assembly", Artificial
    Intelligence 71, 1994, 371-396).
    """
    choice, ready = Choice(level), Ready(level, standing)
    offs: list[Off] = []
    while standing & (standing - 1):
        found = _next(level, choice, ready, standing)
        if found is None:
            break
        group, way = found
        offs.append(Off(group, way, take_apart(level, group) if group & (group - 1) else None))
        standing &= ~group
        ready.gone(group)
        choice.chosen(group, way)
    return Apart(tuple(offs), standing)


def _next(level: Level, choice: Choice, ready: Ready, standing: int) -> tuple[int, int] | None:
    """The best node by itself; else the best few together; else a node that must be slid far, or that others hang on."""
    later: list[tuple[int, int]] = []
    looked = False
    for _, k, way in sorted((choice.alone(k, way, standing), k, way) for k, way in ready):
        if not choice.is_early(k):
            if not looked and not choice.closes(k, way):
                looked = True
                frame = _closing_group(level, choice, standing) if standing.bit_count() <= FEW else None
                if frame is not None:
                    return frame
                choice.keep_base(standing)
            if 1 << k == choice.base or choice.slides(k, way, standing) or choice.splits(1 << k, standing):
                later.append((k, way))
                continue
        if level.free(k, way, standing):
            return 1 << k, way
        ready.look(k, way)
    choice.keep_base(standing)
    groups = _groups(level, choice, standing, range(len(level.reach.directions)))
    if groups and not groups[0][0][0]:
        return groups[0][1:]
    for k, way in later:
        if level.free(k, way, standing):
            return 1 << k, way
    return groups[0][1:] if groups else None


def _closing_group(level: Level, choice: Choice, standing: int) -> tuple[int, int] | None:
    """A face frame or the like, to come off whole before single parts do."""
    ways = [way for way in range(len(level.reach.directions)) if choice.is_outward(way)]
    for _, group, way in _groups(level, choice, standing, ways):
        flat = 2 * group.bit_count() <= standing.bit_count() and choice.close_together(group, way)
        if flat and not choice.splits(group, standing) and not any(choice.slides(k, way, standing & ~group) for k in bits(group)):
            choice.base &= ~group
            return group, way
    return None


def _groups(level: Level, choice: Choice, standing: int, ways: Iterable[int]) -> list[tuple[Cost, int, int]]:
    """The least sets of several nodes that can come off, the best first."""
    return sorted(
        (choice.together(group, way, standing), group, way) for way in ways for group in level.leaving(way, standing) if group & (group - 1)
    )
