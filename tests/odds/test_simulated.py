"""Closed forms and sums beside 100,000 pieces made up at random (fixed seed), agreeing within half in a hundred."""

from __future__ import annotations

import math

import numpy as np
import pytest

from build123.odds.fits import Fit, Run, Source, stack
from build123.odds.runs import all_close, all_near
from build123.odds.together import alone, together

TRIALS = 100_000
AGREE = 0.005


@pytest.fixture
def rng() -> np.random.Generator:
    return np.random.default_rng(20240229)


@pytest.mark.parametrize("count", [1, 2, 3, 7])
@pytest.mark.parametrize("sigma", [0.03, 0.06, 0.1])
def test_a_run_that_is_held_needs_every_pair_within_the_play(count: int, sigma: float, rng: np.random.Generator) -> None:
    off = rng.normal(0.0, sigma, (TRIALS, count))
    assert all_near((0.0,) * count, sigma, 0.1) == pytest.approx((np.abs(off) <= 0.1).all(axis=1).mean(), abs=AGREE)


@pytest.mark.parametrize("offsets", [(0.0, 0.0), (0.0, 0.0, 0.0), (0.0,) * 7, (0.05, 0.0), (0.08, -0.03, 0.02)])
@pytest.mark.parametrize("sigma", [0.03, 0.06, 0.1])
def test_a_run_that_can_be_pushed_needs_its_pairs_close_together(
    offsets: tuple[float, ...], sigma: float, rng: np.random.Generator
) -> None:
    off = rng.normal(offsets, sigma, (TRIALS, len(offsets)))
    goes = (off.max(axis=1) - off.min(axis=1) <= 0.2).mean()
    assert all_close(offsets, sigma, 0.1) == pytest.approx(goes, abs=AGREE)


def test_two_pins_by_hand() -> None:
    """The difference of two offsets has sigma x root 2; twice the play of 0.1 at sigma 0.06 is 2.357 of that: 0.98158 (table)."""
    assert all_close((0.0, 0.0), 0.06, 0.1) == pytest.approx(math.erf(0.2 / (0.06 * math.sqrt(2)) / math.sqrt(2)), abs=1e-7)
    assert all_close((0.0, 0.0), 0.06, 0.1) == pytest.approx(0.98158, abs=2e-4)


def test_a_single_pin_always_goes_in_unless_the_parts_are_held() -> None:
    assert all_close((0.3,), 0.06, 0.1) == 1.0
    assert all_near((0.3,), 0.06, 0.1) < 0.001


def test_runs_of_one_bit_share_its_diameter(rng: np.random.Generator) -> None:
    bit, marks = Source(("bit",), "bit", 0.3), [Source(("marks", str(n)), "marking", 0.25) for n in range(4)]
    runs: list[Fit] = [Run(str(n), "holes", (), (0.0,) * 3, 0.1, mark, bit) for n, mark in enumerate(marks)]
    wider = rng.normal(0.0, 0.3 / 6, TRIALS)
    off = rng.normal(0.0, 0.25 / 6, (TRIALS, 4, 3)) - rng.normal(0.0, 0.25 / 6, (TRIALS, 4, 3))
    goes = off.max(axis=2) - off.min(axis=2) <= 2 * (0.1 + wider)[:, None]
    assert alone(runs[0]) == pytest.approx(goes[:, 0].mean(), abs=AGREE)
    assert together(runs) == pytest.approx(goes.all(axis=1).mean(), abs=AGREE)
    assert together(runs) > math.prod(map(alone, runs)) + 2 * AGREE


SHEET, CUTTER, OTHER = (Source((name,), name, 0.3) for name in ("sheet", "cutter", "other cutter"))


def housings(places: int, ends: int = 2) -> list[Fit]:
    """Parts of one sheet, each with its own place in it, two ends in housings of one cutter, every third in another's."""
    fits: list[Fit] = []
    for n in range(places):
        place, cutter = Source(("place", str(n)), "place", 0.2), OTHER if n % 3 == 2 else CUTTER
        terms = [(SHEET, -1.0), (place, -1.0), (cutter, 1.0)]
        fits += [stack(f"{n}.{end}", "walls", (), (0.12 + 0.02 * end, 0.0, 0.27), terms) for end in range(ends)]
    return fits


