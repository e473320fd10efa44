"""The odds of the first dry fit in one sentence."""

from __future__ import annotations

from build123.fields.quantity import Units
from build123.fields.show import show_length
from build123.model.design import Shop
from build123.model.plan import FirstFit, FitOdds
from build123.odds.first import alike

SURE = 0.995
SPREADS = ("cutting", "sawing", "drilling", "laying out")


def in_hundred(odds: float) -> str:
    """A share in words: "93 in 100"; what would round to none or all is "less than 1" or "more than 99"."""
    if odds >= SURE:
        return "more than 99 in 100"
    return "less than 1 in 100" if odds < 1.0 - SURE else f"{100 * odds:.0f} in 100"


def summary(first: FirstFit, units: Units, shop: Shop | None = None) -> str:
    """The odds of the piece, the fits that decide it with the worst cases of the first, and what would help, best first.

    Where the spec gives spreads of its `shop`, it says which; all others are those of a usual small shop.
    """
    said = [f"{in_hundred(first.odds)} that every joint goes together at the first dry fit{'' if shop is None else _whose(shop)}"]
    deciding = [fit for fit in first.deciding if fit.odds < SURE]
    if first.odds < SURE and deciding:
        said.append(f"decided by {_listed([_named(first, fit, units if n == 0 else None) for n, fit in enumerate(deciding)])}")
    if first.helps:
        said.append(", ".join(f"{way} makes it {in_hundred(odds).removesuffix(' in 100')}" for way, odds in first.helps))
    return "; ".join(said)


def _whose(shop: Shop) -> str:
    given = [key for key in SPREADS if key in shop.given]
    if len(given) == len(SPREADS):
        return ", with this shop's own spreads"
    return f", with this shop's own spread of {_listed(given)}" if given else ""


def _named(first: FirstFit, fit: FitOdds, units: Units | None) -> str:
    more = sum(alike(one) == alike(fit) for one in first.fits) - 1
    worst = ""
    if units is not None:
        least, most = (show_length(round(one, 3), units) for one in (fit.least_mm, fit.most_mm))
        worst = f", {least} to {most} at the worst"
    return f"{fit.joint}{f' and {more} like it' if more else ''} ({in_hundred(fit.odds)}{' each' if more else ''}{worst})"


def _listed(names: list[str]) -> str:
    return " and ".join(filter(None, (", ".join(names[:-1]), names[-1])))
