"""What can go wrong at a dry fit, as sums of spreads: plain numbers that the odds are computed from."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TypeAlias

from build123.odds.normal import sigma_of


@dataclass(frozen=True, slots=True)
class Source:
    """Something that varies. Two fits with a source of one `key` share it: it is off by the same amount in both.

    `range_mm` is the largest less the smallest that comes out. `help` says what would narrow it ("measuring the sheet `ply`"),
    to `helped_mm`; empty where nothing would. Sources that make up one spread between them by their squares name it in `spread`.
    `stated` tells that the spec gives the spread; else it is that of a usual small shop.
    """

    key: tuple[str, ...]
    name: str
    range_mm: float
    help: str = ""
    helped_mm: float = 0.0
    spread: tuple[str, ...] = ()
    stated: bool = False

    @property
    def sigma_mm(self) -> float:
        """Its standard deviation."""
        return sigma_of(self.range_mm)


@dataclass(frozen=True, slots=True)
class Stack:
    """A gap that is a sum: `nominal_mm` as measured, plus each source times its number. It fits within `low_mm`..`high_mm`.

    `last` says what is left until the end so that the fit cannot fail ("cutting the shoulder of rail last, to fit").
    """

    joint: str
    what: str
    parts: tuple[str, ...]
    nominal_mm: float
    low_mm: float
    high_mm: float
    terms: tuple[tuple[Source, float], ...]
    last: str = ""

    @property
    def sigma_mm(self) -> float:
        """Root of the sum of squares."""
        return math.hypot(*(times * source.sigma_mm for source, times in self.terms))


@dataclass(frozen=True, slots=True)
class Run:
    """A row of pins in one joint: each pair of holes may be out of line by the play of the pin in its holes.

    `offsets_mm` is how far out each pair is as measured, `play_mm` what a pin takes up. The holes of both parts are each off
    by `marking` along the row; `bit` is shared, and a wider bit gives more play. `held` tells that the parts cannot be pushed
    along the row to share the error.
    """

    joint: str
    what: str
    parts: tuple[str, ...]
    offsets_mm: tuple[float, ...]
    play_mm: float
    marking: Source
    bit: Source
    held: bool = False

    @property
    def pair_sigma_mm(self) -> float:
        """Standard deviation of one pair's offset: two holes, each laid out by itself."""
        return math.sqrt(2.0) * self.marking.sigma_mm


Fit: TypeAlias = Stack | Run


def stack(
    joint: str,
    what: str,
    parts: tuple[str, ...],
    gap: tuple[float, float, float],
    terms: list[tuple[Source, float]],
    last: str = "",
) -> Stack:
    """A stack with `gap` nominal, low and high; a source that comes in twice adds up, as it is off by the same amount in both."""
    summed: dict[tuple[str, ...], tuple[Source, float]] = {}
    for source, times in terms:
        if source.range_mm > 0.0:
            summed[source.key] = (source, summed.get(source.key, (source, 0.0))[1] + times)
    return Stack(joint, what, parts, *gap, tuple(term for term in summed.values() if term[1]), last)
