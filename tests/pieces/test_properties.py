"""Whatever the sizes: at nominal fit nothing collides and everything engages; damaged beyond its clearance it is always found."""

from __future__ import annotations

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from build123.kernel.damage import Shift, Thicken
from build123.kernel.store import Store
from build123.pipeline import compile_text
from build123.problem import Severity

QUICK = settings(max_examples=12, deadline=None, suppress_health_check=[HealthCheck.too_slow])
SWEEP = settings(max_examples=200, deadline=None, suppress_health_check=[HealthCheck.too_slow])
SLIP_HIGH = 0.254
"""0.010 in: the loosest slip fit (DADO-FIT, common practice)."""


def spec(width: float, depth: float, thickness: float, share: float, shelves: int, stop: bool, units: str) -> str:
    unit = 25.4 if units == "in" else 1.0
    stops = f", stop: {10 / unit:.6f} from front" if stop else ""
    return f"""\
build123: 1
piece: Case
units: {units}
sizes: {{width: {width / unit:.6f}, depth: {depth / unit:.6f}, height: {(shelves + 1) * 150 / unit:.6f}}}
stock: {{ply: {{sheet: birch plywood, thickness: {thickness / unit:.6f}}}}}
parts:
  side: {{pair: left and right, stock: ply, x: from 0, y: 0 to depth, z: 0 to height}}
  shelf: {{stock: ply, x: left side to right side, y: 0 to depth, z: {shelves} evenly 0 to height}}
joints:
  - dado: {{of: shelf, in: side, depth: {thickness * share / unit:.6f}{stops}}}
"""


CASES = st.builds(
    spec,
    width=st.floats(200, 1200),
    depth=st.floats(80, 600),
    thickness=st.floats(6, 40),
    share=st.floats(0.2, 0.5),
    shelves=st.integers(2, 5),
    stop=st.booleans(),
    units=st.sampled_from(["mm", "in"]),
)


def nothing_collides(text: str) -> None:
    made = compile_text(text)
    assert made.fit is not None
    assert [(f.id, f.message) for f in made.findings if f.severity is Severity.error] == [], text
    assert made.fit.overlaps == ()
    for facts in made.fit.shapes.values():
        assert abs(facts.volume_mm3 - facts.union_volume_mm3) <= 1e-6 * facts.volume_mm3


@QUICK
@given(CASES)
def test_random_cases_go_together(text: str) -> None:
    nothing_collides(text)


@pytest.mark.nightly
@SWEEP
@given(CASES)
def test_many_random_cases_go_together(text: str) -> None:
    nothing_collides(text)


PLAIN = spec(500, 200, 18, 1 / 3, 2, False, "mm")
STORE = Store()


@QUICK
@given(st.floats(SLIP_HIGH + 0.01, 3.0))
def test_a_shelf_thicker_than_its_dado_is_always_found(more: float) -> None:
    ids = {f.id for f in compile_text(PLAIN, STORE, damage=(Thicken("shelf 1", more),)).findings}
    assert ids & {"parts-interfere", "housing-too-tight"}


@QUICK
@given(st.floats(0.001, 0.06))  # the shelf lies in the middle: half of 0.127 mm is free above it
def test_within_the_clearance_it_still_goes_in(more: float) -> None:
    found = compile_text(PLAIN, STORE, damage=(Thicken("shelf 1", more),)).findings
    assert "parts-interfere" not in {f.id for f in found}


@QUICK
@given(st.floats(0.2, 3.0), st.sampled_from([-1, 1]), st.sampled_from([0, 2]))
def test_a_shelf_out_of_its_place_is_always_found(by: float, sign: int, axis: int) -> None:
    shift = tuple(sign * by if k == axis else 0.0 for k in range(3))
    found = compile_text(PLAIN, STORE, damage=(Shift("shelf 1", shift),)).findings  # type: ignore[arg-type]
    assert any(f.severity is Severity.error for f in found)
