"""Two parts touch and nothing says why.

Bought things and parts declared loose may touch what they like.

Why
    A contact that nobody meant is a part that runs too far, or a joint that was forgotten: it will be glued by accident,
    or rattle.
    Source: common practice

Change
    Declare the joint, say that bare touching is meant with `rests`, or leave a gap.

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
      rail: {stock: ply, x: left side to right side, y: from 20, z: shelf to height}
    joints:
      - dado: {of: shelf, in: side, depth: 6}
      - dado: {of: rail, in: side, depth: 6}

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
      rail: {stock: ply, x: left side to right side, y: from 20, z: shelf to height}
    joints:
      - dado: {of: shelf, in: side, depth: 6}
      - dado: {of: rail, in: side, depth: 6}
      - rests: {of: rail, upon: shelf}
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from build123.checks.registry import check
from build123.checks.seen import Pair, Seen, pair_of
from build123.checks.wording import finding, where
from build123.model.measured import FaceGap
from build123.problem import Finding, Severity

TOUCH_MM = 0.01
"""Faces nearer than this touch: far under any fit."""
LEAST_MM2 = 1.0
"""Smaller patches are corners that meet."""


@check(severity=Severity.error)
def find(seen: Seen) -> Iterator[Finding]:
    """One finding for each pair that touches, with all its contacts."""
    touching: defaultdict[Pair, list[FaceGap]] = defaultdict(list)
    for gap in seen.fit.gaps:
        if abs(gap.gap_mm) < TOUCH_MM and gap.area_mm2 > LEAST_MM2 and _should_not_touch(seen, gap):
            touching[pair_of(gap.a, gap.b)].append(gap)
    for pair, gaps in touching.items():
        a, b = sorted(pair, key=lambda name: seen.order.get(name, 0))
        largest = max(gaps, key=lambda gap: gap.area_mm2)
        total = sum(gap.area_mm2 for gap in gaps)
        yield finding(
            __name__,
            Severity.error,
            f"{a} and {b} touch over {seen.show_area(total)} at {where(seen, largest.at)}, and no joint says so",
            seen,
            parts=(a, b),
            at=largest.at,
            numbers={"area_mm2": total, "contacts": len(gaps)},
        )


def _should_not_touch(seen: Seen, gap: FaceGap) -> bool:
    a, b = seen.design.by_name.get(gap.a), seen.design.by_name.get(gap.b)
    if a is None or b is None or a.loose or b.loose or (a.made_up and a.made_up == b.made_up):
        return False
    return pair_of(gap.a, gap.b) not in seen.joints_of
