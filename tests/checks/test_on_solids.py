"""Checks tried on damaged solids: what must speak, what must stay silent, and where the line between them is."""

from __future__ import annotations

from functools import cache

import pytest

from build123.kernel.damage import Damage, Shift, Thicken, Widen
from build123.kernel.store import Store
from build123.pipeline import compile_text

STORE = Store()

TRAY = """
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
  - JOINT
"""
DADO = "dado: {of: shelf, in: side, depth: 6, fit: FIT}"


@cache
def told(joint: str, *damage: Damage) -> frozenset[str]:
    made = compile_text(TRAY.replace("JOINT", joint), STORE, damage)
    assert made.fit is not None, [one.message for one in made.findings]
    return frozenset(one.id for one in made.findings)


@pytest.mark.parametrize("fit", ["press", "slip", "easy"])
def test_every_named_fit_is_silent_as_it_is_cut(fit: str) -> None:
    assert told(DADO.replace("FIT", fit)) == frozenset()


@pytest.mark.parametrize("by_mm", [-0.04, 0.04])
def test_a_shelf_may_sit_anywhere_in_its_clearance(by_mm: float) -> None:
    """A slip fit leaves 0.127 mm in all."""
    assert told(DADO.replace("FIT", "slip"), Shift("shelf", (0.0, 0.0, by_mm))) == frozenset()


@pytest.mark.parametrize(("by_mm", "spoken"), [(0.05, False), (0.09, True), (0.18, True)])
def test_a_shelf_thicker_than_its_clearance_allows_is_always_told(by_mm: float, spoken: bool) -> None:
    """0.127 mm of clearance less the lowest of a slip fit, 0.051 mm, leaves 0.076 mm."""
    assert ("housing-too-tight" in told(DADO.replace("FIT", "slip"), Thicken("shelf", by_mm))) is spoken


def test_a_twentieth_of_a_millimetre_of_shelf_in_the_wall_is_interference() -> None:
    """0.177 mm thicker than the stock: 0.05 mm more than the clearance."""
    assert {"parts-interfere", "housing-too-tight"} <= told(DADO.replace("FIT", "slip"), Thicken("shelf", 0.177))


def test_a_squeeze_beyond_a_press_fit_is_interference() -> None:
    assert "parts-interfere" not in told(DADO.replace("FIT", "press"), Thicken("shelf", 0.02))
    assert "parts-interfere" in told(DADO.replace("FIT", "press"), Thicken("shelf", 0.15))


def test_a_dado_cut_too_wide_is_loose() -> None:
    assert told(DADO.replace("FIT", "slip"), Widen("dado: shelf in left side", 0.4)) == {"housing-too-loose", "solid-differs-from-features"}


@pytest.mark.parametrize("stop", ["3/8 in from front", "20 from back"])
def test_a_stopped_dado_seats_on_its_shoulder(stop: str) -> None:
    stopped = f"dado: {{of: shelf, in: side, depth: 6, stop: {stop}}}"
    assert told(stopped) == frozenset()
    assert "seat-open" in told(stopped, Shift("shelf", (0.3, 0.0, 0.0)))
    assert "bottoms-out" in told(stopped, Thicken("shelf", 0.5, "+x"), Thicken("shelf", 0.5, "-x"))


def test_a_tongue_a_third_as_thick_as_its_shelf_is_ordinary_work() -> None:
    assert told("tongue: {of: shelf, in: side, thickness: 6, depth: 8}") == frozenset()


@pytest.mark.parametrize("by_mm", [0.05, 0.5, 2.0])
def test_dowels_moved_out_of_line_are_told_beyond_a_tenth_of_a_millimetre(by_mm: float) -> None:
    dowels = "dowels: {of: shelf, to: side, count: 3, diameter: 8, length: 30}"
    assert ("holes-out-of-line" in told(dowels, Shift("shelf", (0.0, by_mm, 0.0)))) is (by_mm > 0.1)
