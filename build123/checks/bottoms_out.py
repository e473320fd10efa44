"""A member touches the floor of its housing before its shoulder closes.

Spoken only of joints that seat on a shoulder and leave room at the floor; a plain housing is meant to reach its floor.
Measured as the gap at the floor less the gap at the shoulder: the room that is left once the shoulder is home.

Why
    The shoulder is the line that is seen, and glue and chips need room below: usually 1/16 to 1/8 in under a tenon.
    Source: TENON-CLEAR (joinery school rules of thumb)

Change
    Cut the housing deeper or the tongue shorter.

Bad
    build123: 1
    piece: Tool tray
    units: mm
    sizes: {width: 400, depth: 200, height: 300}
    stock:
      oak: {board: white oak, thickness: 20}
    parts:
      side: {pair: left and right, stock: oak, x: from 0, y: 0 to depth, z: 0 to height}
      shelf: {stock: oak, x: left side to right side, y: 0 to depth, z: from 100}
    joints:
      - tongue: {of: shelf, in: side, thickness: 6, depth: 8}
    damage: thicken shelf 1 at +x

Good
    build123: 1
    piece: Tool tray
    units: mm
    sizes: {width: 400, depth: 200, height: 300}
    stock:
      oak: {board: white oak, thickness: 20}
    parts:
      side: {pair: left and right, stock: oak, x: from 0, y: 0 to depth, z: 0 to height}
      shelf: {stock: oak, x: left side to right side, y: 0 to depth, z: from 100}
    joints:
      - tongue: {of: shelf, in: side, thickness: 6, depth: 8}
"""

from __future__ import annotations

from collections.abc import Iterator

from build123.checks.facing import facing, room_mm
from build123.checks.registry import check
from build123.checks.seen import MEASURED_MM, Seen
from build123.checks.wording import finding, spot
from build123.model.design import ExpectKind
from build123.problem import Finding, Severity


@check(severity=Severity.error)
def find(seen: Seen) -> Iterator[Finding]:
    """Rooms under a shoulder that are smaller than wanted."""
    for joint, expect in seen.expects(ExpectKind.gap):
        face = facing(seen, expect) if expect.shoulder else None
        if face is None:
            continue
        left_mm = room_mm(seen, expect, face)
        if left_mm >= expect.low_mm - MEASURED_MM:
            continue
        room = f"only {seen.show(left_mm)} of room is left" if left_mm > MEASURED_MM else "no room is left"
        yield finding(
            __name__,
            Severity.error,
            f"{expect.a} bottoms out before its shoulder closes: {room} {spot(expect)}, {seen.show(expect.low_mm)} is wanted",
            seen,
            parts=(expect.a, expect.b),
            joints=(joint,),
            at=face.at,
            numbers={"room_mm": left_mm, "low_mm": expect.low_mm},
            change=f"Cut {expect.b} deeper or {expect.a} shorter by {seen.show(expect.low_mm - left_mm)}",
        )
