"""A countersunk head sits in a hole that leaves the wood room to move, or a head would pull through its slot.

Measured on the solids: the air about the shank, and the head or washer over it.

Why
    The cone of a countersunk head wedges between the sides of its hole when the wood moves: the screw is as good as fixed,
    and the wood splits, which the slot was cut to prevent.
    Source: common practice

Change
    Take a pan head on a washer (`head: pan`, or `head: counterbored` to sink it), or fix the part at this screw.

Bad
    build123: 1
    piece: Potting table
    units: mm
    sizes: {width: 700, depth: 420, height: 300}
    stock:
      ply: {sheet: birch plywood, thickness: 18}
      oak: {board: white oak, thickness: 22}
    parts:
      side: {pair: left and right, stock: ply, x: from 0, y: 0 to depth, z: 0 to height}
      rail: {pair: front and back, stock: ply, x: left side to right side, y: from 20 for 70, z: up to top}
      top: {stock: oak, x: 0 to width, y: 0 to depth, z: from height}
    joints:
      - dado: {of: rail, in: side, depth: 6}
      - screws: {through: rail, into: top, size: 4 x 30, count: 3, fixed: front rail, head: countersunk}
      - rests: {of: top, upon: side}

Good
    build123: 1
    piece: Potting table
    units: mm
    sizes: {width: 700, depth: 420, height: 300}
    stock:
      ply: {sheet: birch plywood, thickness: 18}
      oak: {board: white oak, thickness: 22}
    parts:
      side: {pair: left and right, stock: ply, x: from 0, y: 0 to depth, z: 0 to height}
      rail: {pair: front and back, stock: ply, x: left side to right side, y: from 20 for 70, z: up to top}
      top: {stock: oak, x: 0 to width, y: 0 to depth, z: from height}
    joints:
      - dado: {of: rail, in: side, depth: 6}
      - screws: {through: rail, into: top, size: 4 x 30, count: 3, fixed: front rail}
      - rests: {of: top, upon: side}
"""

from __future__ import annotations

from collections.abc import Iterator

from build123.checks.fasteners import ROOM_MM, Fastener, fasteners, room_mm, told_of
from build123.checks.registry import check
from build123.checks.seen import Seen
from build123.checks.wording import finding
from build123.model.part import Screw
from build123.problem import Finding, Severity

COVERS_MM = 0.5
"""A head must lie on this much wood at each side of its hole, or it is drawn in (common practice)."""


@check(severity=Severity.error)
def find(seen: Seen) -> Iterator[Finding]:
    """One finding for each joint and kind of trouble."""
    for joint, ones in fasteners(seen):
        for fault, says in (
            (_wedges, "has a countersunk head that wedges in a hole with"),
            (_pulls_through, "draws its head into a hole with"),
        ):
            bad = [(room, -n, one) for n, one in enumerate(ones) if (room := fault(one)) is not None]
            if not bad:
                continue
            room, _, worst = max(bad, key=lambda each: each[:2])
            yield finding(
                __name__,
                Severity.error,
                f"{told_of(worst, [one for _, _, one in bad])} {says} {seen.show(room)} of room each way in {joint.member}",
                seen,
                parts=(joint.member, worst.receiver),
                joints=(joint,),
                at=worst.thing.placement.origin,
                numbers={"room_mm": room},
            )


def _wedges(one: Fastener) -> float | None:
    solid = one.thing.solid
    room = room_mm(one)[1]
    return room if isinstance(solid, Screw) and solid.countersunk and room > ROOM_MM else None


def _pulls_through(one: Fastener) -> float | None:
    solid = one.thing.solid
    if not isinstance(solid, Screw) or solid.countersunk:
        return None
    narrow, wide = room_mm(one)
    covers = max(solid.head_mm, solid.washer_mm[0]) / 2 - one.diameter_mm / 2 - narrow
    return wide if covers < COVERS_MM else None
