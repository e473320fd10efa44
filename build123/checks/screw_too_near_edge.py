"""A screw or nail stands too near to an edge or an end of a part.

Measured from its axis across to the next face, in sixteen directions. In the part that it bites in: across the grain a diameter
and a half, to the end of a board four diameters along the grain; a nail as its side member is thick asks. In the edge of a sheet
it is the thickness that counts, judged on what the sheet is sold as. In the part under the head, whose hole is drilled clear,
half of that wood beside the hole.

Why
    The thread drives the fibres apart: near an edge it bulges or splits, near an end it splits the board along its grain.
    Source: SCREW-EDGE, SCREW-END (common practice, from memory), NAIL-EDGE, NAIL-END (FPL Wood Handbook ch. 8, from memory)

Change
    Move it further in (`ends`, `positions`), or take a thinner one.

Bad
    build123: 1
    piece: Seed box
    units: mm
    sizes: {width: 400, depth: 200, height: 150}
    stock:
      pine: {board: ponderosa pine, thickness: 20}
    parts:
      side: {pair: left and right, stock: pine, x: from 0, y: 0 to depth, z: 0 to height}
      front: {pair: front and back, stock: pine, x: left side to right side, y: from 0, z: 0 to height}
    joints:
      - screws: {through: side, into: front, size: 4 x 50, positions: [5, 75, 125]}

Good
    build123: 1
    piece: Seed box
    units: mm
    sizes: {width: 400, depth: 200, height: 150}
    stock:
      pine: {board: ponderosa pine, thickness: 20}
    parts:
      side: {pair: left and right, stock: pine, x: from 0, y: 0 to depth, z: 0 to height}
      front: {pair: front and back, stock: pine, x: left side to right side, y: from 0, z: 0 to height}
    joints:
      - screws: {through: side, into: front, size: 4 x 50, positions: [25, 75, 125]}
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from build123.checks.bores import axis_of, off_axis_mm
from build123.checks.fasteners import LEANS, Fastener, covered, fasteners, told_of
from build123.checks.registry import check
from build123.checks.seen import MEASURED_MM, Seen
from build123.checks.wording import face_towards, finding
from build123.model.frame import Vec, add, cross, dot, norm, scale, sub
from build123.model.measured import Beside, Driven
from build123.model.part import Part
from build123.problem import Finding, Severity
from build123.trade.tables import Rule, rules

HAIR_MM = 0.1
"""What a distance may lack before anyone would say so at the bench."""
UNDER_HEAD = 0.5
"""A hole that is drilled clear does not drive the wood apart: half is enough beside it (common practice)."""


@dataclass(frozen=True, slots=True)
class Short:
    """Too little wood: `has_mm` of `least_mm`, towards a direction of the piece, by a rule; `reach_mm` from the axis to where it ends.

    `out` where the fastener is in the air.
    """

    has_mm: float
    least_mm: float
    reach_mm: float
    towards: Vec
    driven: Driven
    rule: Rule
    out: bool

    @property
    def share(self) -> float:
        """How much of the least is there."""
        return self.has_mm / self.least_mm


@check(severity=Severity.error)
def find(seen: Seen) -> Iterator[Finding]:
    """One finding for each joint: its worst fastener; an error where the side of one is in the air."""
    for joint, ones in fasteners(seen):
        short: list[tuple[float, int, Short, Fastener]] = []
        for under in (False, True):
            short = short or [(found.share, n, found, one) for n, one in enumerate(ones) if (found := _worst(seen, one, under)) is not None]
        if not short:
            continue
        _, _, found, worst = min(short, key=lambda each: each[:2])
        part = seen.design.by_name[found.driven.part]
        face = f"{face_towards(part, part.placement.local_vector(found.towards))} of {part.name}"
        stands = "comes out of" if found.out else f"stands {seen.show(found.has_mm)} from"
        under_head = "of wood beside its hole " if found.driven is worst.through else ""
        least = "" if found.out else f"; {seen.show(found.least_mm)} {under_head}is the least"
        yield finding(
            __name__,
            Severity.error if found.out else Severity.warning,
            f"{told_of(worst, [one for *_, one in short])} {stands} the {face}{least}",
            seen,
            parts=dict.fromkeys((part.name, joint.member, joint.receiver)),
            joints=(joint,),
            at=found.driven.point,
            numbers={"has_mm": found.has_mm, "least_mm": found.least_mm},
            source=found.rule.cited,
        )


def _worst(seen: Seen, one: Fastener, under: bool) -> Short | None:
    """The direction with the least of what it asks for.

    Those that end at another hole are left to fastener-hits; where another part lies against the wood it cannot bulge.
    """
    driven = one.through if under else one.into
    if driven is None or (under and driven.part == one.receiver) or (not under and driven.bite_mm <= MEASURED_MM):
        return None
    part = seen.design.by_name[driven.part]
    found = [short for each in driven.beside if (short := _judged(part, one, driven, each, under)) is not None]
    found = [short for short in found if not _at_a_hole(seen, part, short) and not _backed(seen, short)]
    return min(found, key=lambda short: (short.out is False, short.share), default=None)


def _backed(seen: Seen, short: Short) -> bool:
    driven = short.driven
    middle = sub(driven.point, scale(driven.axis, driven.bite_mm / 2))
    return not short.out and covered(seen, driven.part, add(middle, scale(short.towards, short.reach_mm)), short.towards)


def _at_a_hole(seen: Seen, part: Part, short: Short) -> bool:
    """Whether the wood ends at a bore of the part: two lines, the one beside the axis and that of the bore, nearer than its radius."""
    axis = part.placement.local_vector(short.driven.axis)
    at = part.placement.local_point(add(short.driven.point, scale(short.towards, short.reach_mm)))
    for bore in seen.fit.shapes[seen.fit.shape_of[part.name]].bores:
        both = cross(axis, axis_of(bore))
        apart = abs(dot(sub(at, bore.base), both)) / norm(both) if norm(both) > 0.01 else off_axis_mm(at, bore.base, axis_of(bore))
        if bore.hollow and apart < bore.radius_mm + HAIR_MM:
            return True
    return False


def _judged(part: Part, one: Fastener, driven: Driven, each: Beside, under: bool) -> Short | None:
    """Too little wood in one direction, if it is."""
    has = reach = each.air_mm + each.wood_mm
    if under:
        if one.is_nail:
            return None
        rule = rules()["SCREW-EDGE"]
        least, has = UNDER_HEAD * rule.least * driven.diameter_mm, each.wood_mm
        return Short(has, least, reach, each.direction, driven, rule, has <= 0.0) if has < least - HAIR_MM else None
    ended = part.stock.kind == "board" and abs(dot(driven.axis, part.placement.x)) < LEANS
    along = abs(dot(each.direction, part.placement.x)) if ended else 0.0
    if along > LEANS:
        has *= along
    elif ended and along > math.sqrt(1 - LEANS**2):
        return None
    least, rule = _least(part, one, along > LEANS)
    thin = abs(dot(each.direction, part.placement.z))
    if part.stock.kind == "sheet" and thin > LEANS:
        has = has * thin + max(0.0, part.stock.judged_mm - part.thickness_mm) / 2
    out = has < driven.diameter_mm / 2 - MEASURED_MM
    return Short(has, least, reach, each.direction, driven, rule, out) if out or has < least - HAIR_MM else None


def _least(part: Part, one: Fastener, along: bool) -> tuple[float, Rule]:
    """The least distance of an axis from an edge or, along the grain, an end; nails by their side member, capped as for screws."""
    screw = rules()["SCREW-END" if along else "SCREW-EDGE"]
    if not one.is_nail:
        return screw.least * one.diameter_mm, screw
    nail = rules()["NAIL-END" if along else "NAIL-EDGE"]
    through = one.through.bite_mm if one.through is not None else 0.0
    return min(nail.least * through, screw.most * one.diameter_mm), nail
