"""The odds that several fits succeed at once, with what they share counted once.

Given the values of all shared sources the fits are independent, and their odds multiply. The mean over the shared sources is
taken numerically: fits that share nothing apart, sources that always come in the same proportion as one, the last source in
closed form between the limits that bind it. The simple product of the single odds is a lower bound for housings (Sidak's
inequality for two-sided limits, 1967), since what is shared makes fits succeed together.
"""

from __future__ import annotations

import math
from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from build123.odds.fits import Fit, Run, Stack
from build123.odds.normal import SAME_MM, Floats, all_below, nodes, within
from build123.odds.runs import all_close, all_near

Key = tuple[str, ...]

ALMOST_SURE = 1e-9
"""A fit that fails less often than this is left out of the sums: a thousand of them change nothing that is printed."""
NODES = {0: 1, 1: 241, 2: 61, 3: 31, 4: 21}
"""Nodes for each outer source by how many of them have to be held at once. Where more than four would, which no piece has come
near, the lower bound is given."""
AT_ONCE = 4096
"""Cases worked on at once, so that memory stays small."""
BIT_NODES = 33
CANDIDATES = 6
_LEAST_SIGMA_MM = 1e-9
_END = 6.5


def alone(fit: Fit) -> float:
    """The odds of one fit: normal closed form, or the closed form of a row of pins under the spread of its bit."""
    if isinstance(fit, Stack):
        return within(fit.nominal_mm, fit.sigma_mm, fit.low_mm, fit.high_mm)
    return _runs([fit])


def together(fits: Sequence[Fit]) -> float:
    """The odds that all of them succeed."""
    doubtful = [fit for fit in fits if alone(fit) < 1.0 - ALMOST_SURE]
    stacks = [fit for fit in doubtful if isinstance(fit, Stack)]
    bits: defaultdict[Key, list[Run]] = defaultdict(list)
    for fit in doubtful:
        if isinstance(fit, Run):
            bits[fit.bit.key].append(fit)
    return _stacks(stacks) * math.prod(_runs(runs) for runs in bits.values())


def _runs(runs: list[Run]) -> float:
    """Rows drilled with one bit: they multiply once its diameter is given."""
    alike = Counter((run.offsets_mm, run.pair_sigma_mm, run.play_mm, run.held) for run in runs)
    sigma = runs[0].bit.sigma_mm
    z, weight = nodes(BIT_NODES if sigma > 0.0 else 1, 6.0 if sigma > 0.0 else 0.0)

    def given(wider_mm: float) -> float:
        return math.prod(
            (all_near if held else all_close)(offsets, spread, play + wider_mm) ** count
            for (offsets, spread, play, held), count in alike.items()
        )

    return float(sum(w * given(sigma * one) for one, w in zip(z.tolist(), weight.tolist(), strict=True)))


@dataclass(frozen=True, eq=False)
class Cell:
    """A stack, or `count` equal ones, given some shared sources: its middle for each of n cases, its own spread, the rest shared.

    `shared` has the standard deviation that each shared source brings, with its sign. `trace` is equal where the middles are:
    the nominal gap, and what each source that was given brought.
    """

    middle: Floats
    own: float
    low: float
    high: float
    shared: dict[Key, float]
    count: int
    trace: tuple[float, ...]

    def given(self, key: Key, z: Floats) -> Cell:
        """With a source at each of the values z, for each case."""
        by = self.shared.get(key, 0.0)
        rest = {other: times for other, times in self.shared.items() if other != key}
        return Cell((self.middle[:, None] + by * z[None, :]).ravel(), self.own, self.low, self.high, rest, self.count, (*self.trace, by))


def _stacks(stacks: list[Stack]) -> float:
    used = Counter(source.key for one in stacks for source, _ in one.terms)
    alike: Counter[tuple[float, float, float, float, tuple[tuple[Key, float], ...]]] = Counter()
    for one in stacks:
        shared = tuple(sorted((source.key, times * source.sigma_mm) for source, times in one.terms if used[source.key] > 1))
        own = math.hypot(*(times * source.sigma_mm for source, times in one.terms if used[source.key] == 1))
        alike[round(one.nominal_mm, 9), own, one.low_mm, one.high_mm, shared] += 1
    cells = [
        Cell(np.array([nominal]), own, low, high, dict(shared), count, (nominal,))
        for (nominal, own, low, high, shared), count in alike.items()
    ]
    if _depth(cells) not in NODES:
        return math.prod(alone(one) for one in stacks)
    return float(_all_of(cells, 1)[0])


def _all_of(cells: list[Cell], cases: int) -> Floats:
    """The odds that all succeed, for each case."""
    deep = _depth(cells)
    odds = np.ones(cases)
    known: dict[tuple[object, ...], Floats] = {}
    for group in map(_merged, _linked(cells)):
        keys = _by_use(group)
        if not keys:
            odds *= math.prod(_share(one, one.middle) for one in group)
        elif len(keys) == 1:
            alike = tuple(sorted((one.trace, one.own, one.low, one.high, one.count, one.shared[keys[0]]) for one in group))
            if alike not in known:
                known[alike] = _over_last(group, keys[0], cases)
            odds *= known[alike]
        else:
            held = _splits_best(group, keys)
            z, weight = nodes(NODES[deep])
            odds *= _all_of([one.given(held, z) for one in group], cases * len(z)).reshape(cases, len(z)) @ weight
    return odds


