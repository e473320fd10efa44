"""Single fits beside numbers worked out by hand or printed in a table."""

from __future__ import annotations

import math

import numpy as np
import pytest

from build123.odds.first import told_of
from build123.odds.fits import Source, Stack, stack
from build123.odds.normal import all_below, below, nodes, within
from build123.odds.together import alone


@pytest.mark.parametrize(("z", "share"), [(0.0, 0.5), (1.0, 0.84134), (1.96, 0.97500), (2.576, 0.99500), (3.0, 0.99865), (-1.0, 0.15866)])
def test_the_normal_table(z: float, share: float) -> None:
    """NIST/SEMATECH e-Handbook 1.3.6.7.1, cumulative distribution of the standard normal (from memory)."""
    assert below(z) == pytest.approx(share, abs=5e-6)


def test_the_table_for_arrays_agrees_with_the_closed_form() -> None:
    z = np.linspace(-9.0, 9.0, 4001)
    assert np.abs(all_below(z) - [below(float(one)) for one in z]).max() < 5e-8


def test_the_mean_of_a_function_of_a_normal() -> None:
    """E[z^2] = 1, E[z^4] = 3, E[cos z] = exp(-1/2): textbook moments and characteristic function."""
    z, weight = nodes(61)
    assert float(weight @ z**2) == pytest.approx(1.0, abs=1e-6)
    assert float(weight @ z**4) == pytest.approx(3.0, abs=1e-4)
    assert float(weight @ np.cos(z)) == pytest.approx(math.exp(-0.5), abs=1e-7)


def source(name: str, range_mm: float) -> Source:
    return Source((name,), name, range_mm)


def test_worst_case_and_root_sum_square_of_a_chain_of_three() -> None:
    """By hand: ranges 0.3, 0.4 and 1.2. Ends: 1.9 in all. Squares: 0.09 + 0.16 + 1.44 = 1.69, so a range of 1.3, sigma 1.3 / 6."""
    told = told_of(stack("j", "gap", (), (1.0, 0.35, 1.65), [(source("a", 0.3), 1), (source("b", 0.4), -1), (source("c", 1.2), 1)]))
    assert (told.least_mm, told.most_mm) == pytest.approx((0.05, 1.95))
    assert told.sigma_mm == pytest.approx(1.3 / 6)
    assert told.odds == pytest.approx(0.9973, abs=5e-5)  # the limits are three sigma off: 1 - 2 x (1 - 0.99865)
    assert dict(told.shares) == pytest.approx({"c": 1.44 / 1.69, "b": 0.16 / 1.69, "a": 0.09 / 1.69})


def test_a_housing_with_limits_at_1_96_sigma_fits_19_times_in_20() -> None:
    """By hand: thickness 0.24 and cutter 0.18 give a range of 0.30, sigma 0.05; 1.96 x 0.05 = 0.098."""
    terms = [(source("thickness", 0.24), -1.0), (source("cutter", 0.18), 1.0)]
    assert alone(stack("j", "walls", (), (0.1, 0.002, 0.198), terms)) == pytest.approx(0.95, abs=1e-4)


def test_two_members_of_one_stock_are_off_together() -> None:
    """By hand: 2 x 0.3 / 6 = 0.1, where two sheets of their own give 0.3 / 6 x 1.414."""
    one = source("ply", 0.3)
    assert stack("j", "walls", (), (0, 0, 0), [(one, -1.0), (one, -1.0)]).sigma_mm == pytest.approx(0.1)
    apart = stack("j", "walls", (), (0, 0, 0), [(one, -1.0), (source("other ply", 0.3), -1.0)])
    assert apart.sigma_mm == pytest.approx(0.0707107)


def test_a_source_that_cancels_does_not_count() -> None:
    depth = source("depth", 0.1)
    assert stack("j", "ends", (), (0, 0, 0), [(depth, 1.0), (depth, -1.0)]).terms == ()


@pytest.mark.parametrize(("nominal", "odds"), [(0.05, 1.0), (0.25, 1.0), (0.0495, 1.0), (0.048, 0.0), (0.26, 0.0)])
def test_without_any_spread_a_fit_is_in_or_out(nominal: float, odds: float) -> None:
    assert alone(Stack("j", "walls", (), nominal, 0.05, 0.25, ())) == odds
    assert within(nominal, 0.0, 0.05, 0.25) == odds
