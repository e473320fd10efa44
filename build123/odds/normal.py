"""The normal distribution, for single numbers and for arrays."""

from __future__ import annotations

import math
from functools import cache

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

SIGMAS = 6.0
"""A range, largest less smallest, is taken as six standard deviations, three to each side: 99.73 % lie within. It is the
convention of process capability, where Cp = 1 means a tolerance six sigma wide (NIST/SEMATECH e-Handbook 6.1.6, from memory).
A range of few readings is narrower than that (5 readings: 2.3 sigma on average, 25: 3.9, 100: 5.0; the d2 factors of control
charts, from memory), so a sheet measured in a few places is somewhat worse than its spread says."""
END = 8.0
"""Beyond this many standard deviations nothing is left that double precision shows (6e-16)."""
SAME_MM = 1e-3
"""A measured length this near to a limit is on it: what the kernel's measurements are good to."""
_STEP = 1e-3
"""Linear interpolation errs by at most step squared / 8 x 0.242, which is 3e-8."""


def sigma_of(range_mm: float) -> float:
    """Standard deviation of what comes out with this range, mm."""
    return range_mm / SIGMAS


def below(z: float) -> float:
    """Share of a standard normal that lies below z."""
    return 0.5 * math.erfc(-z / math.sqrt(2.0))


def within(mean: float, sigma: float, low: float, high: float) -> float:
    """Share of a normal between two limits. Without spread it is in (1, also on a limit) or out (0); all in mm."""
    if sigma <= 0.0:
        return 1.0 if low - SAME_MM <= mean <= high + SAME_MM else 0.0
    return max(0.0, below((high - mean) / sigma) - below((low - mean) / sigma))


@cache
def _table() -> tuple[Floats, Floats]:
    z = np.linspace(-END, END, round(2 * END / _STEP) + 1)
    return z, np.array([below(float(one)) for one in z])


def all_below(z: Floats) -> Floats:
    """`below` for an array, to 3e-8."""
    known, share = _table()
    return np.interp(z, known, share)


def nodes(count: int, end: float = 6.0) -> tuple[Floats, Floats]:
    """Places and weights for the mean of a function of a standard normal: the trapezoid rule, weights adding up to 1.

    For a smooth function it converges faster than any power of the step, and a step in it costs at most half a weight.
    """
    z = np.linspace(-end, end, count)
    weight = np.exp(-0.5 * z * z)
    return z, weight / weight.sum()
