"""All bodies of a piece with what the dry fit says about who touches whom, by number."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from build123.model.design import Design
from build123.model.frame import Vec, dot, norm, scale, sub, unit
from build123.model.measured import DryFit, FaceGap
from build123.model.part import Block, Hardware, Part

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

TOUCH_MM = 0.5
"""Faces nearer than this belong to a joint: a clearance fit and its glue, not two parts that pass each other."""
SEATED_MM = 1e-3
SAME_WAY = 1e-6
"""Unit vectors that differ by less are one direction: a thousandth of a millimetre over a metre."""
AXES: tuple[Vec, ...] = ((1.0, 0.0, 0.0), (-1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, -1.0, 0.0), (0.0, 0.0, 1.0), (0.0, 0.0, -1.0))

SQUARE = 0.999


@dataclass(frozen=True, eq=False)
class Contact:
    """Two bodies that touch or are held with a little play. `normal` points out of the first, None for a rod in its hole."""

    normal: Vec | None
    axis: Vec | None
    size: Vec
    gap_mm: float


@dataclass(frozen=True, eq=False)
class Bodies:
    """Parts, then hardware, in the design's order; a body is its number here."""

    design: Design
    fit: DryFit

    @cached_property
    def all(self) -> tuple[Part | Hardware, ...]:
        """The bodies."""
        return (*self.design.parts, *self.design.hardware)

    @cached_property
    def number(self) -> dict[str, int]:
        """By name."""
        return {body.name: n for n, body in enumerate(self.all)}

    @property
    def parts(self) -> range:
        """The numbers of the parts."""
        return range(len(self.design.parts))

    @property
    def hardware(self) -> range:
        """The numbers of the hardware."""
        return range(len(self.design.parts), len(self.all))

    @cached_property
    def corners(self) -> Floats:
        """The corners (n, 8, 3) of every body's own box, in the piece."""
        boxes = [self.fit.shapes[self.fit.shape_of[body.name]].box for body in self.all]
        return np.array(
            [
                [
                    body.placement.point((x, y, z))
                    for x in (b.low[0], b.high[0])
                    for y in (b.low[1], b.high[1])
                    for z in (b.low[2], b.high[2])
                ]
                for body, b in zip(self.all, boxes, strict=True)
            ]
        ).reshape(-1, 8, 3)

    @cached_property
    def lows(self) -> Floats:
        """Low corners of the boxes in the piece (n, 3)."""
        return np.asarray(self.corners.min(axis=1))

    @cached_property
    def highs(self) -> Floats:
        """High corners of the boxes in the piece (n, 3)."""
        return np.asarray(self.corners.max(axis=1))

    @cached_property
    def contacts(self) -> dict[tuple[int, int], tuple[Contact, ...]]:
        """What two bodies have between them that is nearer than `TOUCH_MM`, both ways round."""
        found: defaultdict[tuple[int, int], list[Contact]] = defaultdict(list)
        for gap in self.touching:
            a, b, size = self.number[gap.a], self.number[gap.b], gap.near.size
            found[a, b].append(Contact(gap.normal, None, size, gap.gap_mm))
            found[b, a].append(Contact(scale(gap.normal, -1.0), None, size, gap.gap_mm))
        for bore in self.fit.bores:
            a, b = self.number[bore.a], self.number[bore.b]
            if bore.length_mm > 0.0:
                size = (abs(bore.axis[0]) * bore.length_mm, abs(bore.axis[1]) * bore.length_mm, abs(bore.axis[2]) * bore.length_mm)
                found[a, b].append(Contact(None, bore.axis, size, 0.0))
                found[b, a].append(Contact(None, bore.axis, size, 0.0))
        for one in self.fit.driven:
            if not found[self.number[one.hardware], self.number[one.part]]:
                a, b, size = self.number[one.hardware], self.number[one.part], scale(one.axis, max(one.bite_mm, SEATED_MM))
                reach = (abs(size[0]), abs(size[1]), abs(size[2]))
                found[a, b].append(Contact(None, one.axis, reach, 0.0))
                found[b, a].append(Contact(None, one.axis, reach, 0.0))
        for lap in self.fit.overlaps:
            a, b = self.number[lap.a], self.number[lap.b]
            found[a, b].append(Contact(None, None, (0.0, 0.0, 0.0), -lap.depth_mm))
            found[b, a].append(Contact(None, None, (0.0, 0.0, 0.0), -lap.depth_mm))
        return {pair: tuple(contacts) for pair, contacts in found.items()}

    @cached_property
    def openings(self) -> dict[tuple[int, int], tuple[Vec, ...]]:
        """The directions in which joints are meant to be opened by moving the first of two parts."""
        found: defaultdict[tuple[int, int], list[Vec]] = defaultdict(list)
        for joint in self.design.joints:
            if joint.opens is not None and joint.member in self.number and joint.receiver in self.number:
                member, receiver = self.number[joint.member], self.number[joint.receiver]
                found[member, receiver].append(joint.opens)
                found[receiver, member].append(scale(joint.opens, -1.0))
        return {pair: tuple(ways) for pair, ways in found.items()}

    @cached_property
    def touch(self) -> Bools:
        """[i, j]: the two touch."""
        found = np.zeros((len(self.all), len(self.all)), dtype=bool)
        found[[a for a, _ in self.contacts], [b for _, b in self.contacts]] = True
        return found

    @cached_property
    def touching(self) -> tuple[FaceGap, ...]:
        """Faces that are nearer than `TOUCH_MM`."""
        return tuple(gap for gap in self.fit.gaps if gap.gap_mm <= TOUCH_MM)

    @cached_property
    def neighbours(self) -> dict[int, frozenset[int]]:
        """The bodies that touch each body."""
        found: defaultdict[int, set[int]] = defaultdict(set)
        for a, b in self.contacts:
            found[a].add(b)
        return {n: frozenset(found[n]) for n in range(len(self.all))}

    @cached_property
    def housed_all_round(self) -> dict[int, tuple[int, ...]]:
        """Parts of which all four edges are housed, with the parts that house them."""
        return {n: found for n in self.parts if (found := housings(self, n))}

    @cached_property
    def slack_mm(self) -> dict[tuple[int, int], float]:
        """How deep two bodies are in each other where they stand, both ways round."""
        found: defaultdict[tuple[int, int], float] = defaultdict(float)
        for lap in self.fit.overlaps:
            a, b = self.number[lap.a], self.number[lap.b]
            found[a, b] = found[b, a] = max(found[a, b], lap.depth_mm)
        return dict(found)

    @cached_property
    def directions(self) -> tuple[Vec, ...]:
        """Ways to try: those of the piece, contact normals, what joints say, axes of bores and of hardware; each with its opposite."""
        kept = list(AXES)
        for way in self._ways():
            if min(norm(sub(way, one)) for one in kept) > SAME_WAY:
                kept += [way, scale(way, -1.0)]
        return tuple(kept)

    def _ways(self) -> Iterator[Vec]:
        seen: set[Vec] = set()
        ways = [gap.normal for gap in self.touching]
        ways += [joint.opens for joint in self.design.joints if joint.opens is not None]
        ways += [bore.axis for bore in self.fit.bores]
        for thing in self.design.hardware:
            frame = thing.placement
            ways += [frame.x, frame.y, frame.z] if isinstance(thing.solid, Block) else [frame.z]
        for way in ways:
            rough = (round(way[0], 6) + 0.0, round(way[1], 6) + 0.0, round(way[2], 6) + 0.0)
            if rough not in seen:
                seen.add(rough)
                yield unit(way)


def housings(bodies: Bodies, n: int) -> tuple[int, ...]:
    """The parts that house the four edges of a part; none where one edge is free.

    A housing has walls on both faces of the part, and lies beyond the edge that it houses.
    """
    frame, own = bodies.all[n].placement, bodies.corners[n]
    edges: set[tuple[int, int]] = set()
    found: list[int] = []
    for other in sorted(bodies.neighbours[n]):
        contacts = bodies.contacts[n, other] if other in bodies.parts else ()
        sides = {dot(c.normal, frame.z) > 0 for c in contacts if c.normal is not None and abs(dot(c.normal, frame.z)) > SQUARE}
        if len(sides) < 2:
            continue
        for k, axis in enumerate((frame.x, frame.y)):
            inner, outer = own @ axis, bodies.corners[other] @ axis
            for sign in (-1, 1):
                beyond = (sign * outer).max() > (sign * inner).max() + SEATED_MM
                if beyond and (sign * outer).min() > sign * inner.mean():
                    edges.add((k, sign))
                    found.append(other)
    return tuple(dict.fromkeys(found)) if len(edges) == 4 else ()
