"""The point of a screw or nail stands out of the wood, or ends so near to a face that it shows.

Measured along the axis from the point to where the wood ends. A face that another part covers there is not seen, and a nail
shows only when its point comes within its own thickness.

Why
    A point that stands out tears hands and cloth. One that ends just under the face raises or splits it, and the bit of the
    pilot hole wanders out.
    Source: SCREW-POINT (common practice, from memory)

Change
    Take a shorter screw, or sink its head less deep.

Bad
    build123: 1
    piece: Potting stool
    units: mm
    sizes: {width: 400, depth: 280, height: 300}
    stock:
      ply: {sheet: birch plywood, thickness: 18}
    parts:
      side: {pair: left and right, stock: ply, x: from 0, y: 0 to depth, z: 0 to height}
      rail: {stock: ply, x: left side to right side, y: centred on depth / 2 for 80, z: up to top}
      top: {stock: ply, x: 0 to width, y: 0 to depth, z: from height}
    joints:
      - dado: {of: rail, in: side, depth: 6}
      - screws: {through: rail, into: top, size: 4 x 40, count: 2}
      - rests: {of: top, upon: side}

Good
    build123: 1
    piece: Potting stool
    units: mm
    sizes: {width: 400, depth: 280, height: 300}
    stock:
      ply: {sheet: birch plywood, thickness: 18}
    parts:
      side: {pair: left and right, stock: ply, x: from 0, y: 0 to depth, z: 0 to height}
      rail: {stock: ply, x: left side to right side, y: centred on depth / 2 for 80, z: up to top}
      top: {stock: ply, x: 0 to width, y: 0 to depth, z: from height}
    joints:
      - dado: {of: rail, in: side, depth: 6}
      - screws: {through: rail, into: top, size: 4 x 30, count: 2}
      - rests: {of: top, upon: side}
"""

from __future__ import annotations

from collections.abc import Iterator

from build123.checks.fasteners import Fastener, covered, fasteners, told_of
from build123.checks.registry import check
from build123.checks.seen import MEASURED_MM, Seen
from build123.checks.wording import face_towards, finding
from build123.problem import Finding, Severity
from build123.trade.tables import rules

HAIR_MM = 0.2
"""A metric shop calls 3 mm what others call 1/8 in."""


@check(severity=Severity.error)
def find(seen: Seen) -> Iterator[Finding]:
    """One finding for each joint: its worst point, and how many are out or near."""
    rule = rules()["SCREW-POINT"]
    for joint, ones in fasteners(seen):
        judged = [(beyond, n, one) for n, one in enumerate(ones) if (beyond := _shows(seen, one, rule.least)) is not None]
        if not judged:
            continue
        beyond, _, worst = min(judged, key=lambda each: each[:2])
        out = beyond < -MEASURED_MM
        alike = [one for other, _, one in judged if (other < -MEASURED_MM) is out]
        part = seen.design.by_name[worst.receiver]
        face = f"{face_towards(part, part.placement.local_vector(worst.axis))} of {part.name}"
        says = f"stands {seen.show(-beyond)} out of the {face}" if out else f"ends {seen.show(max(beyond, 0.0))} under the {face}"
        limit = "" if out or worst.is_nail else f"; {seen.show(rule.least)} is the least"
        too_long = (worst.diameter_mm if worst.is_nail else rule.least) - beyond
        yield finding(
            __name__,
            Severity.error if out else Severity.warning,
            f"{told_of(worst, alike)} {says}{limit}",
            seen,
            parts=(joint.member, worst.receiver),
            joints=(joint,),
            at=worst.into.point if worst.into is not None else None,
            numbers={"beyond_mm": beyond, "least_mm": rule.least},
            change=f"Take a {worst.word} that is at least {seen.show(too_long)} shorter"
            + (", or sink its head less deep" if not worst.is_nail else ""),
        )


def _shows(seen: Seen, one: Fastener, least_mm: float) -> float | None:
    """The wood before the point (negative where it stands out) where that is too little; None where all is well or covered."""
    into = one.into
    if into is None or into.beyond_mm is None or into.bite_mm <= MEASURED_MM:
        return None
    wanted = one.diameter_mm if one.is_nail else least_mm
    if into.beyond_mm >= wanted - HAIR_MM or covered(seen, into.part, into.exit, into.axis):
        return None
    return into.beyond_mm
