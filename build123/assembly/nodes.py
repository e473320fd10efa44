"""What is moved as one: a part with its dowels, driven hardware, a made-up part, a placed assembly, parts that joints hold together."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import groupby

from build123.assembly.bodies import Bodies
from build123.assembly.reach import Reach
from build123.model.part import Block, Hardware, Part

SEATED_MM = 0.05
"""Hardware that touches a part within this, and has no hole in it, is held by it."""


@dataclass(frozen=True, eq=False)
class Node:
    """Bodies that move together. `children` were put together before; those of an `open` one may also be put in one by one.

    `ways` are the directions in which driven hardware can be drawn out by itself. `kind` is equal for nodes that are alike.
    """

    bodies: tuple[int, ...]
    children: tuple[Node, ...] = ()
    open: bool = False
    ways: tuple[int, ...] = ()
    loose: bool = False
    kind: str = ""

    @cached_property
    def first(self) -> int:
        """The first body: the part, for a part with its dowels."""
        return min(self.bodies)


@dataclass(frozen=True)
class Holding:
    """What holds each piece of hardware: `carried` by a part as it moves, or `driven` in from outside, along some directions."""

    holders: dict[int, tuple[int, ...]]
    carried: dict[int, tuple[int, ...]]
    driven: dict[int, tuple[int, ...]]


def holding(bodies: Bodies, reach: Reach) -> Holding:
    """Hardware that can be drawn out of what holds it is driven; the rest travels with the part that holds most of it."""
    holders, driven = {}, {}
    carried: defaultdict[int, list[int]] = defaultdict(list)
    for n in bodies.hardware:
        thing = bodies.all[n]
        assert isinstance(thing, Hardware)
        held = _held_by(bodies, n)
        holders[n] = held
        ways = tuple(_ways_out(bodies, reach, n, thing))
        if ways or not held:
            driven[n] = ways
        else:
            carried[held[0]].append(n)
    return Holding(holders, {part: tuple(things) for part, things in carried.items()}, driven)


def _held_by(bodies: Bodies, n: int) -> tuple[int, ...]:
    """The parts that hold a piece of hardware, the one with most of it first; the member before the receiver."""
    member = next((joint.member for joint in bodies.design.joints if joint.id == getattr(bodies.all[n], "joint", "")), "")
    depths: dict[int, float] = {}
    for other in bodies.neighbours[n]:
        if other in bodies.parts:
            held = [c for c in bodies.contacts[n, other] if c.normal is None or c.gap_mm <= SEATED_MM]
            if held:
                depths[other] = sum(max(c.size) for c in held if c.axis is not None)
    return tuple(sorted(depths, key=lambda part: (-round(depths[part], 6), bodies.all[part].name != member, part)))


def _ways_out(bodies: Bodies, reach: Reach, n: int, thing: Hardware) -> Iterator[int]:
    """Directions along which a thing can be drawn out by its own length past the parts that touch it."""
    frame = thing.placement
    axes = [frame.x, frame.y, frame.z] if isinstance(thing.solid, Block) else [frame.z]
    near = sorted(other for other in bodies.neighbours[n] if other in bodies.parts)
    for axis in axes:
        one = reach.numbered(axis)
        for way in (one, reach.opposite(one)):
            if not reach.certain(way)[n, near].any() and reach.draws(n, near, way):
                yield way


def nodes_of(bodies: Bodies, held: Holding) -> tuple[Node, ...]:
    """The whole piece: assemblies as they were placed, made-up parts, parts; loose ones by themselves."""
    fixed = [n for n in bodies.parts if not _part(bodies, n).loose]
    loose = [n for n in bodies.parts if _part(bodies, n).loose]
    nodes = _grouped(bodies, held, _nested(bodies, held, fixed, 0, list(held.driven)))
    return (*nodes, *(_leaf(bodies, held, n) for n in loose))


def _nested(bodies: Bodies, held: Holding, parts: Sequence[int], depth: int, things: list[int]) -> list[Node]:
    nodes: list[Node] = []
    direct = [n for n in parts if len(_part(bodies, n).path) <= depth]
    placed = [n for n in parts if len(_part(bodies, n).path) > depth]
    for name, members in groupby(sorted(placed, key=lambda n: (_part(bodies, n).path[depth], n)), lambda n: _part(bodies, n).path[depth]):
        for group in _joined(bodies, list(members)):
            inner = [t for t in things if set(held.holders[t]) <= set(group) and held.holders[t]]
            things = [t for t in things if t not in inner]
            children = _nested(bodies, held, group, depth + 1, inner)
            nodes.append(_together(children, True, name.rstrip("0123456789 ")))
    for name in dict.fromkeys(_part(bodies, n).made_up for n in direct):
        members_of = [n for n in direct if _part(bodies, n).made_up == name]
        for group in _touching(bodies, members_of) if name else []:
            nodes.append(_together([_leaf(bodies, held, n) for n in group], False, name))
        if not name:
            nodes += [_leaf(bodies, held, n) for n in members_of]
    nodes += [Node((t,), ways=held.driven[t], kind=bodies.all[t].shape_key) for t in things]
    return sorted(nodes, key=lambda node: node.first)


def _grouped(bodies: Bodies, held: Holding, nodes: list[Node]) -> list[Node]:
    """Nodes that joints hold together, as one node for each group of several, where there is more than one group."""
    at = {body: k for k, node in enumerate(nodes) for body in node.bodies}
    links = [
        (at[a], at[b])
        for joint in bodies.design.joints
        if not joint.rests
        for a, b in [_ends(bodies, joint.member, joint.receiver)]
        if a in at and b in at
    ]
    links += [(at[t], at[part]) for t in held.driven if t in at for part in held.holders[t] if part in at]
    groups = _components(range(len(nodes)), links)
    if len(groups) < 2:
        return nodes
    return sorted((_together([nodes[k] for k in group], True, "") for group in groups), key=lambda node: node.first)


def _together(children: list[Node], may_open: bool, kind: str) -> Node:
    if len(children) == 1:
        return children[0]
    return Node(tuple(sorted(body for child in children for body in child.bodies)), tuple(children), may_open, kind=kind)


def _leaf(bodies: Bodies, held: Holding, n: int) -> Node:
    part = _part(bodies, n)
    return Node((n, *held.carried.get(n, ())), loose=part.loose, kind=part.family or part.shape_key)


def _part(bodies: Bodies, n: int) -> Part:
    part = bodies.all[n]
    assert isinstance(part, Part)
    return part


def _ends(bodies: Bodies, member: str, receiver: str) -> tuple[int, int]:
    return bodies.number.get(member, -1), bodies.number.get(receiver, -1)


def _joined(bodies: Bodies, parts: list[int]) -> list[list[int]]:
    """Parts in groups that joints or made-up parts hold together."""
    links = [_ends(bodies, joint.member, joint.receiver) for joint in bodies.design.joints if not joint.rests]
    made_up: dict[str, int] = {}
    for n in parts:
        if name := _part(bodies, n).made_up:
            links.append((made_up.setdefault(name, n), n))
    return _components(parts, links)


def _touching(bodies: Bodies, parts: list[int]) -> list[list[int]]:
    """Parts in groups that touch, directly or by a dowel."""
    links = [(a, b) for a in parts for b in bodies.neighbours[a]]
    links += [(a, c) for a in parts for b in bodies.neighbours[a] if b in bodies.hardware for c in bodies.neighbours[b]]
    return _components(parts, links)


def _components(members: Iterable[int], links: Iterable[tuple[int, int]]) -> list[list[int]]:
    lead = {n: n for n in members}

    def find(n: int) -> int:
        while lead[n] != n:
            lead[n] = lead[lead[n]]
            n = lead[n]
        return n

    for a, b in links:
        if a in lead and b in lead:
            low, high = sorted((find(a), find(b)))
            lead[high] = low
    groups: defaultdict[int, list[int]] = defaultdict(list)
    for n in lead:
        groups[find(n)].append(n)
    return list(groups.values())
