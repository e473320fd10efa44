"""Joints in the report: what each fit expects beside what was measured on the solids."""

from __future__ import annotations

from typing import Any

from typing_extensions import assert_never

from build123.checks.bores import bore_gap
from build123.checks.facing import facing, play
from build123.checks.seen import Seen
from build123.exports.figures import box, direction, figure, figure_or_none, point
from build123.exports.report_places import Places
from build123.exports.report_reasons import Reasons
from build123.model.design import Expect, ExpectKind, Joint


def joint_data(joint: Joint, seen: Seen, reasons: Reasons, places: Places) -> dict[str, Any]:
    """One joint with its sizes and fits."""
    return {
        "id": joint.id,
        "kind": joint.kind,
        "member": joint.member,
        "receiver": joint.receiver,
        "opens": None if joint.opens is None else direction(joint.opens),
        "rests": joint.rests,
        "sizes": [{"name": size.name, "why": reasons.index(size.why), "default": size.default} for size in joint.sizes],
        "fits": [_fit(expect, seen) for expect in joint.expects],
        "place": places.of(joint.span),
    }


def _fit(expect: Expect, seen: Seen) -> dict[str, Any]:
    return {
        "kind": expect.kind.value,
        "member": expect.a,
        "more": list(expect.more),
        "receiver": expect.b,
        "what": expect.what,
        "fit": expect.fit,
        "glued": expect.glued,
        "glued_mm": figure_or_none(expect.glued_mm),
        "shoulder": expect.shoulder,
        "direction": direction(expect.direction),
        "near": box(expect.near),
        "low_mm": figure(expect.low_mm),
        "high_mm": figure(expect.high_mm),
        "nominal_mm": figure(expect.nominal_mm),
        "measured": measured(expect, seen),
    }


def measured(expect: Expect, seen: Seen) -> dict[str, Any] | None:
    """What was found on the solids, None where nothing was. `mm` is what `low_mm` to `high_mm` speaks of: the gap, the sum of
    the opposed gaps, or how far two bores are out of line."""
    match expect.kind:
        case ExpectKind.seat | ExpectKind.gap:
            face = facing(seen, expect)
            return None if face is None else {"mm": figure(face.gap_mm), "at": point(face.at), "area_mm2": figure(face.area_mm2)}
        case ExpectKind.clearance:
            found = play(seen, expect)
            if found is None:
                return None
            return {"mm": figure(found.total_mm), "at": point(found.at), "gaps_mm": [figure(gap.gap_mm) for gap in found.gaps]}
        case ExpectKind.bore:
            bore = bore_gap(seen, expect)
            if bore is None:
                return None
            return {
                "mm": figure(bore.offset_mm),
                "at": point(bore.at),
                "diameters_mm": [figure(2 * bore.radius_a_mm), figure(2 * bore.radius_b_mm)],
                "depths_mm": [figure(bore.depth_a_mm), figure(bore.depth_b_mm)],
            }
        case _:
            assert_never(expect.kind)
