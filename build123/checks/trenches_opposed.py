"""Trenches on both faces of a part leave too little wood between their floors.

Measured on the solid where the two lie over one another. A tongue, which two steps at one edge leave standing, is meant.

Why
    Less than 3/16 in between two floors breaks under load or when the case is racked; facing 1/4 in dados in a
    3/4 in sheet leave more and are ordinary work.
    Source: DADO-FACING (common practice, from memory)

Change
    Make both trenches shallower, or stagger what they hold by more than a thickness.

Bad
    build123: 1
    piece: Seed rack
    units: mm
    sizes: {width: 600, depth: 200, height: 300}
    stock:
      ply: {sheet: birch plywood, thickness: 18}
    parts:
      side: {pair: left and right, stock: ply, x: from 0, y: 0 to depth, z: 0 to height}
      divider: {stock: ply, x: centred on width / 2, y: 0 to depth, z: 0 to height}
      left shelf: {stock: ply, x: left side to divider, y: 0 to depth, z: from 100}
      right shelf: {stock: ply, x: divider to right side, y: 0 to depth, z: from 100}
    joints:
      - dado: {of: left shelf, in: [left side, divider], depth: 7}
      - dado: {of: right shelf, in: [right side, divider], depth: 7}

Good
    build123: 1
    piece: Seed rack
    units: in
    sizes: {width: 24, depth: 8, height: 12}
    stock:
      ply: {sheet: birch plywood, thickness: 23/32}
    parts:
      side: {pair: left and right, stock: ply, x: from 0, y: 0 to depth, z: 0 to height}
      divider: {stock: ply, x: centred on width / 2, y: 0 to depth, z: 0 to height}
      left shelf: {stock: ply, x: left side to divider, y: 0 to depth, z: from 4}
      right shelf: {stock: ply, x: divider to right side, y: 0 to depth, z: from 4}
    joints:
      - dado: {of: left shelf, in: [left side, divider], depth: 1/4}
      - dado: {of: right shelf, in: [right side, divider], depth: 1/4}
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from build123.checks.facing import shared_mm2
from build123.checks.registry import check
from build123.checks.seen import MEASURED_MM, Seen
from build123.checks.trenches import Cut, cuts, thickness_mm
from build123.checks.wording import all_alike, finding
from build123.model.frame import Box, Vec, dot
from build123.model.measured import ShapeFacts
from build123.model.part import Part
from build123.problem import Finding, Severity
from build123.trade.tables import rules

LEAST_MM2 = 1.0


@check(severity=Severity.error)
def find(seen: Seen) -> Iterator[Finding]:
    """Each pair of opposed trenches of each distinct shape that leaves too little, or nothing."""
    rule = rules()["DADO-FACING"]
    for facts, parts in seen.shapes:
        part = parts[0]
        for one, other in combinations(cuts(part), 2):
            at = _crossing(one, other)
            if at is None:
                continue
            left_mm = _left_mm(part, facts, one, other)
            if left_mm is None or left_mm >= rule.least - MEASURED_MM:
                continue
            says = f"leave {seen.show(left_mm)} between them" if left_mm > 0 else "cut through"
            labels = f"the {one.label}s" if one.label == other.label else f"the {one.label} and the {other.label}"
            pair = f"{labels} on opposite faces of {all_alike(parts)}"
            ids = {one.feature.about.joint, other.feature.about.joint}
            yield finding(
                __name__,
                Severity.warning if left_mm > 0 else Severity.error,
                f"{pair} {says}; {seen.show(rule.least)} is the least",
                seen,
                parts=[twin.name for twin in parts],
                joints=[joint for joint in seen.design.joints if joint.id in ids],
                at=part.placement.point(at),
                numbers={"left_mm": left_mm, "least_mm": rule.least},
                source=rule.cited,
            )


def _crossing(one: Cut, other: Cut) -> Vec | None:
    """The middle of where two trenches of opposite faces lie over one another; None for a tongue, or where they do not."""
    if dot(one.normal, other.normal) > -0.999 or (one.step and other.step):
        return None
    a, b = one.box(), other.box()
    if shared_mm2(a, b, one.normal) < LEAST_MM2:
        return None
    corners: list[Vec] = [
        (max(a.low[0], b.low[0]), max(a.low[1], b.low[1]), max(a.low[2], b.low[2])),
        (min(a.high[0], b.high[0]), min(a.high[1], b.high[1]), min(a.high[2], b.high[2])),
    ]
    middle = Box.around(corners).middle
    return middle if one.over(middle) and other.over(middle) else None


def _left_mm(part: Part, facts: ShapeFacts, one: Cut, other: Cut) -> float | None:
    """The measured wood between two floors, mm; 0 where none is measured and the floors would meet; None where none is near."""
    whole = thickness_mm(part, one.normal)
    webs = [
        web.thickness_mm
        for web in facts.webs
        if abs(dot(web.normal, one.normal)) > 0.999 and one.over(web.at) and other.over(web.at) and web.thickness_mm < whole
    ]
    if webs:
        return min(webs)
    return 0.0 if one.trench.depth_mm + other.trench.depth_mm >= whole - MEASURED_MM else None
