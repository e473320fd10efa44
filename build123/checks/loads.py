"""What carries what: which parts stand, lie or are housed so that they need no screw, and which hang on fasteners alone."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass

from build123.checks.facing import play
from build123.checks.fasteners import UP, Fastener, along_grain, fasteners, into_edge
from build123.checks.glue import touches
from build123.checks.seen import Seen
from build123.model.design import Expect, ExpectKind, Joint
from build123.model.frame import dot

STANDS_MM = 1.0
"""Parts that reach this near to the lowest of the piece stand on the floor, or are what a wall holds."""
UPRIGHT = 0.7
"""Cosine above which a face lies level (45 degrees)."""


@dataclass(frozen=True)
class Loads:
    """`held` are parts that stand or that others carry; `hangs` are the parts of each group that only fasteners could hold."""

    held: frozenset[str]
    hangs: dict[str, frozenset[str]]

    def hung(self, seen: Seen, one: Fastener) -> str | None:
        """The part whose weight a fastener alone carries: something that lies flat, or that bears what lies flat; None for none."""
        a, b = one.joint.member, one.receiver
        if one.upright:
            pairs = [(a, b)] if one.axis[2] > 0 else [(b, a)]
        elif one.level:
            pairs = [(a, b), (b, a)]
        else:
            pairs = []
        for low, other in pairs:
            if low not in self.held and other in self.held and any(_lies_flat(seen, name) for name in self.hangs[low]):
                return low
        return None


def loads(seen: Seen, *, side_grain_counts: bool) -> Loads:
    """How the piece stands. With `side_grain_counts` screws and nails that lie level in side grain carry too; others never do."""
    carries: defaultdict[str, dict[str, None]] = defaultdict(dict)
    for joint in seen.design.joints:
        for low, high in _carried(seen, joint):
            carries[low][high] = None
    if side_grain_counts:
        for joint, ones in fasteners(seen):
            part = seen.design.by_name[ones[0].receiver]
            if ones[0].level and not along_grain(part, ones[0].axis) and not into_edge(part, ones[0].axis):
                carries[joint.member][joint.receiver] = None
                carries[joint.receiver][joint.member] = None
    lowest = min((part.box.low[2] for part in seen.design.parts), default=0.0)
    held = _reached(carries, [part.name for part in seen.design.parts if part.box.low[2] < lowest + STANDS_MM])
    both: defaultdict[str, dict[str, None]] = defaultdict(dict)
    for low, highs in carries.items():
        for high in highs:
            if low not in held and high not in held:
                both[low][high] = None
                both[high][low] = None
    hangs = {part.name: _reached(both, [part.name]) for part in seen.design.parts if part.name not in held}
    return Loads(held, hangs)


def _carried(seen: Seen, joint: Joint) -> list[tuple[str, str]]:
    """Which part carries which through the faces of a joint, screws and nails left out."""
    found: list[tuple[str, str]] = []
    for expect in joint.expects:
        a, b = expect.a, expect.b
        match expect.kind:
            case ExpectKind.clearance:
                if play(seen, expect) is not None:
                    found += [(a, b), (b, a)]
            case ExpectKind.bore:
                if expect.fit != "screw":
                    found += [(a, b), (b, a)]
            case ExpectKind.seat:
                if not touches(seen, expect):
                    continue
                if expect.glued and not _end_grain(seen, expect):
                    found += [(a, b), (b, a)]
                elif abs(dot(expect.direction, UP)) > UPRIGHT:
                    found.append((b, a) if expect.direction[2] < 0 else (a, b))
            case ExpectKind.gap:
                pass
    return found


def _end_grain(seen: Seen, expect: Expect) -> bool:
    """Whether glue would hold the end of a board, which gives no credit."""
    return any(along_grain(seen.design.by_name[name], expect.direction) for name in (expect.a, expect.b))


def _reached(ways: dict[str, dict[str, None]], starts: list[str]) -> frozenset[str]:
    known, todo = set(starts), list(starts)
    while todo:
        for name in ways.get(todo.pop(), ()):
            if name not in known:
                known.add(name)
                todo.append(name)
    return frozenset(known)


def _lies_flat(seen: Seen, name: str) -> bool:
    return abs(dot(seen.design.by_name[name].placement.z, UP)) > UPRIGHT
