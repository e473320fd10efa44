"""A solid is not its blank less its features.

The volume of each solid is compared with the blank less the union of its features, worked out by another library; the
solid must also be valid and in one piece.

Why
    Drawings and cut files are made from the features, the checks from the solid: where the two differ, one of them is
    wrong and what is cut will not be what was checked.
    Source: measured: tools that overlap inside one compound removed 4.2 % too little and still passed for valid (techniques, "Solids")

Change
    If a cut takes a part in two, make it shallower or shorter. Otherwise this is a fault of the compiler: please report it with the spec.

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
    damage: drill shelf at 100 100 118 towards 0 0 -1 diameter 8 depth 12

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

from build123.checks.registry import check
from build123.checks.seen import Seen
from build123.checks.wording import all_alike, finding
from build123.model.measured import ShapeFacts
from build123.model.part import Part
from build123.problem import Finding, Severity

SHARE = 0.0002
"""Of the removed volume: the other library works with facets on round features."""
LEAST_MM3 = 1.0


@check(severity=Severity.error)
def find(seen: Seen) -> Iterator[Finding]:
    """One finding for each distinct shape that is not what its features say."""
    for facts, parts in seen.shapes:
        says = _difference(seen, facts, parts[0])
        if says is None:
            continue
        yield finding(
            __name__,
            Severity.error,
            f"{all_alike(parts)} {says}",
            seen,
            parts=[part.name for part in parts],
            at=parts[0].box.middle,
            numbers={"volume_mm3": facts.volume_mm3, "expected_mm3": facts.union_volume_mm3, "solids": facts.solids},
        )


def _difference(seen: Seen, facts: ShapeFacts, part: Part) -> str | None:
    if facts.solids != 1:
        return f"is in {facts.solids} pieces after its joints are cut" if facts.solids else "has no wood left after its joints are cut"
    if not facts.valid:
        return "is not a valid solid"
    removed = part.length_mm * part.width_mm * part.thickness_mm - facts.union_volume_mm3
    off = facts.volume_mm3 - facts.union_volume_mm3
    if abs(off) <= SHARE * abs(removed) + LEAST_MM3:
        return None
    return f"has {seen.show_volume(abs(off))} of wood {'more' if off > 0 else 'less'} than its blank less its features"
