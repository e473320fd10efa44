"""A housing leaves its member less room than the fit wants.

The clearance is measured on the assembled solids as the sum of the two opposed gaps, wherever the member sits between
them; members that share a housing add up.

Why
    A housing tighter than its fit does not go together by hand once glue has wetted it, or splits its part.
    Source: DADO-FIT (common practice, from memory)

Change
    Cut the housing wider: to the sheet in hand plus the clearance of the fit, not to the name of the sheet or of the cutter.

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
      - dado: {of: shelf, in: side, depth: 6, width: 17.9}

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
      - dado: {of: shelf, in: side, depth: 6, fit: slip}
"""

from __future__ import annotations

from collections.abc import Iterator

from build123.checks.facing import plays
from build123.checks.registry import check
from build123.checks.seen import MEASURED_MM, Seen
from build123.checks.wording import finding, fit_source, member_of, spot, wanted
from build123.problem import Finding, Severity


@check(severity=Severity.error)
def find(seen: Seen) -> Iterator[Finding]:
    """Housings whose measured clearance is under the range of their fit."""
    for joint, expect, found in plays(seen):
        if found.total_mm >= expect.low_mm - MEASURED_MM:
            continue
        member = member_of(expect)
        has = (
            f"the housing is {seen.show(-found.total_mm)} narrower than {member}"
            if found.total_mm < -MEASURED_MM
            else f"only {seen.show(max(0.0, found.total_mm))} of clearance about {member}"
        )
        yield finding(
            __name__,
            Severity.error,
            f"{has} {spot(expect)}; {wanted(seen, expect)}",
            seen,
            parts=(expect.a, *expect.more, expect.b),
            joints=(joint,),
            at=found.at,
            numbers={"clearance_mm": found.total_mm, "low_mm": expect.low_mm, "high_mm": expect.high_mm},
            change=f"Make the housing {seen.show(expect.nominal_mm - found.total_mm)} wider",
            source=fit_source(expect),
        )
