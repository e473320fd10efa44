"""Little wood is left under a trench.

Measured on the solid between the floor of the trench and the face behind it, and judged on the nominal thickness of the
stock: 3/8 in in a sheet sold as 3/4 in is one half of it, whatever the sheet measures.

Why
    The part bends and breaks along the trench: up to one third of the thickness is usual, one half is the limit. The lip
    of a rabbet at a case corner may go to two thirds.
    Source: DADO-DEPTH-MAX, RABBET-DEPTH-CASE (common practice, from memory)

Change
    Make the trench shallower (1/4 in or 6 mm holds a shelf) or the part thicker.

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
      - dado: {of: shelf, in: side, depth: 14}

Good
    build123: 1
    piece: Seed tray
    units: in
    sizes: {width: 16, depth: 8, height: 12}
    stock:
      ply: {sheet: birch plywood, thickness: 23/32}
    parts:
      side: {pair: left and right, stock: ply, x: from 0, y: 0 to depth, z: 0 to height}
      shelf: {stock: ply, x: left side to right side, y: 0 to depth, z: from 4}
    joints:
      - dado: {of: shelf, in: side, depth: 1/4}
"""

from __future__ import annotations

from collections.abc import Iterator

from build123.checks.registry import check
from build123.checks.seen import Seen
from build123.checks.trenches import Floor, floors, judged_mm, thickness_mm
from build123.checks.wording import all_alike, finding
from build123.model.part import Part
from build123.problem import Finding, Severity
from build123.trade.tables import Rule, rules

HAIR_MM = 0.1
"""What a half or a third may be passed by before anyone would say so at the bench."""


@check(severity=Severity.error)
def find(seen: Seen) -> Iterator[Finding]:
    """The thinnest place under each trench of each distinct shape."""
    for facts, parts in seen.shapes:
        part = parts[0]
        worst: dict[str, tuple[Severity, Floor, Rule]] = {}
        for floor in floors(part, facts):
            weight = None if floor.below else _judged(part, floor)
            if weight is not None:
                key = floor.above[0].feature.about.id
                if key not in worst or floor.web.thickness_mm < worst[key][1].web.thickness_mm:
                    worst[key] = (weight[0], floor, weight[1])
        for severity, floor, rule in worst.values():
            web, cut = floor.web, floor.above[0]
            whole = thickness_mm(part, web.normal)
            yield finding(
                __name__,
                severity,
                f"the {cut.label} in {all_alike(parts)} leaves {seen.show(web.thickness_mm)} of its {seen.show(whole)}",
                seen,
                parts=[one.name for one in parts],
                joints=[joint for joint in seen.design.joints if joint.id == cut.feature.about.joint],
                at=part.placement.point(web.at),
                numbers={"left_mm": web.thickness_mm, "cut_share": (whole - web.thickness_mm) / judged_mm(part, web.normal)},
                source=rule.cited,
            )


def _judged(part: Part, floor: Floor) -> tuple[Severity, Rule] | None:
    """How much a floor weighs, and by which rule; None where it is ordinary work."""
    web, table = floor.web, rules()
    if web.thickness_mm < table["WEB-LEAST"].least:
        return Severity.error, table["WEB-LEAST"]
    step = any(cut.step for cut in floor.above)
    limit, weak = ("RABBET-DEPTH-CASE", "RABBET-DEPTH-WEAK") if step else ("DADO-DEPTH-MAX", "DADO-DEPTH-WEAK")
    whole = judged_mm(part, web.normal)
    cut_mm = thickness_mm(part, web.normal) - web.thickness_mm - HAIR_MM
    if cut_mm > table[weak].most * whole:
        return Severity.warning, table[weak]
    if cut_mm > table[limit].most * whole:
        return Severity.note, table[limit]
    return None
