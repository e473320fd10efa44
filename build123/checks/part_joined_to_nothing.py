"""A part, or a group of parts, that no joint holds.

Resting on something does not hold a single part. A whole case may rest on or against another, and what is declared
`loose: yes` (a shelf on pins, a lid) is left alone.

Why
    It falls off, or was forgotten: every part of a piece is joined to the rest, or is said to be loose.
    Source: common practice

Change
    Declare the joint that holds it, or say `loose: yes`.

Bad
    build123: 1
    piece: Seed tray
    units: mm
    sizes: {width: 400, depth: 200, height: 300}
    stock:
      ply: {sheet: birch plywood, thickness: 18}
    parts:
      side: {pair: left and right, stock: ply, x: from 0, y: 0 to depth, z: 0 to height}
      shelf: {stock: ply, x: left side to right side, y: 0 to depth, z: from 100}
      tag: {stock: ply, x: from 100 for 60, y: from 20, z: from 150 for 60}
    joints:
      - dado: {of: shelf, in: side, depth: 6}

Good
    build123: 1
    piece: Seed tray
    units: mm
    sizes: {width: 400, depth: 200, height: 300}
    stock:
      ply: {sheet: birch plywood, thickness: 18}
    parts:
      side: {pair: left and right, stock: ply, x: from 0, y: 0 to depth, z: 0 to height}
      shelf: {stock: ply, x: left side to right side, y: 0 to depth, z: from 100}
      tag: {stock: ply, x: from 100 for 60, y: from 20, z: from 150 for 60, loose: yes}
    joints:
      - dado: {of: shelf, in: side, depth: 6}
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from build123.checks.registry import check
from build123.checks.seen import Seen
from build123.checks.wording import finding, together
from build123.model.part import Part
from build123.problem import Finding, Severity


@check(severity=Severity.error)
def find(seen: Seen) -> Iterator[Finding]:
    """An error for a part without any joint, a warning for one that only rests and for a group that does not even rest."""
    groups = held_together(seen)
    if len(groups) < 2:
        return
    rest = max(groups, key=len)
    resting = {name: joint for joint in seen.design.joints if joint.rests for name in (joint.member, joint.receiver)}
    for group in groups:
        if group is rest:
            continue
        names = [part.name for part in group]
        severity = Severity.warning
        if len(group) > 1 and any(name in resting for name in names):
            continue
        if len(group) > 1:
            says = f"{together(names)} are joined to one another and to nothing else"
        elif names[0] in resting:
            says = f"{names[0]} only rests: no joint holds it"
        else:
            severity, says = Severity.error, f"{names[0]} is joined to nothing"
        yield finding(
            __name__,
            severity,
            says,
            seen,
            parts=names,
            joints=dict.fromkeys(resting[name] for name in names if name in resting),
            at=group[0].box.middle,
            numbers={"parts": len(group)},
        )


def held_together(seen: Seen) -> list[tuple[Part, ...]]:
    """The parts that are not loose, in groups that joints (or being one made-up part) hold together, in the design's order."""
    leader = {part.name: part.name for part in seen.design.parts if not part.loose}

    def lead(name: str) -> str:
        while leader[name] != name:
            leader[name] = leader[leader[name]]
            name = leader[name]
        return name

    def join(names: Iterable[str]) -> None:
        known = [lead(name) for name in names if name in leader]
        for name in known[1:]:
            leader[lead(name)] = lead(known[0])

    for joint in seen.design.joints:
        if not joint.rests:
            join((joint.member, joint.receiver))
    made_up: dict[str, list[str]] = {}
    for part in seen.design.parts:
        if part.made_up:
            made_up.setdefault(part.made_up, []).append(part.name)
    for names in made_up.values():
        join(names)
    groups: dict[str, list[Part]] = {}
    for part in seen.design.parts:
        if not part.loose:
            groups.setdefault(lead(part.name), []).append(part)
    return [tuple(group) for group in groups.values()]
