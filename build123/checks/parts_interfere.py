"""Two parts claim the same wood.

Measured as the volume that the assembled solids have in common. Parts that only touch do not interfere, and the few
hundredths of a millimetre of a press fit are meant.

Why
    Wood cannot be in two places: at the dry fit the parts stop short, or split when they are driven.
    Source: common practice

Change
    Shorten, move or thin one of the two, or declare the joint that houses one in the other.

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
      - dado: {of: shelf, in: side, depth: 6, fit: press}
"""

from __future__ import annotations

from collections.abc import Iterator

from build123.checks.bores import bore_gap
from build123.checks.facing import facing, play, shared_mm2
from build123.checks.registry import check
from build123.checks.seen import MEASURED_MM, Seen, overlap_name, pair_of
from build123.checks.wording import finding, member_of, spot, where
from build123.model.design import Expect, ExpectKind
from build123.model.frame import Box
from build123.model.measured import Overlap
from build123.problem import Finding, Severity

OUTSIDE_MM = 0.5
"""A squeeze lies within its housing; what reaches further out is not explained by it."""


@check(severity=Severity.error)
def find(seen: Seen) -> Iterator[Finding]:
    """Overlaps that no press fit explains."""
    for index, lap in enumerate(seen.fit.overlaps):
        if lap.depth_mm <= MEASURED_MM or _squeezed_on_purpose(seen, lap) or _fasteners_meet(seen, lap) or _in_its_own_hole(seen, lap):
            continue
        a, b = lap.a, lap.b
        reasons = list(_reasons(seen, lap))
        size = f"{seen.show_volume(lap.volume_mm3)} of wood, {seen.show(lap.depth_mm)} deep"
        yield finding(
            __name__,
            Severity.error,
            f"{a} and {b} both take up {size}, at {where(seen, lap.at)}"
            if {a, b}.isdisjoint(seen.hardware)
            else f"{_runs_into(seen, a, b)} by {size.replace(' of wood', '')}, at {where(seen, lap.at)}",
            seen,
            parts=(a, b),
            joints=seen.joints_of.get(pair_of(a, b), ()),
            at=lap.at,
            numbers={"volume_mm3": lap.volume_mm3, "depth_mm": lap.depth_mm},
            change="; ".join(reasons) or _elsewhere(seen, a, b),
            overlap=overlap_name(index),
        )


def _elsewhere(seen: Seen, a: str, b: str) -> str:
    """What to change where a bought thing meets wood that it is not meant for; empty for two parts."""
    if {a, b}.isdisjoint(seen.hardware):
        return ""
    return "Take a shorter one, move it, or say that it goes into that part: look at whether its hole is where it should be"


def _runs_into(seen: Seen, a: str, b: str) -> str:
    thing, other = (a, b) if a in seen.hardware else (b, a)
    return f"{thing} runs into {other}"


def _fasteners_meet(seen: Seen, lap: Overlap) -> bool:
    """Whether a screw or nail runs into another thing that is bought: fastener-hits tells that."""
    things = [seen.hardware[name] for name in (lap.a, lap.b) if name in seen.hardware]
    return len(things) == 2 and any(thing.bites for thing in things)


def _in_its_own_hole(seen: Seen, lap: Overlap) -> bool:
    """Whether a dowel or screw presses on its hole no deeper than the two holes are out of line: holes-out-of-line judges that."""
    thing = seen.hardware.get(lap.a) or seen.hardware.get(lap.b)
    for joint in seen.design.joints:
        if thing is None or joint.id != thing.joint or not {joint.member, joint.receiver} & {lap.a, lap.b}:
            continue
        for expect in joint.expects:
            if expect.kind is ExpectKind.bore and expect.near.meets(lap.near):
                gap = bore_gap(seen, expect)
                if gap is not None and lap.depth_mm <= gap.offset_mm + MEASURED_MM:
                    return True
    return False


def _squeezed_on_purpose(seen: Seen, lap: Overlap) -> bool:
    """Whether every bit of an overlap lies in press fits of the pair and is no deeper than they allow."""
    fits = [
        expect
        for expect in seen.expects_of(lap.a, lap.b, ExpectKind.clearance, ExpectKind.bore)
        if expect.low_mm < 0 and lap.near.meets(expect.near.grown(OUTSIDE_MM))
    ]
    if not fits:
        return False
    most = max(-expect.low_mm for expect in fits) + MEASURED_MM
    around = Box.around([corner for expect in fits for corner in (expect.near.low, expect.near.high)]).grown(OUTSIDE_MM)
    room_mm3 = sum(most * _walls_mm2(expect) for expect in fits)
    return lap.depth_mm <= most and around.holds(lap.near.low) and around.holds(lap.near.high) and lap.volume_mm3 <= room_mm3


def _walls_mm2(expect: Expect) -> float:
    """The area of one wall of a housing, of all sides of a bore; generous by a twentieth for what the region leaves out."""
    if expect.kind is ExpectKind.clearance:
        return 1.05 * shared_mm2(expect.near, expect.near, expect.direction)
    x, y, z = expect.near.size
    return 2.1 * (x * y + y * z + z * x)


def _reasons(seen: Seen, lap: Overlap) -> Iterator[str]:
    """Which measured dimension is to blame, and by how much."""
    for expect in seen.expects_of(lap.a, lap.b, ExpectKind.clearance):
        found = play(seen, expect)
        if found is not None and found.total_mm < -MEASURED_MM:
            short = seen.show(-found.total_mm)
            yield f"{spot(expect)} the housing is {short} narrower than {member_of(expect)}: make it wider, or the part thinner"
    for expect in seen.expects_of(lap.a, lap.b, ExpectKind.seat, ExpectKind.gap):
        face = facing(seen, expect)
        if face is not None and face.gap_mm < -MEASURED_MM:
            yield f"{expect.a} goes {seen.show(-face.gap_mm)} too far {spot(expect)}: shorten or move it, or cut deeper"
