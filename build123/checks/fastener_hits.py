"""A screw or nail crosses a hole or a trench, or comes too near to another fastener or to a hole.

The thread's edge is followed through the measured wood; two fasteners in one part, and a fastener and a hole that is not its
own, must be a diameter of the thinner one apart. A fastener that runs into a part it is not meant for is told by parts-interfere.

Why
    Two fasteners that meet turn each other aside or break; a thread that crosses a hole holds only on both sides of it, and
    the wood between two that are close splits.
    Source: common practice

Change
    Move one of the two along the joint (`positions`, `ends`, `count`), or take a shorter one.

Bad
    build123: 1
    piece: Seed box
    units: mm
    sizes: {width: 400, depth: 200, height: 150}
    stock:
      pine: {board: ponderosa pine, thickness: 20}
    parts:
      side: {pair: left and right, stock: pine, x: from 0, y: 0 to depth, z: 0 to height}
      front: {pair: front and back, stock: pine, x: left side to right side, y: from 0, z: 0 to height}
    joints:
      - dowels: {of: front, to: side, positions: [20, 75, 130], diameter: 8, length: 40}
      - screws: {through: side, into: front, size: 4 x 50, positions: [28, 120]}

Good
    build123: 1
    piece: Seed box
    units: mm
    sizes: {width: 400, depth: 200, height: 150}
    stock:
      pine: {board: ponderosa pine, thickness: 20}
    parts:
      side: {pair: left and right, stock: pine, x: from 0, y: 0 to depth, z: 0 to height}
      front: {pair: front and back, stock: pine, x: left side to right side, y: from 0, z: 0 to height}
    joints:
      - dowels: {of: front, to: side, positions: [20, 75, 130], diameter: 8, length: 40}
      - screws: {through: side, into: front, size: 4 x 50, positions: [48, 102]}
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations

from build123.checks.bores import planned_hole
from build123.checks.fasteners import FOR_SCREWS, Fastener, fasteners, told_of
from build123.checks.registry import check
from build123.checks.seen import MEASURED_MM, Seen, overlap_name, pair_of
from build123.checks.wording import finding
from build123.model.design import Joint
from build123.model.frame import Vec, add, dot, norm, scale, sub
from build123.model.measured import Driven
from build123.model.part import Part
from build123.problem import Finding, Severity

BROKEN_MM = 0.5
"""A thread that misses less wood than this has lost nothing."""


@dataclass(frozen=True, slots=True)
class Rod:
    """A straight thing in the wood: its axis from `start` to `end`, mm in the piece's frame."""

    start: Vec
    end: Vec
    radius_mm: float


@check(severity=Severity.error)
def find(seen: Seen) -> Iterator[Finding]:
    """Broken threads by joint, then pairs that are in each other or too near, each pair of joints once."""
    every = [(joint, one) for joint, ones in fasteners(seen) for one in ones]
    hit = {
        pair_of(lap.a, lap.b): n
        for n, lap in enumerate(seen.fit.overlaps)
        if lap.depth_mm > MEASURED_MM and _are_hardware(seen, lap.a, lap.b)
    }
    met: set[str] = set()
    for (a, b), n in hit.items():
        mine = [(joint, one) for joint, one in every if one.thing.name in (a, b)]
        if mine:
            met |= {a, b}
            joint, one = mine[0]
            other = b if one.thing.name == a else a
            yield _told(
                seen, joint, f"{one.thing.name} runs into {other}", seen.fit.overlaps[n].at, {"clear_mm": 0.0}, overlap_name(n), other
            )
    for joint, ones in fasteners(seen):
        broken = [(max(_broken(one)), -n, one) for n, one in enumerate(ones) if one.thing.name not in met and max(_broken(one)) > BROKEN_MM]
        if broken:
            air, _, worst = max(broken, key=lambda each: each[:2])
            met |= {one.thing.name for _, _, one in broken}
            lost = f"{seen.show(air)} of its {'length' if worst.is_nail else 'thread'} is in the air"
            says = f"{told_of(worst, [one for _, _, one in broken])} crosses a hole or a trench in {worst.receiver}: {lost}"
            at = worst.into.point if worst.into is not None else worst.thing.placement.origin
            yield _told(seen, joint, says, at, {"broken_mm": air})
    yield from _near(seen, [(joint, one) for joint, one in every if one.thing.name not in met])


def _are_hardware(seen: Seen, a: str, b: str) -> bool:
    return a in seen.hardware and b in seen.hardware


def _broken(one: Fastener) -> tuple[float, ...]:
    """Air in the middle of a thread, and of a nail in the part that it goes through."""
    stretches = (one.into, one.through) if one.is_nail else (one.into,)
    return tuple(each.broken_mm for each in stretches if each is not None) or (0.0,)


