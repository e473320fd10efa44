"""Two parts hang on a single dowel.

Counted on the solids: the axes of the holes that meet.

Why
    One dowel lets the parts turn about it; two stop that.
    Source: DOWEL-MIN (common practice, from memory)

Change
    Add a dowel, or house the part in a dado or on a tongue as well.

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
      - dowels: {of: front, to: cheek, count: 1, diameter: 8, length: 40}

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

from collections import defaultdict
from collections.abc import Iterator

from build123.checks.bores import bore_gap, off_axis_mm
from build123.checks.registry import check
from build123.checks.seen import Pair, Seen, pair_of
from build123.checks.wording import finding
from build123.model.design import ExpectKind, Joint
from build123.model.frame import Vec, dot
from build123.problem import Finding, Severity
from build123.trade.tables import rules

APART_MM = 0.5
"""Axes nearer than this are one dowel seen from both parts."""


@check(severity=Severity.warning)
def find(seen: Seen) -> Iterator[Finding]:
    """Pairs of parts that only meeting holes hold in place, with fewer of them than the rule asks for."""
    rule = rules()["DOWEL-MIN"]
    pairs: defaultdict[Pair, list[Joint]] = defaultdict(list)
    for joint in seen.design.joints:
        pairs[pair_of(joint.member, joint.receiver)].append(joint)
    for joints in pairs.values():
        if any(expect.kind is ExpectKind.clearance for joint in joints for expect in joint.expects):
            continue
        if any(joint.id in seen.fastened for joint in joints):
            continue
        axes = _axes(seen, joints)
        if not axes or len(axes) >= rule.least:
            continue
        member, receiver = joints[0].member, joints[0].receiver
        yield finding(
            __name__,
            Severity.warning,
            f"{member} and {receiver} are held by {len(axes)} dowel: {member} can turn about it",
            seen,
            parts=(member, receiver),
            joints=[joint for joint in joints if any(expect.kind is ExpectKind.bore for expect in joint.expects)],
            at=axes[0][0],
            numbers={"dowels": len(axes), "least": rule.least},
            source=rule.cited,
        )


def _axes(seen: Seen, joints: list[Joint]) -> list[tuple[Vec, Vec]]:
    """A point and the direction of each distinct axis on which holes of these joints meet."""
    axes: list[tuple[Vec, Vec]] = []
    for joint in joints:
        for expect in joint.expects:
            gap = bore_gap(seen, expect) if expect.kind is ExpectKind.bore else None
            if gap is None or any(abs(dot(gap.axis, axis)) > 0.99 and off_axis_mm(gap.at, at, axis) < APART_MM for at, axis in axes):
                continue
            axes.append((gap.at, gap.axis))
    return axes
