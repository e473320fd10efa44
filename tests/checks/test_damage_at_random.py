"""Solids damaged by a random amount: beyond the limit that a check states it always speaks, before it never, and no other does."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from build123.checks.seen import MEASURED_MM
from build123.kernel import Store
from build123.kernel.damage import Damage, DrillAgain, Fill, Shift, Thicken, Turn, Widen
from build123.pipeline import compile_text

NAIL_BOX = """\
build123: 1
piece: Nail box
units: mm
sizes: {width: 300, depth: 160, height: 200}
stock:
  ply: {sheet: birch plywood, thickness: 18}
  thin: {sheet: birch plywood, thickness: 6}
parts:
  side: {pair: left and right, stock: ply, x: from 0, y: 0 to depth, z: 0 to top}
  shelf: {stock: ply, x: left side to right side, y: 0 to back, z: from 40}
  rail: {stock: ply, x: left side to right side, y: from 60, z: up to top for 60}
  back: {stock: thin, x: left side to right side, y: up to depth, z: 0 to top}
  top: {stock: ply, x: 0 to width, y: 0 to depth, z: up to height}
joints:
  - dado: {of: shelf, in: side, depth: 6}
  - dowels: {of: rail, to: side, count: 2, diameter: 8, length: 30, ends: 15}
  - rabbet: {of: back, in: side, depth: 9, gap: 1}
  - glued: {of: back, to: shelf}
  - screws: {through: top, into: side, size: 4 x 50, count: 2}
  - rests: {of: top, upon: [rail, back]}