@pytest.mark.parametrize("places", [1, 2, 3, 6, 12])
def test_housings_that_share_sheet_place_and_cutter(places: int, rng: np.random.Generator) -> None:
    fits = housings(places)
    sheet, cutter, other = rng.normal(0.0, 0.05, (3, TRIALS))
    goes = np.ones(TRIALS, dtype=bool)
    for n in range(places):
        place = rng.normal(0.0, 0.2 / 6, TRIALS)
        for end in range(2):
            gap = 0.12 + 0.02 * end - sheet - place + (other if n % 3 == 2 else cutter)
            goes &= (gap >= 0.0) & (gap <= 0.27)
    assert together(fits) == pytest.approx(goes.mean(), abs=AGREE)


def test_what_is_shared_raises_the_odds_above_the_product() -> None:
    """Sidak's inequality for two-sided limits."""
    fits = housings(6)
    assert together(fits) > math.prod(map(alone, fits)) + 0.05


def test_what_is_not_shared_multiplies() -> None:
    fits: list[Fit] = [stack(str(n), "walls", (), (0.1, 0.0, 0.2), [(Source((str(n),), "own", 0.4), 1.0)]) for n in range(5)]
    assert together(fits) == pytest.approx(alone(fits[0]) ** 5, rel=1e-6)


def test_sharing_everything_leaves_one_fit() -> None:
    fits: list[Fit] = [stack(str(n), "walls", (), (0.1, 0.0, 0.2), [(SHEET, -1.0), (CUTTER, 1.0)]) for n in range(9)]
    assert together(fits) == pytest.approx(alone(fits[0]), abs=1e-6)


def test_opposite_ends_of_one_source(rng: np.random.Generator) -> None:
    """A wider cutter loosens one fit and tightens the other; a spread of its own in one of them."""
    one = stack("1", "walls", (), (0.05, 0.0, 0.2), [(CUTTER, 1.0)])
    two = stack("2", "walls", (), (0.05, 0.0, 0.2), [(CUTTER, -1.0), (Source(("own",), "own", 0.2), 1.0)])
    cutter, own = rng.normal(0.0, 0.05, TRIALS), rng.normal(0.0, 0.2 / 6, TRIALS)
    first, second = 0.05 + cutter, 0.05 - cutter + own
    goes = (first >= 0) & (first <= 0.2) & (second >= 0) & (second <= 0.2)
    assert together([one, two]) == pytest.approx(goes.mean(), abs=AGREE)


@pytest.mark.parametrize("count", [3, 4, 5])
def test_a_ring_of_sources_that_never_falls_apart(count: int, rng: np.random.Generator) -> None:
    """Each fit shares a source with the next one round: the hardest to hold, and no proportion to take as one."""
    ring = [Source((str(n),), str(n), 0.3) for n in range(count)]
    fits: list[Fit] = [
        stack(str(n), "gap", (), (0.1, 0.0, 0.2), [(ring[n], 1.0), (ring[(n + 1) % count], -0.6 - 0.1 * n)]) for n in range(count)
    ]
    z = rng.normal(0.0, 0.05, (TRIALS, count))
    gaps = np.stack([0.1 + z[:, n] - (0.6 + 0.1 * n) * z[:, (n + 1) % count] for n in range(count)], axis=1)
    assert together(fits) == pytest.approx(((gaps >= 0) & (gaps <= 0.2)).all(axis=1).mean(), abs=AGREE)


def test_a_narrow_source_beside_a_wide_one(rng: np.random.Generator) -> None:
    """A gauged cutter, a twentieth of the sheet's spread, in two widths: steps that are sharp in the outer source."""
    narrow = [Source((str(n),), "gauged", 0.015) for n in range(2)]
    fits: list[Fit] = [stack(str(n), "walls", (), (0.06, 0.0, 0.15), [(SHEET, -1.0), (narrow[n // 2], 1.0)]) for n in range(4)]
    sheet, cutters = rng.normal(0.0, 0.05, TRIALS), rng.normal(0.0, 0.0025, (TRIALS, 2))
    gaps = 0.06 - sheet[:, None] + cutters
    assert together(fits) == pytest.approx(((gaps >= 0) & (gaps <= 0.15)).all(axis=1).mean(), abs=AGREE)
