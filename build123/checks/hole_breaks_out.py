"""A hole comes out where it should not.

A drilled hole is open along its side, or a hole that should have a floor comes out of the far face. Both are measured on
the solid; the plan only tells which holes are meant to be whole. A screw's hole that another hole or a trench crosses is told
by fastener-hits.

Why
    A hole that breaks out shows, splits the edge, and does not hold its dowel or screw.
    Source: common practice

Change
    Move the hole away from the edge, drill a smaller or a shallower one, or use a shorter dowel.

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
    damage: drill front at 200 2 80 towards 0 0 -1 diameter 8 depth 12

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

from build123.checks.bores import axis_of, hole_line, off_axis_mm, planned_hole, rounded_on_purpose
from build123.checks.fasteners import FOR_SCREWS
from build123.checks.registry import check
from build123.checks.seen import Seen
from build123.checks.wording import all_alike, face_towards, finding
from build123.model.feature import Hole
from build123.model.frame import Box, cross, dot, norm, sub
from build123.model.measured import Bore, ShapeFacts
from build123.model.part import Part
from build123.problem import Finding, Severity

WHOLE = 0.999
"""Share of a cylinder's surface from which on it is whole; the rest is rounding of its area."""
SHORT_MM = 0.01
"""A bore that ends this much before its planned floor has lost it."""


@check(severity=Severity.error)
def find(seen: Seen) -> Iterator[Finding]:
    """One finding for each broken hole of each distinct shape."""
    for facts, parts in seen.shapes:
        part = parts[0]
        for_screws = [bore for bore in facts.bores if bore.hollow and _for_a_screw(part, bore)]
        for n, bore in enumerate(facts.bores):
            if not bore.hollow or _left_to_fasteners(facts, n, for_screws):
                continue
            fault = _fault(part, bore, facts.box)
            if fault is None:
                continue
            feature = planned_hole(part, bore)
            label = feature.about.label if feature is not None and feature.about.label else "hole"
            yield finding(
                __name__,
                Severity.error,
                f"a {label} of {seen.show(2 * bore.radius_mm)} in {all_alike(parts)} {fault}",
                seen,
                parts=[one.name for one in parts],
                joints=[joint for joint in seen.design.joints if feature is not None and joint.id == feature.about.joint],
                at=part.placement.point(bore.tip),
                numbers={"whole": bore.whole, "radius_mm": bore.radius_mm},
            )


def _for_a_screw(part: Part, bore: Bore) -> bool:
    feature = planned_hole(part, bore)
    return feature is not None and feature.about.purpose in FOR_SCREWS


def _left_to_fasteners(facts: ShapeFacts, index: int, for_screws: list[Bore]) -> bool:
    """Whether a hole is only open where a screw's hole crosses it, or is such a hole and not open at a face along it."""
    bore = facts.bores[index]
    if any(wall.bore == index and wall.kind == "beside" and wall.wall_mm < 0 for wall in facts.bore_walls):
        return False
    return bore in for_screws or any(_cross(bore, other) for other in for_screws)


def _cross(one: Bore, other: Bore) -> bool:
    """Whether the axes of two bores pass each other nearer than their radii."""
    both = cross(axis_of(one), axis_of(other))
    between = sub(other.base, one.base)
    apart = abs(dot(between, both)) / norm(both) if norm(both) > 0.01 else off_axis_mm(other.base, one.base, axis_of(one))
    return apart < one.radius_mm + other.radius_mm and Box.around([one.base, one.tip]).grown(one.radius_mm).meets(
        Box.around([other.base, other.tip]).grown(other.radius_mm)
    )


def _fault(part: Part, bore: Bore, box: Box) -> str | None:
    feature = planned_hole(part, bore)
    hole = feature.geometry if feature is not None and isinstance(feature.geometry, Hole) else None
    if bore.whole < WHOLE and not rounded_on_purpose(part, bore):
        return f"is open along its side: {100 * (1 - bore.whole):.3g} % of its wall is missing"
    if hole is None:
        return _comes_out(part, bore, box) if not rounded_on_purpose(part, bore) else None
    if hole.through or hole.slot != (0.0, 0.0) or abs(2 * bore.radius_mm - hole.steps[-1].diameter_mm) > SHORT_MM:
        return None
    start, axis = hole_line(hole)
    deepest = max((bore.base, bore.tip), key=lambda end: dot(sub(end, start), axis))
    if dot(sub(deepest, start), axis) < hole.steps[-1].depth_mm - SHORT_MM:
        return f"comes out of the {face_towards(part, axis)} before its floor"
    return None


def _comes_out(part: Part, bore: Bore, box: Box) -> str | None:
    """A hole that no plan speaks of: whether both its ends lie on the outside of the blank, and no through hole is like it."""
    inside = box.grown(-SHORT_MM)
    if inside.holds(bore.base) or inside.holds(bore.tip):
        return None
    for feature in part.features:
        hole = feature.geometry
        if isinstance(hole, Hole) and hole.through and any(abs(step.diameter_mm / 2 - bore.radius_mm) <= SHORT_MM for step in hole.steps):
            return None
    return f"comes out of the {face_towards(part, axis_of(bore))}"
