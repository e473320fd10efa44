"""Which measured cylinders answer to an expected bore."""

from __future__ import annotations

from build123.contacts.fitted import Fitted
from build123.model.design import Expect
from build123.model.frame import Vec, cross, dot, norm, sub
from build123.model.measured import BoreGap

REACH_MM = 5.0
"""How far from its place a hole may lie and still be the one that was meant; well under any pitch of dowels."""


def off_axis_mm(point: Vec, base: Vec, axis: Vec) -> float:
    """Distance of a point from a line; `axis` is a unit vector."""
    return norm(cross(sub(point, base), axis))


def bore_gap(seen: Fitted, expect: Expect) -> BoreGap | None:
    """The measured pair of cylinders that an expected bore speaks of: the one nearest to its axis."""
    reach = expect.near.grown(REACH_MM)
    found = [gap for gap in seen.bore_gaps(expect.a, expect.b) if abs(dot(gap.axis, expect.direction)) > 0.99 and reach.holds(gap.at)]
    return min(found, key=lambda gap: off_axis_mm(gap.at, expect.near.middle, expect.direction), default=None)
