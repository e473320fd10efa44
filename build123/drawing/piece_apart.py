"""How far each body is drawn from its place, so that the piece comes apart the way it goes together, backwards."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

import numpy as np

from build123.model.design import Design, Joint
from build123.model.frame import Box, Vec
from build123.model.part import Hardware, Part, Screw
from build123.model.plan import GlueUp, Step
from build123.model.wireframe import Floats

DEEP = 2.0
"""Depth is drawn half as long, so gaps along it are twice as wide."""
SHARES = (0.06, 0.35, 0.2)
"""A gap as a share of the piece: at least of its longest side, of its depth, at most of its longest side."""
SCREW_SHARE = 0.3
"""Of a gap, between a part and the point of a screw that goes into it, and between a head and its plug."""
LAP_MM = 0.5


def _bodies(design: Design) -> tuple[Part | Hardware, ...]:
    return (*design.parts, *design.hardware)


def one_of_each(design: Design) -> tuple[tuple[str, ...], str]:
    """The bodies that a pictorial shows, and what it leaves out: of equal assemblies side by side only the first is drawn."""
    homes = {part.name: part.path for part in design.parts}
    members = {joint.id: joint.member for joint in design.joints}
    groups: dict[str, list[Part | Hardware]] = {}
    for body in _bodies(design):
        path = body.path or homes.get(members.get(getattr(body, "joint", ""), ""), ())
        if not path:
            return tuple(b.name for b in _bodies(design)), ""
        groups.setdefault(path[0], []).append(body)
    alike: dict[tuple[tuple[str, Vec], ...], list[str]] = {}
    for name, bodies in groups.items():
        at = Box.around([b.box.low for b in bodies]).low
        form = tuple(sorted((b.shape_key, _rounded(np.subtract(b.box.middle, at))) for b in bodies))
        alike.setdefault(form, []).append(name)
    if len(alike) == len(groups):
        return tuple(b.name for b in _bodies(design)), ""
    shown = [names[0] for names in alike.values()]
    told = "; ".join(f"{names[0]}, 1 of {len(names)} alike" if len(names) > 1 else names[0] for names in alike.values())
    return tuple(b.name for name in groups if name in shown for b in groups[name]), told


def _rounded(v: Floats) -> Vec:
    return (round(float(v[0]), 3) + 0.0, round(float(v[1]), 3) + 0.0, round(float(v[2]), 3) + 0.0)


def pulled_apart(design: Design, glue_up: GlueUp | None, shown: Sequence[str]) -> dict[str, Vec]:
    """Shifts by name. Each step's bodies stand back against their move until they are clear of what they meet."""
    bodies = {body.name: body for body in _bodies(design) if body.name in set(shown)}
    boxes = {name: body.box for name, body in bodies.items()}
    whole = Box.around([p for box in boxes.values() for p in (box.low, box.high)])
    longest = max(whole.size)
    gap = min(max(SHARES[0] * longest, SHARES[1] * whole.size[1]), SHARES[2] * longest)
    pull = _Pull(boxes, {joint.id: joint for joint in design.joints}, gap)
    for step in glue_up.steps if glue_up is not None else ():
        pull.step(step)
    standing = set(pull.done)
    for name in shown:
        if name not in standing:
            pull.alone(name)
    screws = {body.joint: body for body in bodies.values() if isinstance(body, Hardware) and isinstance(body.solid, Screw)}
    for body in bodies.values():
        if isinstance(body, Hardware) and body.joint in screws:
            pull.driven(body, screws[body.joint])
        elif isinstance(body, Hardware):
            pull.halfway(body)
    return {name: _rounded(pull.shifts[name]) for name in shown}


