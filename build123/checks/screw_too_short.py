"""A screw or nail bites in too little wood for what it does.

The bite is measured on the solids along the edge of the thread. A screw that stands upright, or that nothing but movement pulls
on, needs a modest bite. One that lies level and alone carries something that lies flat needs seven diameters. A nail goes as far
into the second part as through the first, or as far as that has
room, unless glue or a housing holds the parts and it only helps while the glue sets.

Why
    The thread strips or the screw levers out. Under load across its axis a screw has its strength from seven diameters of
    thread on; six are the least.
    Source: SCREW-BITE (common practice, from memory), SCREW-ENGAGE (FPL-GTR-282 ch. 8 (7 D))

Change
    Take a longer screw, or sink its head in a counterbore.

Bad
    build123: 1
    piece: Pot shelf
    units: mm
    sizes: {width: 500, depth: 200, height: 400}
    stock:
      ply: {sheet: birch plywood, thickness: 18}
      pine: {board: ponderosa pine, thickness: 20}
    parts:
      side: {pair: left and right, stock: ply, x: from 0, y: 0 to depth, z: 0 to height}
      cleat: {pair: left and right, stock: pine, x: from left side, y: 0 to depth, z: from 200 for 30}
      shelf: {stock: ply, x: left side to right side, y: 0 to depth, z: from left cleat}
      rail: {stock: ply, x: left side to right side, y: from 0, z: from 0 for 80}
    joints:
      - dado: {of: rail, in: side, depth: 6}
      - screws: {through: left side, into: left cleat, size: 4 x 35, count: 2}
      - screws: {through: right side, into: right cleat, size: 4 x 35, count: 2}
      - screws: {through: cleat, into: shelf, size: 4 x 40, positions: [60, 140]}
      - rests: {of: shelf, upon: side}

Good
    build123: 1
    piece: Pot shelf
    units: mm
    sizes: {width: 500, depth: 200, height: 400}
    stock:
      ply: {sheet: birch plywood, thickness: 18}
      pine: {board: ponderosa pine, thickness: 32}
    parts:
      side: {pair: left and right, stock: ply, x: from 0, y: 0 to depth, z: 0 to height}
      cleat: {pair: left and right, stock: pine, x: from left side, y: 0 to depth, z: from 200 for 30}
      shelf: {stock: ply, x: left side to right side, y: 0 to depth, z: from left cleat}
      rail: {stock: ply, x: left side to right side, y: from 0, z: from 0 for 80}
    joints:
      - dado: {of: rail, in: side, depth: 6}
      - screws: {through: left side, into: left cleat, size: 4 x 46, count: 2}
      - screws: {through: right side, into: right cleat, size: 4 x 46, count: 2}
      - screws: {through: cleat, into: shelf, size: 4 x 40, positions: [60, 140]}
      - rests: {of: shelf, upon: side}
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from build123.checks.fasteners import Fastener, fasteners, told_of
from build123.checks.glue import touches
from build123.checks.loads import Loads, loads
from build123.checks.registry import check
from build123.checks.seen import MEASURED_MM, Seen, pair_of
from build123.checks.wording import finding
from build123.model.design import ExpectKind
from build123.problem import Finding, Severity
from build123.trade.tables import Rule, rules

HAIR_MM = 0.6
"""What a bite may lack before anyone would say so at the bench: half of a thin washer; a metric shop calls 9 mm 3/8 in."""


@dataclass(frozen=True, slots=True)
class Asked:
    """What a fastener's bite should be: under `least_mm` is a warning, under `usual_mm` a note. `why` completes the sentence."""

    least_mm: float
    usual_mm: float
    why: str
    source: str


@check(severity=Severity.error)
def find(seen: Seen) -> Iterator[Finding]:
    """One finding for each joint: its shortest bite, an error where one holds nothing at all.

    One that runs into another fastener is told by fastener-hits.
    """
    held: Loads | None = None
    met = {name for lap in seen.fit.overlaps if lap.a in seen.hardware and lap.b in seen.hardware for name in (lap.a, lap.b)}
    for joint, ones in fasteners(seen):
        held = held or loads(seen, side_grain_counts=False)
        asked = _asked(seen, held, ones[0])
        if asked is None:
            continue
        short = [
            (_bite_mm(one), n, one) for n, one in enumerate(ones) if one.thing.name not in met and _bite_mm(one) < asked.usual_mm - HAIR_MM
        ]
        if not short:
            continue
        bite, _, worst = min(short, key=lambda each: each[:2])
        weight = Severity.error if bite <= MEASURED_MM else Severity.warning if bite < asked.least_mm - HAIR_MM else Severity.note
        usual = asked.usual_mm if weight is Severity.note else asked.least_mm
        says = "does not bite" if bite <= MEASURED_MM else f"bites {seen.show(bite)}"
        yield finding(
            __name__,
            weight,
            f"{told_of(worst, [one for _, _, one in short])} {says} in {worst.receiver}; "
            f"{asked.why} {seen.show(usual)} is {'usual' if weight is Severity.note else 'the least'}",
            seen,
            parts=(joint.member, worst.receiver),
            joints=(joint,),
            at=worst.thing.placement.origin if worst.into is None else worst.into.point,
            numbers={"bite_mm": bite, "least_mm": asked.least_mm, "usual_mm": asked.usual_mm},
            source=asked.source,
            change=f"Take a {worst.word} that is at least {seen.show(asked.usual_mm - bite)} longer"
            + ("" if worst.is_nail else ", or sink its head in a counterbore"),
        )


def _bite_mm(one: Fastener) -> float:
    """Its bite as if no hole crossed it: that is told by fastener-hits."""
    return 0.0 if one.into is None else one.into.bite_mm + one.into.broken_mm


def _room_mm(one: Fastener) -> float:
    """The most that it could bite there with its point short of the far face."""
    if one.into is None or one.into.beyond_mm is None:
        return math.inf
    return one.into.bite_mm + one.into.beyond_mm - rules()["SCREW-POINT"].least


def _asked(seen: Seen, held: Loads, one: Fastener) -> Asked | None:
    if one.is_nail:
        return _asked_of_nail(seen, one)
    bite, engage = rules()["SCREW-BITE"], rules()["SCREW-ENGAGE"]
    low = held.hung(seen, one) if one.level else None
    if low is None:
        least = min(bite.least, _room_mm(one))
        return Asked(least, least, "to hold a part close", bite.cited)
    d = one.diameter_mm
    return Asked(engage.least * d, engage.common * d, f"where {low} hangs on it,", engage.cited)


def _asked_of_nail(seen: Seen, one: Fastener) -> Asked | None:
    """As much as it goes through the first part; None where that is held without it."""
    for joint in seen.joints_of.get(pair_of(one.joint.member, one.receiver), ()):
        for expect in joint.expects:
            if expect.kind is ExpectKind.clearance or (expect.kind is ExpectKind.seat and expect.glued and touches(seen, expect)):
                return None
    through = min(one.through.bite_mm if one.through is not None else 0.0, _room_mm(one))
    rule: Rule = rules()["SCREW-23"]
    return Asked(through, through, "as much as it goes through the first part,", f"common practice for nails; for screws {rule.cited}")
