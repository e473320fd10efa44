"""A housing leaves its member more room than the fit wants.

Measured like housing-too-tight: the sum of the two opposed gaps on the assembled solids.

Why
    Glue does not bridge a loose housing, the part leans in it, and the gap shows at the front edge.
    Source: DADO-FIT (common practice, from memory)

Change
    Cut the housing narrower, or name the fit that is meant (`fit: easy` for what is not glued).

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
    joints:
      - dado: {of: shelf, in: side, depth: 6, width: 19}

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
    joints:
      - dado: {of: shelf, in: side, depth: 6, fit: easy}
"""

from __future__ import annotations

from collections.abc import Iterator

from build123.checks.facing import plays
from build123.checks.registry import check
from build123.checks.seen import MEASURED_MM, Seen
from build123.checks.wording import finding, fit_source, member_of, spot, wanted
from build123.problem import Finding, Severity


@check(severity=Severity.warning)
def find(seen: Seen) -> Iterator[Finding]:
    """Housings whose measured clearance is over the range of their fit."""
    for joint, expect, found in plays(seen):
        if found.total_mm <= expect.high_mm + MEASURED_MM:
            continue
        yield finding(
            __name__,
            Severity.warning,
            f"{seen.show(found.total_mm)} of clearance about {member_of(expect)} {spot(expect)}; {wanted(seen, expect)}",
            seen,
            parts=(expect.a, *expect.more, expect.b),
            joints=(joint,),
            at=found.at,
            numbers={"clearance_mm": found.total_mm, "low_mm": expect.low_mm, "high_mm": expect.high_mm},
            change=f"Make the housing {seen.show(found.total_mm - expect.nominal_mm)} narrower",
            source=fit_source(expect),
        )