class _Pull:
    def __init__(self, boxes: Mapping[str, Box], joints: Mapping[str, Joint], gap: float) -> None:
        self.boxes, self.joints, self.gap = boxes, joints, gap
        self.shifts: dict[str, Floats] = {name: np.zeros(3) for name in boxes}
        self.placed: dict[int, list[str]] = {}
        self.done: list[str] = []

    def step(self, step: Step) -> None:
        """Places the bodies of one step."""
        moved = [name for name in step.bodies if name in self.boxes]
        there = self.placed.setdefault(step.within, [])
        if moved and step.direction is not None and there:
            way = -np.array(step.direction)
            self._follow(moved, there, way, step)
            self._clear(moved, there, way)
            self._open(moved, there, step)
        there += moved
        self.done += moved

    def halfway(self, thing: Hardware) -> None:
        """A fitting stands between the two parts that it joins, on the axis of its hole in the member."""
        joint = self.joints.get(thing.joint)
        if joint is None or joint.member not in self.shifts or joint.receiver not in self.shifts:
            return
        member, receiver = self.shifts[joint.member], self.shifts[joint.receiver]
        way = np.array(joint.opens) if joint.opens is not None else receiver - member
        length = float(way @ way)
        self.shifts[thing.name] = member + way * (float((receiver - member) @ way) / length / 2 if length else 0.0)

    def driven(self, thing: Hardware, screw: Hardware) -> None:
        """A screw stands outside the part that it goes through, where it is driven from, and what covers its head behind it."""
        joint = self.joints.get(screw.joint)
        if joint is None or joint.member not in self.shifts or joint.receiver not in self.shifts:
            return
        way = np.array(screw.placement.z)
        through = min((joint.member, joint.receiver), key=lambda name: float(np.array(self.boxes[name].middle) @ way))
        gap = self.gap * SCREW_SHARE * (DEEP if abs(way[1]) > 0.9 else 1.0)
        far = self._reach(screw.name, way) + self._reach(through, -way) + gap
        self.shifts[thing.name] = self.shifts[through] - way * (far if isinstance(thing.solid, Screw) else far + gap)

    def _reach(self, name: str, way: Floats) -> float:
        """How far a body in its place reaches along a direction."""
        box = self.boxes[name]
        return float(np.maximum(np.array(box.low) * way, np.array(box.high) * way).sum())

    def alone(self, name: str) -> None:
        """A body that no step speaks of (a loose shelf) is drawn out to the front."""
        there = [other for other in self.boxes if other != name]
        way = np.array((0.0, -1.0, 0.0))
        self._clear([name], there, way)
        self.done.append(name)

    def _follow(self, moved: Sequence[str], there: Iterable[str], way: Floats, step: Step) -> None:
        """Bodies stand in the middle of those that they meet, however far these were drawn apart."""
        others = set(there)
        offs = [self.shifts[b] - self.shifts[a] for a, b, _ in self._met(moved, others, step)]
        if offs:
            off = np.mean(offs, axis=0)
        else:
            known = np.array([self.shifts[name] for name in others])
            off = (known.min(axis=0) + known.max(axis=0)) / 2 - self.shifts[moved[0]]
            off = off - way * float(off @ way)
        for name in moved:
            self.shifts[name] = self.shifts[name] + off

    def _met(self, moved: Iterable[str], there: Iterable[str], step: Step) -> list[tuple[str, str, Floats | None]]:
        """What closes in a step: the one that moves, the one that stands, and the way in which the first leaves."""
        mine, others = set(moved), set(there)
        found: list[tuple[str, str, Floats | None]] = []
        for joint in map(self.joints.get, step.joints):
            if joint is None:
                continue
            way = None if joint.opens is None else np.array(joint.opens)
            if joint.member in mine and joint.receiver in others:
                found.append((joint.member, joint.receiver, way))
            elif joint.receiver in mine and joint.member in others:
                found.append((joint.receiver, joint.member, None if way is None else -way))
        return found

    def _open(self, moved: Sequence[str], there: Sequence[str], step: Step) -> None:
        """Faces that slide past one another are still closed: they are drawn apart the way their joint opens."""
        for a, b, way in self._met(moved, there, step):
            if way is not None and self._touch(a, b):
                self._clear(moved, [b], way, sideways=True)

    def _touch(self, a: str, b: str) -> bool:
        (low, high), (other_low, other_high) = self._span(a), self._span(b)
        return bool(np.all(np.maximum(low - other_high, other_low - high) < LAP_MM))

    def _clear(self, moved: Sequence[str], there: Iterable[str], way: Floats, sideways: bool = False) -> None:
        axis = int(np.argmax(np.abs(way)))
        gap = self.gap * (DEEP if axis == 1 else 1.0)
        far = 0.0
        for name in moved:
            low, high = self._span(name)
            for other in there:
                other_low, other_high = self._span(other)
                beside = [k for k in range(3) if k != axis]
                if sideways or all(low[k] < other_high[k] - LAP_MM and other_low[k] < high[k] - LAP_MM for k in beside):
                    room = low[axis] - other_high[axis] if way[axis] > 0 else other_low[axis] - high[axis]
                    far = max(far, (gap - room) / abs(float(way[axis])))
        for name in moved:
            self.shifts[name] = self.shifts[name] + way * far

    def _span(self, name: str) -> tuple[Floats, Floats]:
        box = self.boxes[name]
        return np.array(box.low) + self.shifts[name], np.array(box.high) + self.shifts[name]
