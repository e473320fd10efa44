"""Writes the steps of a glue-up: sub-assemblies before they are brought in, hardware as soon as what holds it stands."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from build123.assembly.apart import Apart, take_apart
from build123.assembly.level import Level, bits
from build123.assembly.nodes import Holding, Node
from build123.assembly.reach import Reach
from build123.assembly.trapped import trapped_in
from build123.model.frame import Vec, scale
from build123.model.plan import Step, Trapped


@dataclass(frozen=True, slots=True)
class _In:
    """Nodes that come in together, `way` the direction in which they would go out again; `inner` puts several together."""

    nodes: tuple[Node, ...]
    way: int | None
    inner: Apart | None = None


class Writer:
    """Collects steps, sub-assemblies and what is trapped."""

    def __init__(self, reach: Reach, held: Holding) -> None:
        self.reach, self.held = reach, held
        self.bodies = reach.bodies
        self.steps: list[Step] = []
        self.sub_assemblies: list[tuple[str, ...]] = []
        self.trapped: list[Trapped] = []

    def write(self, nodes: tuple[Node, ...], within: int) -> None:
        """The steps that put nodes together. What an assembly closes in is tried again with its parts one by one."""
        level, apart = _solved(nodes, self.reach)
        for stuck in apart.stuck():
            self.trapped.append(trapped_in(level, stuck))
        self._order(level, apart, within)

    def _order(self, level: Level, apart: Apart, within: int) -> None:
        """The steps of one taking apart, backwards."""
        ins = [_In(tuple(level.nodes[k] for k in bits(apart.left)), None)]
        for off in reversed(apart.offs):
            ins.append(_In(tuple(level.nodes[k] for k in bits(off.group)), off.way, off.inner))
        standing: list[int] = []
        for one in self._merged(self._driven_early(ins)):
            moved = sorted(body for node in one.nodes for body in node.bodies)
            if not self._sub_assembly(level, one, moved):
                for node in one.nodes:
                    self._sub_assembly(level, _In((node,), one.way), list(node.bodies))
            self._step(moved, one, standing, within)
            standing += moved

    def _sub_assembly(self, level: Level, one: _In, moved: list[int]) -> bool:
        """Writes the steps of what is put together before it comes in; False where it is one part, or cannot be."""
        if one.inner is None and not (len(one.nodes) == 1 and one.nodes[0].children):
            return False
        self.sub_assemblies.append(tuple(self.bodies.all[b].name for b in moved if b in self.bodies.parts))
        number = len(self.sub_assemblies)
        if one.inner is not None:
            self._order(level, one.inner, number)
        else:
            self.write(one.nodes[0].children, number)
        return True

    def _step(self, moved: list[int], one: _In, standing: list[int], within: int) -> None:
        bodies, mine, before = self.bodies, set(moved), set(standing)
        met = {other for body in moved for other in bodies.neighbours[body]} & before
        names = {bodies.all[b].name for b in moved}
        others = {bodies.all[b].name for b in standing if b in bodies.parts}
        near = sorted({n for name in names for n in self._joints_of.get(name, ())})
        near_joints = [bodies.design.joints[n] for n in near]
        closing = [j for j in near_joints if self._closes(j.member, j.receiver, names, others, one)]
        direction: Vec | None = None
        if one.way is not None and before:
            x, y, z = scale(self.reach.directions[one.way], -1.0)
            direction = (x + 0.0, y + 0.0, z + 0.0)
        self.steps.append(
            Step(
                len(self.steps) + 1,
                tuple(bodies.all[b].name for b in moved),
                direction,
                self._travel_mm(moved, standing, one) if direction is not None else 0.0,
                tuple(bodies.all[b].name for b in sorted(met) if b in bodies.parts and b not in mine),
                tuple(joint.id for joint in closing),
                within,
            )
        )

    @cached_property
    def _joints_of(self) -> dict[str, list[int]]:
        found: dict[str, list[int]] = {}
        for n, joint in enumerate(self.bodies.design.joints):
            for name in {joint.member: None, joint.receiver: None}:
                found.setdefault(name, []).append(n)
        return found

    def _node_of(self, name: str, one: _In) -> Node:
        return next(node for node in one.nodes if self.bodies.number[name] in node.bodies)

    def _closes(self, member: str, receiver: str, names: set[str], others: set[str], one: _In) -> bool:
        if one.way is None and member in names and receiver in names:
            return self._node_of(member, one) is not self._node_of(receiver, one)
        return (member in names and receiver in others) or (receiver in names and member in others)

    def _travel_mm(self, moved: list[int], standing: list[int], one: _In) -> float:
        """How far the moved bodies must start back so that no box that they pass is still beside them."""
        assert one.way is not None
        low, high = self.reach.extents(one.way)
        if all(node.ways for node in one.nodes):
            return round(float((high[moved, 2] - low[moved, 2]).max()), 6)
        passed = np.argwhere(self.reach.maybe(one.way)[np.ix_(moved, standing)])
        ways = [high[standing[j], 2] - low[moved[i], 2] for i, j in passed.tolist()]
        return round(max(0.0, *(float(way) for way in ways)), 6) if ways else 0.0

    def _driven_early(self, ins: list[_In]) -> list[_In]:
        """Driven hardware moved forward to where the parts that hold it stand, as long as later parts still come past it."""
        found: list[_In] = []
        for one in ins:
            if not (found and all(node.ways for node in one.nodes)):
                found.append(one)
                continue
            thing = one.nodes[0].first
            held = set(self.held.holders[thing])
            at = len(found)
            while at > 1 and self._may_precede(thing, held, found[at - 1]):
                at -= 1
            found.insert(at, one)
        return found

    def _may_precede(self, thing: int, held: set[int], later: _In) -> bool:
        if later.way is None or any(node.ways for node in later.nodes):
            return False
        moved = [body for node in later.nodes for body in node.bodies]
        return not held & set(moved) and not any(self.reach.blocked(body, thing, later.way) for body in moved)

    def _merged(self, ins: list[_In]) -> list[_In]:
        """Hardware that is driven one after another in one direction, as one step."""
        found: list[_In] = []
        for one in ins:
            last = found[-1] if found else None
            if last is not None and last.way == one.way and all(node.ways for node in (*last.nodes, *one.nodes)):
                found[-1] = _In((*last.nodes, *one.nodes), one.way)
            else:
                found.append(one)
        return found


def _solved(nodes: tuple[Node, ...], reach: Reach) -> tuple[Level, Apart]:
    """Taken apart; an assembly that is stuck is opened, the least first."""
    while True:
        level = Level(nodes, reach)
        apart = take_apart(level, level.whole)
        closed = [nodes[k] for stuck in apart.stuck() for k in bits(stuck) if nodes[k].open]
        if not closed:
            return level, apart
        least = min(closed, key=lambda node: (len(node.bodies), node.first))
        nodes = tuple(sorted((*(node for node in nodes if node is not least), *least.children), key=lambda node: node.first))
