"""Where a board is held across its grain: glue, dowels and screws as measured, with the room that each leaves the wood."""

from __future__ import annotations

from collections import defaultdict, deque
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from build123.checks.bores import bore_gap
from build123.checks.fasteners import ROOM_MM, Fastener, fasteners, room_mm, slack_mm, starts
from build123.checks.glue import glued_faces, slides
from build123.checks.seen import Pair, Seen, pair_of
from build123.model.design import ExpectKind, Joint
from build123.model.frame import Box, Vec, dot
from build123.model.part import Part

PARALLEL = 0.99
"""Cosine above which two boards have their grain one way (8 degrees)."""


@dataclass(frozen=True, slots=True)
class Tie:
    """One point at which a part holds to another: its place along a direction, and the room it leaves each way, mm."""

    other: str
    joint: Joint
    at_mm: float
    slack_mm: float
    glued: bool


@dataclass(frozen=True)
class Ties:
    """All that holds the parts of a piece to each other."""

    seen: Seen

    @cached_property
    def _joined(self) -> dict[str, dict[str, None]]:
        """The parts that each part is joined to."""
        found: defaultdict[str, dict[str, None]] = defaultdict(dict)
        for joint in self.seen.design.joints:
            if joint.member in self.seen.design.by_name and joint.receiver in self.seen.design.by_name:
                found[joint.member][joint.receiver] = None
                found[joint.receiver][joint.member] = None
        return found

    @cached_property
    def _stays(self) -> dict[str, dict[str, None]]:
        """The same, less what only rests, slides in its housing, or hangs on screws in slots."""
        slack = {joint.id: min(room_mm(one)[1] for one in ones) for joint, ones in fasteners(self.seen)}
        found: defaultdict[str, dict[str, None]] = defaultdict(dict)
        for joint in self.seen.design.joints:
            if not joint.rests and slack.get(joint.id, 0.0) <= ROOM_MM and not slides(self.seen, joint):
                found[joint.member][joint.receiver] = None
                found[joint.receiver][joint.member] = None
        return found

    @cached_property
    def _glued(self) -> dict[Pair, tuple[tuple[Joint, Box], ...]]:
        """Glued faces and dowels by pair."""
        found: dict[Pair, tuple[tuple[Joint, Box], ...]] = {}
        for pair in self.seen.joints_of:
            faces = [(joint, face.near) for joint, face in glued_faces(self.seen, pair)]
            found[pair] = (*faces, *self._dowels(pair))
        return found

    def _dowels(self, pair: Pair) -> Iterator[tuple[Joint, Box]]:
        for joint in self.seen.joints_of[pair]:
            for expect in joint.expects:
                if expect.kind is ExpectKind.bore and expect.fit != "screw":
                    gap = bore_gap(self.seen, expect)
                    if gap is not None:
                        yield joint, Box.around([gap.at])

    @cached_property
    def _screws(self) -> dict[Pair, list[Fastener]]:
        """Screws by pair; nails are left out, since they bend with the wood (common practice)."""
        found: defaultdict[Pair, list[Fastener]] = defaultdict(list)
        for joint, ones in fasteners(self.seen):
            found[pair_of(joint.member, joint.receiver)] += [one for one in ones if not one.is_nail and one.into is not None]
        return found

    def boards(self) -> Iterator[tuple[Part, ...]]:
        """The boards of the piece; those that are glued together with their grain one way move as one."""
        done: set[str] = set()
        for part in self.seen.design.parts:
            if part.stock.kind == "board" and part.name not in done:
                body, todo = {part.name: part}, [part]
                while todo:
                    one = todo.pop()
                    for name in self._joined.get(one.name, ()):
                        other = self.seen.design.by_name[name]
                        if name not in body and self._as_one(one, other):
                            body[name] = other
                            todo.append(other)
                done |= set(body)
                yield tuple(body.values())

    def _as_one(self, one: Part, other: Part) -> bool:
        alike = one.stock.name == other.stock.name and abs(dot(one.placement.x, other.placement.x)) > PARALLEL
        return alike and abs(dot(one.placement.y, other.placement.y)) > PARALLEL and bool(self._glued.get(pair_of(one.name, other.name)))

    def of(self, body: tuple[Part, ...], along: Vec) -> list[Tie]:
        """The ties of one body to others, by their place along a direction of the piece."""
        low, high = extent(body, along)
        names = {part.name for part in body}
        found: list[Tie] = []
        for name, other in ((one.name, other) for one in body for other in self._joined.get(one.name, ()) if other not in names):
            pair = pair_of(name, other)
            for joint, box in self._glued.get(pair, ()):
                start, end = _extent(box, along)
                found += [Tie(other, joint, min(max(at, low), high), 0.0, True) for at in dict.fromkeys((start, end))]
            for one in self._screws.get(pair, ()):
                if one.into is not None and one.into.bite_mm > 0.0:
                    slack = slack_mm(one.through, along) if one.through is not None else 0.0
                    found.append(Tie(other, one.joint, dot(starts(one.into), along), slack, False))
        return sorted(found, key=lambda tie: (tie.at_mm, tie.other, tie.slack_mm))

    def moved_mm(self, body: tuple[Part, ...], first: Tie, last: Tie, along: Vec) -> float | None:
        """How much the other parts move from one tie to another, without `body`; None where nothing else joins them.

        Each part on the way moves along its own stretch, from where it is joined to the one before to where it is joined to the next.
        """
        way = self._way(frozenset(part.name for part in body), first.other, last.other)
        if way is None:
            return None
        at, moved = first.at_mm, 0.0
        for n, name in enumerate(way):
            leaves = last.at_mm if n == len(way) - 1 else self._meets(name, way[n + 1], along, at)
            one = self.seen.design.by_name[name]
            moved += one.stock.moves_along(one.placement.x, along) * (leaves - at)
            at = leaves
        return moved

    @cached_property
    def _ways(self) -> dict[tuple[frozenset[str], str, str], list[str] | None]:
        return {}

    def _way(self, without: frozenset[str], start: str, end: str) -> list[str] | None:
        """The fewest parts that join two others, both ends included; each looked for once."""
        key = (without, start, end)
        if key not in self._ways:
            self._ways[key] = self._looked_for(*key)
        return self._ways[key]

    def _looked_for(self, without: frozenset[str], start: str, end: str) -> list[str] | None:
        came: dict[str, str] = {start: ""}
        todo = deque([start])
        while todo:
            name = todo.popleft()
            if name == end:
                way = [name]
                while came[way[-1]]:
                    way.append(came[way[-1]])
                return way[::-1]
            for other in self._stays.get(name, ()):
                if other not in came and other not in without:
                    came[other] = name
                    todo.append(other)
        return None

    def _meets(self, one: str, other: str, along: Vec, at: float) -> float:
        """Where two parts are joined, along a direction: the point of their seats and housings that is nearest to `at`."""
        boxes = [expect.near for expect in self.seen.expects_of(one, other, ExpectKind.seat, ExpectKind.clearance, ExpectKind.bore)]
        spans = [_extent(box, along) for box in boxes]
        return min((min(max(at, low), high) for low, high in spans), key=lambda place: (abs(place - at), place), default=at)


def extent(body: tuple[Part, ...], along: Vec) -> tuple[float, float]:
    """From where to where boards reach along a direction, their blanks taken."""
    spans = [_extent(part.box, along) for part in body]
    return min(low for low, _ in spans), max(high for _, high in spans)


def _extent(box: Box, along: Vec) -> tuple[float, float]:
    half = sum(abs(along[k]) * box.size[k] for k in range(3)) / 2
    middle = dot(box.middle, along)
    return middle - half, middle + half
