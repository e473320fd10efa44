"""A joint's faces do not find each other at all.

Every joint says where its member bears and which walls hold it. The check looks for those faces on the assembled solids;
a face that is there but stands off is told by seat-open.

Why
    A joint without its faces holds nothing and leaves no place for glue.
    Source: common practice

Change
    Look at the extents of the two parts and at where the joint is cut: one of them is in another place than the joint says.

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
    damage: shift shelf 0 0 60

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

from build123.checks.facing import facing, play
from build123.checks.registry import check
from build123.checks.seen import Seen
from build123.checks.wording import finding, spot, together, where
from build123.model.design import Expect, ExpectKind
from build123.problem import Finding, Severity


@check(severity=Severity.error)
def find(seen: Seen) -> Iterator[Finding]:
    """One finding for each joint, with all that it misses."""
    for joint in seen.design.joints:
        missing = [expect for expect in joint.expects if not _there(seen, expect)]
        if not missing:
            continue
        first = missing[0]
        spots = list(dict.fromkeys(spot(expect) for expect in missing))
        yield finding(
            __name__,
            Severity.error,
            f"{first.a} finds no face {together(spots)}: nothing of {first.b} is there, at {where(seen, first.near.middle)}",
            seen,
            parts=tuple(dict.fromkeys(name for expect in missing for name in (expect.a, *expect.more, expect.b))),
            joints=(joint,),
            at=first.near.middle,
            numbers={"missing": len(missing), "expected": len(joint.expects)},
        )


def _there(seen: Seen, expect: Expect) -> bool:
    match expect.kind:
        case ExpectKind.seat:
            return facing(seen, expect) is not None
        case ExpectKind.clearance:
            return play(seen, expect) is not None
        case _:  # a gap may be as wide as it likes, a bore is the business of holes-out-of-line
            return True