def _share(one: Cell, middle: Floats) -> Floats:
    if one.own <= _LEAST_SIGMA_MM:
        return ((middle >= one.low - SAME_MM) & (middle <= one.high + SAME_MM)).astype(np.float64)
    inside = all_below((one.high - middle) / one.own) - all_below((one.low - middle) / one.own)
    return np.asarray(np.maximum(inside, 0.0) ** one.count, dtype=np.float64)


def _over_last(group: list[Cell], key: Key, cases: int) -> Floats:
    """The mean over the only source that is left: between the limits that stacks without a spread of their own set to it."""
    low, high = np.full(cases, -_END), np.full(cases, _END)
    smooth = [one for one in group if one.own > _LEAST_SIGMA_MM]
    for one in group:
        if one.own <= _LEAST_SIGMA_MM:
            ends = ((one.low - one.middle) / one.shared[key], (one.high - one.middle) / one.shared[key])
            low, high = np.maximum(low, np.minimum(*ends)), np.minimum(high, np.maximum(*ends))
    high = np.maximum(low, high)
    if not smooth:
        return all_below(high) - all_below(low)
    at, weight = np.polynomial.legendre.leggauss(128)
    odds = np.empty(cases)
    for some in (slice(n, n + AT_ONCE) for n in range(0, cases, AT_ONCE)):
        half = (high[some] - low[some])[:, None] / 2
        z = (low[some] + high[some])[:, None] / 2 + half * at[None, :]
        shares = np.exp(-0.5 * z * z) / math.sqrt(2 * math.pi)
        for one in smooth:
            shares = shares * _share(one, one.middle[some, None] + one.shared.get(key, 0.0) * z)
        odds[some] = (shares * half) @ weight
    return odds


def _depth(cells: list[Cell]) -> int:
    """How many sources have to be held at once before what is left falls apart into groups with one source at most."""
    deepest = 0
    for group in map(_merged, _linked(cells)):
        keys = _by_use(group)
        if len(keys) > 1:
            held = _splits_best(group, keys)
            deepest = max(deepest, 1 + _depth([one.given(held, np.zeros(1)) for one in group]))
    return deepest


def _splits_best(group: list[Cell], keys: list[Key]) -> Key:
    """The source whose value, once given, leaves the smallest groups; of the first few that most stacks have."""

    def left(key: Key) -> int:
        without = [[other for other in one.shared if other != key] for one in group]
        return max(len({other for n in linked for other in without[n]}) for linked in _groups(without))

    return min(keys[:CANDIDATES], key=left)


def _by_use(group: Iterable[Cell]) -> list[Key]:
    """Shared sources, the one that most stacks have first, the weakest first of equals."""
    used: Counter[Key] = Counter()
    weight: defaultdict[Key, float] = defaultdict(float)
    for one in group:
        for key, times in one.shared.items():
            used[key] += 1
            weight[key] += abs(times)
    return sorted(used, key=lambda key: (-used[key], weight[key], key))


def _merged(group: list[Cell]) -> list[Cell]:
    """With sources that come into every stack in one proportion taken as one: their variances add up."""
    columns: dict[Key, list[tuple[int, float]]] = {key: [] for key in _by_use(group)}
    for n, one in enumerate(group):
        for key, times in one.shared.items():
            columns[key].append((n, times))
    classes: defaultdict[tuple[tuple[int, float], ...], list[Key]] = defaultdict(list)
    for key, column in columns.items():
        classes[tuple((n, round(times / column[0][1], 9)) for n, times in column)].append(key)
    if all(len(keys) == 1 for keys in classes.values()):
        return group
    leading = {keys[0]: keys for keys in classes.values()}
    made = []
    for one in group:
        shared: dict[Key, float] = {}
        for key in one.shared:
            if key in leading:
                shared[key] = math.copysign(math.hypot(*(one.shared[other] for other in leading[key])), one.shared[key])
        made.append(Cell(one.middle, one.own, one.low, one.high, shared, one.count, one.trace))
    return made


def _linked(cells: list[Cell]) -> list[list[Cell]]:
    """Groups of stacks that share nothing with the other groups, in the order of their first stack."""
    return [[cells[n] for n in linked] for linked in _groups([list(one.shared) for one in cells])]


def _groups(sets: list[list[Key]]) -> list[list[int]]:
    """Which lists hang together by a key, by number; an empty list hangs with none."""
    leader: dict[Key, Key] = {}

    def lead(key: Key) -> Key:
        while leader.setdefault(key, key) != key:
            leader[key] = leader[leader[key]]
            key = leader[key]
        return key

    for keys in sets:
        for first, other in pairwise(keys):
            leader[lead(other)] = lead(first)
    groups: defaultdict[Key | int, list[int]] = defaultdict(list)
    for n, keys in enumerate(sets):
        groups[lead(keys[0]) if keys else n].append(n)
    return list(groups.values())
