"""Which measured cylinders answer to an expected bore or to a drilled hole of the plan."""

from __future__ import annotations

from typing_extensions import assert_never

from build123.checks.seen import Seen
from build123.contacts.cylinders import REACH_MM, bore_gap, off_axis_mm
from build123.model.design import Expect
from build123.model.feature import EndKind, Feature, Hole, Mark, Outline, Pocket, Profile, Trench, Trim
from build123.model.frame import Box, Vec, dot, norm, sub, unit
from build123.model.measured import Bore, ShapeFacts
from build123.model.part import Part

__all__ = ["axis_of", "bore_gap", "expected_bores", "hole_line", "off_axis_mm", "planned_hole", "rounded_on_purpose"]

SAME_RADIUS_MM = 0.01
ON_AXIS_MM = 0.05
"""A measured bore within this of a planned axis is that hole, drilled where it was meant."""


def axis_of(bore: Bore) -> Vec:
    """The unit vector from base to tip."""
    return unit(sub(bore.tip, bore.base))


def expected_bores(seen: Seen, part: Part, facts: ShapeFacts) -> dict[int, Expect]:
    """The measured holes of one part that expected bores speak of, by index in `facts.bores`."""
    found: dict[int, Expect] = {}
    for expect in seen.bores_expected.get(part.name, ()):
        axis, middle = part.placement.local_vector(expect.direction), part.placement.local_point(expect.near.middle)
        best: tuple[float, int] | None = None
        for n, bore in enumerate(facts.bores):
            reach = Box.around([bore.base, bore.tip]).grown(bore.radius_mm + REACH_MM)
            if not bore.hollow or not reach.holds(middle) or abs(dot(axis_of(bore), axis)) < 0.99:
                continue
            off = off_axis_mm(middle, bore.base, axis_of(bore))
            if off <= REACH_MM and (best is None or off < best[0]):
                best = (off, n)
        if best is not None:
            found[best[1]] = expect
    return found


def planned_hole(part: Part, bore: Bore) -> Feature | None:
    """The drilled hole of the plan that this measured cylinder is, if it lies where that was meant."""
    for feature in part.features:
        hole = feature.geometry
        if not isinstance(hole, Hole):
            continue
        base, axis = hole_line(hole)
        radii = [step.diameter_mm / 2 for step in hole.steps]
        if (
            any(abs(radius - bore.radius_mm) <= SAME_RADIUS_MM for radius in radii)
            and abs(dot(axis_of(bore), axis)) > 0.9999
            and off_axis_mm(bore.base, base, axis) <= ON_AXIS_MM + norm((*hole.slot, 0.0)) / 2
        ):
            return feature
    return None


def hole_line(hole: Hole) -> tuple[Vec, Vec]:
    """Where a planned hole starts on its surface, and its direction into the wood, on the bench."""
    return hole.datum.frame.point((hole.point[0], hole.point[1], 0.0)), unit(hole.datum.frame.vector(hole.axis))


def rounded_on_purpose(part: Part, bore: Bore) -> bool:
    """Whether some feature leaves part of a cylinder of this radius: a round end, an arc, a slot, a leaning hole."""
    return any(abs(radius - bore.radius_mm) <= SAME_RADIUS_MM for feature in part.features for radius in _part_round(feature))


def _part_round(feature: Feature) -> list[float]:
    match feature.geometry:
        case Trench(start_end=first, end_end=second):
            return [end.radius_mm for end in (first, second) if end.kind in (EndKind.round, EndKind.scoop)]
        case Pocket(outline=outline, islands=islands, far_outline=far):
            return [radius for one in (outline, *islands, far or ()) for radius in _arcs(one)]
        case Profile(section=section):
            return _arcs(section)
        case Hole(steps=steps, slot=slot, axis=axis):
            return [step.diameter_mm / 2 for step in steps] if slot != (0.0, 0.0) or axis != (0.0, 0.0, -1.0) else []
        case Trim() | Mark():
            return []
        case other:
            assert_never(other)


def _arcs(outline: Outline) -> list[float]:
    following = (*outline[1:], *outline[:1])
    return [
        norm((b.x - a.x, b.y - a.y, 0.0)) * (1 + a.bulge**2) / (4 * abs(a.bulge))
        for a, b in zip(outline, following, strict=True)
        if a.bulge
    ]
