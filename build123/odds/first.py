"""The odds of the first dry fit: every fit of the piece by itself, and all of them together."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable

from typing_extensions import assert_never

from build123.contacts.fitted import Fitted
from build123.model.design import Design
from build123.model.measured import DryFit
from build123.model.plan import FirstFit, FitOdds
from build123.odds.fits import Fit, Run, Stack
from build123.odds.helps import helps
from build123.odds.measured import Fits
from build123.odds.together import alone, together

DECIDING = 3


def first_fit(design: Design, fit: DryFit) -> FirstFit:
    """The odds of each fit and of the piece, under the spreads of its stocks and of `design.shop`.

    Gaps are as measured on the assembled solids; a fit whose faces were not found is left out, since contact-missing tells
    it. A piece without fits has the odds 1. Whether every shelf of a case is equally long is not asked: a dry fit pulls the
    sides home on the longest, and the gap at the others' floors is not a fit of this list.
    """
    fits = Fits(Fitted(design, fit)).all()
    told = tuple(told_of(one) for one in fits)
    odds = together(fits)
    return FirstFit(odds, told, deciding(told), helps(fits, odds))


def alike(fit: FitOdds) -> tuple[object, ...]:
    """Equal for fits that only differ in where they are."""
    return (fit.what, *(round(one, 6) for one in (fit.nominal_mm, fit.least_mm, fit.most_mm, fit.low_mm, fit.high_mm, fit.odds)))


def deciding(fits: Iterable[FitOdds]) -> tuple[FitOdds, ...]:
    """The three fits with the lowest odds, the first of those that are alike."""
    first: dict[tuple[object, ...], FitOdds] = {}
    for one in fits:
        first.setdefault(alike(one), one)
    return tuple(sorted(first.values(), key=lambda one: one.odds)[:DECIDING])


def reach_of(fit: Stack) -> float:
    """How far a sum can be off with every spread at its end, mm."""
    whole: defaultdict[tuple[str, ...], float] = defaultdict(float)
    for source, times in fit.terms:
        whole[source.spread or source.key] += (times * source.range_mm / 2) ** 2
    return sum(math.sqrt(one) for one in whole.values())


def told_of(fit: Fit) -> FitOdds:
    """One fit with its worst cases, its spread and its odds.

    The numbers of a row of pins are those of the pair that is most out of line: its offset and the play that takes it up.
    """
    match fit:
        case Stack():
            reach = reach_of(fit)
            least, most, nominal = fit.nominal_mm - reach, fit.nominal_mm + reach, fit.nominal_mm
            low, high, sigma = fit.low_mm, fit.high_mm, fit.sigma_mm
            terms = [(source, (times * source.sigma_mm) ** 2) for source, times in fit.terms]
        case Run():
            nominal = max(fit.offsets_mm)
            least, most = 0.0, nominal + fit.marking.range_mm + fit.bit.range_mm / 2
            low, high = 0.0, fit.play_mm
            terms = [(fit.marking, fit.pair_sigma_mm**2), (fit.bit, fit.bit.sigma_mm**2)]
            sigma = sum(one for _, one in terms) ** 0.5
        case other:
            assert_never(other)
    variances: defaultdict[str, float] = defaultdict(float)
    for source, one in terms:
        variances[source.name] += one
    whole = sum(variances.values())
    stated = sum(one for source, one in terms if source.stated) / whole if whole else 0.0
    shares = sorted(((name, one / whole) for name, one in variances.items() if one > 0.0), key=lambda one: (-one[1], one[0]))
    return FitOdds(fit.joint, fit.what, fit.parts, nominal, least, most, sigma, low, high, alone(fit), tuple(shares), stated)
