"""A screw cannot be driven when its step of the assembly comes: a part stands where the driver or the hand must be.

A straight screwdriver of the shop's length, with a hand around the end of it, is put to the head of every screw among the solids
that stand at that step.

Why
    A screw that only a bent driver reaches is left out, or driven crooked with its head torn.
    Source: common practice

Change
    Screw from the other side, move the screws out from the corner, drive them before the part that is in the way comes in, or
    tell the length of a shorter driver in `shop: {screwdriver: ...}`.

Bad
    build123: 1
    piece: Seed box
    units: mm
    sizes: {width: 160, depth: 200, height: 120}
    stock:
      ply: {sheet: birch plywood, thickness: 18}
    parts:
      side: {pair: left and right, stock: ply, x: from 0, y: 0 to depth, z: 0 to height}
      floor board: {stock: ply, x: left side to right side, y: 0 to depth, z: from 20}
      cleat: {stock: ply, x: from right of left side, y: 20 to depth - 20, z: floor board to 90}
    made up:
      box: [side, floor board]
    joints:
      - dado: {of: floor board, in: side, depth: 6}
      - screws: {through: cleat, into: left side, size: 4 x 30, count: 2, head: countersunk}
      - rests: {of: cleat, upon: floor board}

Good
    build123: 1
    piece: Seed box
    units: mm
    shop: {screwdriver: 90, hand: 50}
    sizes: {width: 160, depth: 200, height: 120}
    stock:
      ply: {sheet: birch plywood, thickness: 18}
    parts:
      side: {pair: left and right, stock: ply, x: from 0, y: 0 to depth, z: 0 to height}
      floor board: {stock: ply, x: left side to right side, y: 0 to depth, z: from 20}
      cleat: {stock: ply, x: from right of left side, y: 20 to depth - 20, z: floor board to 90}
    made up:
      box: [side, floor board]
    joints:
      - dado: {of: floor board, in: side, depth: 6}
      - screws: {through: cleat, into: left side, size: 4 x 30, count: 2, head: countersunk}
      - rests: {of: cleat, upon: floor board}
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from build123.checks.registry import check
from build123.checks.seen import Seen
from build123.checks.wording import finding, together
from build123.model.plan import OutOfReach
from build123.problem import Finding, Severity


@check(severity=Severity.warning)
def find(seen: Seen) -> Iterator[Finding]:
    """One finding for each joint, with how many of its screws are out of reach and what is in the way."""
    if seen.glue_up is None:
        return
    found: defaultdict[str, list[OutOfReach]] = defaultdict(list)
    for one in seen.glue_up.out_of_reach:
        found[seen.hardware[one.hardware].joint].append(one)
    joints = {joint.id: joint for joint in seen.design.joints}
    for id, those in found.items():
        joint = joints[id]
        total = sum(1 for thing in seen.design.hardware if thing.joint == id and thing.bites)
        by = tuple(dict.fromkeys(name for one in those for name in one.by))
        driver = seen.show(seen.design.shop.screwdriver_mm)
        yield finding(
            __name__,
            Severity.warning,
            f"{len(those)} of {total} screws of {joint.member} into {joint.receiver} cannot be driven at step {those[0].step} of the "
            f"assembly: {together(by)} {'is' if len(by) == 1 else 'are'} in the way of a screwdriver {driver} long",
            seen,
            parts=(joint.member, joint.receiver, *(name for name in by if name not in (joint.member, joint.receiver))),
            joints=(joint,),
            at=seen.hardware[those[0].hardware].placement.origin,
            numbers={"screws": float(len(those)), "of": float(total), "screwdriver_mm": seen.design.shop.screwdriver_mm},
        )
