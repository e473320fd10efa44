"""What would help most: each way to narrow a spread, with the odds that the piece would have then."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from build123.odds.fits import Fit, Run, Source, Stack
from build123.odds.together import alone, together

MOST = 3
WORTH = 0.01
"""A gain of less than one in a hundred is not worth a word."""
DOUBTFUL = 1e-4
"""Only what is in fits that fail more often than this can help."""


def helps(fits: Sequence[Fit], odds: float) -> tuple[tuple[str, float], ...]:
    """The ways that help most, best first, with the odds of the piece with each of them alone."""
    doubtful = [fit for fit in fits if alone(fit) < 1.0 - DOUBTFUL]
    ways = dict.fromkeys(source.help for fit in doubtful for source in _sources(fit) if source.help and source.range_mm > source.helped_mm)
    ways |= dict.fromkeys(fit.last for fit in doubtful if isinstance(fit, Stack) and fit.last)
    then = [(way, together(with_help(fits, way))) for way in ways]
    worth = [(way, better) for way, better in then if better - odds >= WORTH]
    return tuple(sorted(worth, key=lambda one: -one[1])[:MOST])


def with_help(fits: Sequence[Fit], way: str) -> list[Fit]:
    """The same fits with every source narrowed that the way speaks of, and without those that it leaves to the last."""
    return [_helped(fit, way) for fit in fits if not (isinstance(fit, Stack) and fit.last == way)]


def _sources(fit: Fit) -> tuple[Source, ...]:
    return tuple(source for source, _ in fit.terms) if isinstance(fit, Stack) else (fit.marking, fit.bit)


def _helped(fit: Fit, way: str) -> Fit:
    if isinstance(fit, Run):
        return replace(fit, marking=_narrowed(fit.marking, way), bit=_narrowed(fit.bit, way))
    return replace(fit, terms=tuple((_narrowed(source, way), times) for source, times in fit.terms))


def _narrowed(source: Source, way: str) -> Source:
    return replace(source, range_mm=min(source.range_mm, source.helped_mm)) if source.help == way else source