"""
"""Every kind of joint that a limit is stated for: a dado, a rabbet with air at its ends, dowels, screws, and faces that bear."""

SLIP_MM, SLIP_LOW_MM, SLIP_HIGH_MM = 0.127, 0.0508, 0.254
"""0.005 in of clearance, 0.002 to 0.010 in accepted (DADO-FIT, common practice)."""
SEAT_MM = 0.01
"""A seat touches within this (common practice)."""
LINE_MM = 0.1
"""Holes of a dowel out of line at most (HOLE-LINE, common practice)."""
SCREW_PLAY_MM = (4.5 - 4.0) / 2
"""What a 4 mm screw has each way in its clearance hole of 4.5 mm."""
HEAD_MM = 0.1
"""A countersunk head lies this far below the face and stands as far off its cone, so a top that moves further meets it
(common practice)."""
OPPOSED_DEG = math.degrees(1e-4)
"""Faces turned by more than 0.1 mm in a metre no longer bear on each other."""
TELLS_ANY_DAMAGE = "solid-differs-from-features"
"""It compares a solid with its own features, so wood added or taken away always sets it off; it says nothing of the fit."""


@dataclass(frozen=True)
class Case:
    """A damage of a size, mm or degrees, from `least` to `most`; each id speaks beyond its limit and not before it.

    `also` are ids that may speak beyond theirs and never before.
    """

    name: str
    damage: Callable[[float], Damage]
    least: float
    most: float
    limits: Mapping[str, float]
    also: Mapping[str, float] = field(default_factory=dict)

    def drawn(self, share: float) -> float:
        """A size by its share of the range on a scale of powers; within a fiftieth of a limit it is moved beyond that."""
        size = self.least * (self.most / self.least) ** share
        for limit in (*self.limits.values(), *self.also.values()):
            near = 0.02 * limit + 0.0006
            if abs(size - limit) < near:
                size = limit + near
        return size


FAR_OFF = {"contact-missing": 0.4, "parts-interfere": 0.4, "housing-too-tight": 0.4, "housing-too-loose": 0.4}
"""Half a millimetre off, a face is no longer taken for the one that was meant, and what else is told depends on what lies there."""

CASES = [
    *(
        Case(
            f"shelf moved {word} in its dados",
            lambda mm, way=way: Shift("shelf", (0.0, 0.0, way * mm)),
            0.005,
            5.0,
            {"parts-interfere": SLIP_MM / 2 + MEASURED_MM},
            FAR_OFF,
        )
        for word, way in (("up", 1.0), ("down", -1.0))
    ),
    *(
        Case(
            f"shelf moved to the {word}",
            lambda mm, way=way: Shift("shelf", (way * mm, 0.0, 0.0)),
            0.0001,
            0.35,
            {"parts-interfere": MEASURED_MM, "seat-open": SEAT_MM + MEASURED_MM},
        )
        for word, way in (("right", 1.0), ("left", -1.0))
    ),
    Case("shelf turned to lean forward", lambda deg: Turn("shelf", (1.0, 0.0, 0.0), deg), 0.0005, 0.3, {"contact-missing": OPPOSED_DEG}, {"parts-interfere": 0.02}),
    Case("shelf turned to lean sideways", lambda deg: Turn("shelf", (0.0, 1.0, 0.0), deg), 0.0005, 0.3, {"contact-missing": OPPOSED_DEG}, {"parts-interfere": 0.02}),
    Case(
        "a thicker shelf",
        lambda mm: Thicken("shelf", mm),
        0.002,
        0.4,
        {
            "part-exceeds-stock": 0.01,
            "parts-interfere": SLIP_MM / 2 + MEASURED_MM,
            "housing-too-tight": SLIP_MM - SLIP_LOW_MM + MEASURED_MM,
        },
    ),
    Case("a thinner shelf", lambda mm: Thicken("shelf", -mm), 0.005, 0.35, {"housing-too-loose": SLIP_HIGH_MM - SLIP_MM + MEASURED_MM}),
    Case("a dado cut wide", lambda mm: Widen("dado: shelf in left side", mm), 0.005, 0.6, {"housing-too-loose": SLIP_HIGH_MM - SLIP_MM + MEASURED_MM}),
    Case(
        "a dado cut narrow",
        lambda mm: Widen("dado: shelf in left side", -mm),
        0.005,
        0.6,
        {"housing-too-tight": SLIP_MM - SLIP_LOW_MM + MEASURED_MM, "parts-interfere": SLIP_MM + 2 * MEASURED_MM},
    ),
    Case("top held off its sides", lambda mm: Shift("top", (0.0, 0.0, mm)), 0.001, 0.4, {"seat-open": SEAT_MM + MEASURED_MM}, {"parts-interfere": HEAD_MM}),
    Case("top moved along its screws", lambda mm: Shift("top", (0.0, mm, 0.0)), 0.01, 2.0, {"holes-out-of-line": SCREW_PLAY_MM}, {"parts-interfere": HEAD_MM}),
    Case("rail moved along its dowels", lambda mm: Shift("rail", (0.0, mm, 0.0)), 0.005, 1.0, {"holes-out-of-line": LINE_MM}),
    Case("back moved in its rabbets", lambda mm: Shift("back", (mm, 0.0, 0.0)), 0.05, 3.0, {"parts-interfere": 1.0 + MEASURED_MM}),
    Case("one hole too many", lambda mm: DrillAgain("left side", (18.0, 100.0, 100.0), (-1.0, 0.0, 0.0), 7.0, mm), 3.0, 25.0, {"hole-breaks-out": 18.0}),
]  # fmt: skip

STORE = Store()
SHARES = st.floats(0.0, 1.0)
FEW = settings(max_examples=3, deadline=None, suppress_health_check=[HealthCheck.too_slow])
MANY = settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])


def told(*damage: Damage) -> set[str]:
    """The ids of what is found on the damaged nail box."""
    made = compile_text(NAIL_BOX, STORE, damage)
    assert made.fit is not None, [one.message for one in made.findings]
    return {one.id for one in made.findings}


def is_told_beyond_its_limits_alone(case: Case, size: float) -> None:
    damage = case.damage(size)
    found = told(damage)
    if not isinstance(damage, (Shift, Turn)):
        found.discard(TELLS_ANY_DAMAGE)
    must = {id for id, limit in case.limits.items() if size > limit}
    may = must | {id for id, limit in case.also.items() if size > limit}
    assert must <= found <= may, f"{case.name}: {size:g}"


def test_the_box_itself_has_no_finding() -> None:
    assert told() == set()


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
@FEW
@given(SHARES)
def test_damage_is_told_beyond_its_limit_and_never_before(case: Case, share: float) -> None:
    is_told_beyond_its_limits_alone(case, case.drawn(share))


@pytest.mark.nightly
@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
@MANY
@given(SHARES)
def test_many_damages_are_told_beyond_their_limits(case: Case, share: float) -> None:
    is_told_beyond_its_limits_alone(case, case.drawn(share))


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_just_before_and_just_beyond_the_first_limit(case: Case) -> None:
    first = min(case.limits.values())
    for size in (first - 0.02 * first - 0.0004, first + 0.02 * first + 0.0006):
        is_told_beyond_its_limits_alone(case, size)


@pytest.mark.parametrize(
    ("uncut", "ids"),
    [
        (Fill("dado: shelf in left side"), {"contact-missing", "parts-interfere"}),
        (Fill("rabbet: back in right side"), {"contact-missing", "parts-interfere"}),
        (Fill("dowels: rail to left side", "left side"), {"holes-out-of-line", "parts-interfere"}),
        (Fill("dowels: rail to left side", "rail"), {"holes-out-of-line", "parts-interfere"}),
        (Fill("screws: top into left side", "top"), {"holes-out-of-line", "parts-interfere"}),
    ],
    ids=lambda case: case.feature + " " + case.part if isinstance(case, Fill) else "",
)
def test_what_was_never_cut_is_told(uncut: Fill, ids: set[str]) -> None:
    found = told(uncut)
    assert ids <= found <= ids | {TELLS_ANY_DAMAGE, "seat-open", "too-few-dowels"}
