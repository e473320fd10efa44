"""The odds that a row of pins goes in: closed forms for the largest of N offsets and for their range."""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np

from build123.odds.normal import SAME_MM, all_below, nodes, within

NODES = 121


def all_near(offsets_mm: tuple[float, ...], sigma_mm: float, play_mm: float) -> float:
    """Odds that every one of N independent offsets is at most the play: the product of N two-sided shares."""
    return math.prod(within(mean, sigma_mm, -play_mm, play_mm) for mean in offsets_mm)


@lru_cache(maxsize=4096)
def all_close(offsets_mm: tuple[float, ...], sigma_mm: float, play_mm: float) -> float:
    """Odds that N independent offsets lie within twice the play of each other, so that a push along the row lets all pins in.

    One of them is the least, at x, and the others lie within x..x + 2 play: the sum over which is the least of the mean over
    x of the product of the others' shares (Tippett's range of a sample, 1925, here with a mean for each).
    """
    wide = 2.0 * play_mm
    if wide < 0.0:
        return 0.0
    if len(offsets_mm) < 2:
        return 1.0
    if sigma_mm <= 0.0:
        return 1.0 if max(offsets_mm) - min(offsets_mm) <= wide + SAME_MM else 0.0
    means = np.array(offsets_mm) / sigma_mm
    z, weight = nodes(NODES)
    total = 0.0
    for n, mean in enumerate(means):
        x = (z + mean)[:, None] - np.delete(means, n)[None, :]
        total += float(weight @ np.prod(all_below(x + wide / sigma_mm) - all_below(x), axis=1))
    return min(1.0, total)
