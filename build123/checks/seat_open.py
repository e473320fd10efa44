"""A face that should bear on another stands off it.

The face is there (else contact-missing would say so) but the measured gap is more than the joint allows. The two have
ids of their own because they are mended differently: a missing face is in the wrong place, an open seat has a wrong size.

Why
    Load and glue go through the seat. Glue does not fill: its best film is about 0.005 in (0.13 mm).
    Source: GLUE-FILM (glue maker reply)

Change
    Make the member longer by the gap, cut the housing shallower, or move the parts together.

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
      - dado: {of: shelf, in: side, depth: 6}
    damage: shift shelf 1 0 0

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
      - dado: {of: shelf, in: side, depth: 6}
"""

from __future__ import annotations

from collections.abc import Iterator

from build123.checks.facing import facing
from build123.checks.registry import check
from build123.checks.seen import MEASURED_MM, Seen
from build123.checks.wording import finding, spot
from build123.model.design import ExpectKind
from build123.problem import Finding, Severity


@check(severity=Severity.error)
def find(seen: Seen) -> Iterator[Finding]:
    """Seats with a measured gap outside what is accepted; faces that went into each other are parts-interfere's."""
    for joint, expect in seen.expects(ExpectKind.seat):
        face = facing(seen, expect)
        if face is None or face.gap_mm <= expect.high_mm + MEASURED_MM:
            continue
        yield finding(
            __name__,
            Severity.error,
            f"{expect.a} does not bear {spot(expect)}: it stands {seen.show(face.gap_mm)} off",
            seen,
            parts=(expect.a, expect.b),
            joints=(joint,),
            at=face.at,
            numbers={"gap_mm": face.gap_mm, "accepted_mm": expect.high_mm, "area_mm2": face.area_mm2},
            change=f"Make {expect.a} reach {seen.show(face.gap_mm)} further, or bring the two together",
        )
