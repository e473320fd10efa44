"""The holes of a dowel or a screw do not lie on one line.

Measured between the axes of the cylinders on the assembled solids.

Why
    Two holes out of line by more than a dowel's play keep the joint from closing, or pull the parts out of flush. A screw has
    the play that its clearance hole leaves; past that it binds and pulls the parts aside.
    Source: HOLE-LINE (common practice, from memory)

Change
    Lay out both holes from the same reference edge; look at what moved one of the two parts.

Bad
    build123: 1
    piece: Plinth
    units: mm
    sizes: {width: 400, depth: 200, height: 80}
    stock:
      pine: {board: ponderosa pine, thickness: 20}
    parts:
      cheek: {pair: left and right, stock: pine, x: from 0, y: 0 to depth, z: 0 to height}
      front: {stock: pine, x: left cheek to right cheek, y: from 0, z: 0 to height}
    joints:
      - dowels: {of: front, to: cheek, count: 2, diameter: 8, length: 40}
    damage: shift front 0 1 0

Good
    build123: 1
    piece: Plinth
    units: mm
    sizes: {width: 400, depth: 200, height: 80}
    stock:
      pine: {board: ponderosa pine, thickness: 20}
    parts:
      cheek: {pair: left and right, stock: pine, x: from 0, y: 0 to depth, z: 0 to height}
      front: {stock: pine, x: left cheek to right cheek, y: from 0, z: 0 to height}
    joints:
      - dowels: {of: front, to: cheek, count: 2, diameter: 8, length: 40}
"""

from __future__ import annotations

from collections.abc import Iterator

from build123.checks.bores import bore_gap
from build123.checks.registry import check
from build123.checks.seen import Seen
from build123.checks.wording import finding, where
from build123.model.design import ExpectKind
from build123.problem import Finding, Severity
from build123.trade.tables import rules


@check(severity=Severity.error)
def find(seen: Seen) -> Iterator[Finding]:
    """One finding for each joint: its worst hole, and how many are out."""
    usual = rules()["HOLE-LINE"].most
    for joint in seen.design.joints:
        expects = [expect for expect in joint.expects if expect.kind is ExpectKind.bore]
        kind = "screw holes" if expects and all(expect.fit == "screw" for expect in expects) else "holes"
        measured = [(expect, bore_gap(seen, expect)) for expect in expects]
        lost = [expect for expect, gap in measured if gap is None]
        out = [(gap.offset_mm, gap.at) for one, gap in measured if gap is not None and gap.offset_mm > (one.high_mm or usual)]
        if lost:
            first = lost[0]
            says = f"{len(lost)} of {len(expects)} {kind} of {joint.member} and {joint.receiver} meet no hole at all"
            at, numbers = first.near.middle, {"missing": float(len(lost)), "expected": float(len(expects))}
        elif out:
            offset, at = max(out)
            says = (
                f"{len(out)} of {len(expects)} {kind} of {joint.member} and {joint.receiver} are out of line, by up to {seen.show(offset)}"
            )
            numbers = {
                "offset_mm": offset,
                "tolerance_mm": min(one.high_mm or usual for one in expects),
                "out": float(len(out)),
                "expected": float(len(expects)),
            }
        else:
            continue
        yield finding(
            __name__,
            Severity.error,
            f"{says}, at {where(seen, at)}",
            seen,
            parts=(joint.member, joint.receiver),
            joints=(joint,),
            at=at,
            numbers=numbers,
        )
