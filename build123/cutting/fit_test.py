"""A piece to try a fit on before the real parts are cut: open slots a tenth of a millimetre apart."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from build123.cutting.operation import Clear, Cleared
from build123.cutting.shapes import QUARTER
from build123.cutting.thickness import housed
from build123.model.design import Design
from build123.model.feature import Outline, Trench, Vertex
from build123.model.frame import Vec2
from build123.model.part import Stock
from build123.trade.cutters import Cutter

STEP_MM = 0.1
STEPS = 3
"""To each side of the fit as drawn: from three tenths less to three tenths more."""
SLOT_MM = 40.0
"""How far a slot runs in from the edge: enough to feel how an offcut slides (common practice)."""
BEHIND_MM = 20.0
BETWEEN_MM = 14.0
PITCH_MM = 26.0
"""The least from slot to slot, so that the figures below have room."""
BELOW_MM = 55.0
"""Between two pieces: overrun, figures, a line of text."""


@dataclass(frozen=True, slots=True)
class Slot:
    """One slot: its width, the clearance it leaves about what is housed as measured, and its middle at the open edge."""

    width_mm: float
    clearance_mm: float
    at: Vec2


@dataclass(frozen=True, slots=True)
class Trial:
    """The piece for one stock that is housed. `receiver` is the stock to cut it from."""

    member: Stock
    receiver: Stock
    fit: str
    slots: tuple[Slot, ...]
    low: Vec2
    high: Vec2
    operations: tuple[Cleared, ...]


def fit_test(design: Design, cutters: Sequence[Cutter]) -> tuple[Trial, ...]:
    """A piece for each stock that is housed by its thickness, about the tightest of its fits, one below the other."""
    tightest: dict[str, tuple[float, Stock, Stock, str, Trench]] = {}
    for joint, expect, member in housed(design):
        receiver = design.by_name[expect.b]
        trench = next((f.geometry for f in receiver.features if f.about.joint == joint.id and isinstance(f.geometry, Trench)), None)
        known = tightest.get(member.stock.name)
        if trench is not None and (known is None or expect.nominal_mm < known[0]):
            tightest[member.stock.name] = (expect.nominal_mm, member.stock, receiver.stock, expect.fit, trench)
    made: list[Trial] = []
    for clearance, stock, receiver_stock, fit, trench in tightest.values():
        low = (0.0, made[-1].low[1] - SLOT_MM - BEHIND_MM - BELOW_MM if made else 0.0)
        made.append(_trial(clearance, stock, receiver_stock, fit, trench, low, cutters))
    return tuple(made)


def _trial(clearance: float, stock: Stock, receiver: Stock, fit: str, trench: Trench, low: Vec2, cutters: Sequence[Cutter]) -> Trial:
    steps = [n for n in range(-STEPS, STEPS + 1) if trench.width_mm + n * STEP_MM > STEP_MM]
    widths = [trench.width_mm + n * STEP_MM for n in steps]
    cutter = next((one for one in cutters if one.diameter_mm <= widths[0]), None)
    radius = cutter.radius_mm if cutter else widths[0] / 2
    pitch = max(PITCH_MM, trench.width_mm + BETWEEN_MM)
    high = (low[0] + pitch * len(steps), low[1] + SLOT_MM + BEHIND_MM)
    slots = tuple(
        Slot(width, clearance + n * STEP_MM, (low[0] + pitch * (k + 0.5), low[1]))
        for k, (n, width) in enumerate(zip(steps, widths, strict=True))
    )
    rings = tuple(_slot(slot, radius) for slot in slots)
    corners = (Vertex(*low), Vertex(high[0], low[1]), Vertex(*high), Vertex(low[0], high[1]))
    depth = min(trench.depth_mm, receiver.thickness_mm / 2)
    cut = tuple(Cleared(Clear.trench, depth, False, (ring,), radius, False, cutter) for ring in rings)
    free = Cleared(Clear.outline, receiver.thickness_mm, True, (corners,), None, False, cutters[0] if cutters else None)
    return Trial(stock, receiver, fit, slots, low, high, (*cut, free))


def _slot(slot: Slot, radius: float) -> Outline:
    """Open at the lower edge, past it by the cutter's radius; round corners at its end."""
    (x, y), half = slot.at, slot.width_mm / 2
    top = y + SLOT_MM
    ring = (
        Vertex(x - half, y - radius),
        Vertex(x + half, y - radius),
        Vertex(x + half, top - radius, QUARTER),
        Vertex(x + half - radius, top),
        Vertex(x - half + radius, top, QUARTER),
        Vertex(x - half, top - radius),
    )
    return tuple(a for a, b in zip(ring, (*ring[1:], ring[0]), strict=True) if math.hypot(a.x - b.x, a.y - b.y) > 1e-6)
