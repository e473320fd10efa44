"""From what difference in thickness on a part's files no longer fit."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from build123.model.design import Design, Expect, ExpectKind, Joint
from build123.model.frame import dot
from build123.model.part import Part, Stock

STEP_MM = 0.01
"""What a calliper reads; the limit is rounded down to it."""


@dataclass(frozen=True, slots=True)
class Hangs:
    """A stock that fits of a part hang on: `within_mm` is how much it may differ, `fit` the tightest one's name."""

    stock: Stock
    within_mm: float
    fit: str


def housed(design: Design) -> list[tuple[Joint, Expect, Part]]:
    """Every pair of walls about a part's thickness, with its joint and that part."""
    found = []
    for joint in design.joints:
        for expect in joint.expects:
            member = design.by_name.get(expect.a)
            if member is not None and expect.kind is ExpectKind.clearance and abs(dot(expect.direction, member.placement.z)) > 1 - 1e-6:
                found.append((joint, expect, member))
    return found


def hangs_on(design: Design, parts: Sequence[Part]) -> list[Hangs]:
    """The stocks whose thickness the fits of equal parts hang on, each with the least room that is left to it."""
    names = {part.name for part in parts}
    found: dict[str, Hangs] = {}
    for _, expect, member in housed(design):
        if not names & {expect.a, expect.b}:
            continue
        room = min(expect.nominal_mm - expect.low_mm, expect.high_mm - expect.nominal_mm)
        within = max(0.0, math.floor(room / STEP_MM + 1e-6) * STEP_MM)
        known = found.get(member.stock.name)
        if known is None or within < known.within_mm:
            found[member.stock.name] = Hangs(member.stock, within, expect.fit)
    return list(found.values())