def _told(seen: Seen, joint: Joint, says: str, at: Vec, numbers: dict[str, float], overlap: str = "", other: str = "") -> Finding:
    beside = [one for one in seen.design.joints if other in seen.hardware and one.id == seen.hardware[other].joint and one.id != joint.id]
    names = dict.fromkeys(name for one in (joint, *beside) for name in (one.member, one.receiver))
    return finding(__name__, Severity.error, says, seen, parts=names, joints=(joint, *beside), at=at, numbers=numbers, overlap=overlap)


def _near(seen: Seen, every: list[tuple[Joint, Fastener]]) -> Iterator[Finding]:
    """Fasteners that bite in one part, and holes of that part, with less than a diameter of wood between them."""
    within: defaultdict[str, list[tuple[Joint, Fastener, Rod]]] = defaultdict(list)
    for joint, one in every:
        for driven in (one.into, one.through):
            rod = _rod(one, driven) if driven is not None else None
            if driven is not None and rod is not None:
                within[driven.part].append((joint, one, rod))
    said: set[tuple[str, str]] = set()
    for part, rods in within.items():
        for (joint, one, rod), (second, other, beside) in combinations(rods, 2):
            clear = _clear_mm(rod, beside)
            pair = pair_of(joint.id, second.id)
            if one.thing.name != other.thing.name and clear < 2 * min(rod.radius_mm, beside.radius_mm) - MEASURED_MM and pair not in said:
                said.add(pair)
                says = f"{one.thing.name} comes within {seen.show(max(clear, 0.0))} of {other.thing.name} in {part}"
                yield _told(seen, joint, says, beside.start, {"clear_mm": clear}, "", other.thing.name)
        holes = _holes(seen, seen.design.by_name[part])
        for joint, one, rod in rods:
            near = [(_clear_mm(rod, hole), n) for n, hole in enumerate(holes)]
            if not near:
                continue
            clear, n = min(near)
            pair = (joint.id, part)
            if clear < 2 * min(rod.radius_mm, holes[n].radius_mm) - MEASURED_MM and pair not in said:
                said.add(pair)
                says = (
                    f"{one.thing.name} comes within {seen.show(max(clear, 0.0))} of a hole of {seen.show(2 * holes[n].radius_mm)} in {part}"
                )
                yield _told(seen, joint, says, rod.end, {"clear_mm": clear})


def _rod(one: Fastener, driven: Driven) -> Rod | None:
    """The stretch of a fastener within a part: where it bites, or from its head to there; None where there is none."""
    bite = one.into.bite_mm + one.into.broken_mm if one.into is not None else 0.0
    head = sub(driven.point, scale(driven.axis, driven.length_mm))
    mouth = sub(driven.point, scale(driven.axis, bite))
    start, end = (mouth, driven.point) if one.into is driven else (head, mouth)
    return Rod(start, end, driven.diameter_mm / 2) if norm(sub(end, start)) > driven.diameter_mm / 2 else None


def _holes(seen: Seen, part: Part) -> list[Rod]:
    """The drilled holes of a part as measured, in the piece's frame, less those of screws, which are compared by themselves."""
    facts = seen.fit.shapes[seen.fit.shape_of[part.name]]
    found = []
    for bore in facts.bores:
        feature = planned_hole(part, bore) if bore.hollow else None
        if bore.hollow and (feature is None or feature.about.purpose not in FOR_SCREWS):
            found.append(Rod(part.placement.point(bore.base), part.placement.point(bore.tip), bore.radius_mm))
    return found


def _clear_mm(a: Rod, b: Rod) -> float:
    """Wood between the surfaces of two rods, negative where they are in each other."""
    return _apart_mm(a, b) - a.radius_mm - b.radius_mm


def _apart_mm(a: Rod, b: Rod) -> float:
    """The least distance of two stretches of axis (closest points of two segments, each clamped to its ends)."""
    u, v, w = sub(a.end, a.start), sub(b.end, b.start), sub(a.start, b.start)
    uu, uv, vv, uw, vw = dot(u, u), dot(u, v), dot(v, v), dot(u, w), dot(v, w)
    det = uu * vv - uv * uv
    s = min(1.0, max(0.0, (uv * vw - vv * uw) / det)) if det > 1e-12 * uu * vv else 0.0
    best = math.inf
    for start in (s, 0.0, 1.0):
        t = min(1.0, max(0.0, (uv * start + vw) / vv))
        again = min(1.0, max(0.0, (uv * t - uw) / uu))
        best = min(best, norm(sub(add(a.start, scale(u, again)), add(b.start, scale(v, t)))))
    return best
