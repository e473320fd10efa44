"""Which named size of the spec would put right what does not fit as cut, and what that costs: found by compiling the spec with it."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field

from build123.fields.show import plural, show_length
from build123.model.design import Design
from build123.model.part import Part
from build123.model.why import Kind, Why
from build123.problem import Text
from build123.resolve.as_cut import ALIKE_MM, Measured
from build123.resolve.following import Misfit
from build123.spec.piece import Spec

MOST_SIZES = 4
"""So many named sizes are tried for one part, the nearest to it first."""
MOST_NAMES = 4


@dataclass(frozen=True)
class Outcome:
    """A spec as resolved: the design, what each part as cut would measure, and what of it does not fit."""

    design: Design
    would: dict[tuple[str, str], float]
    misfits: tuple[Misfit, ...]


@dataclass(frozen=True, slots=True)
class Answer:
    """A size with its new value, the uncut parts that change with it, and the cut ones that no longer fit."""

    size: Why
    value_mm: float
    follow: tuple[str, ...]
    lost: tuple[str, ...]


@dataclass
class WhatIf:
    """Tries sizes. `compile` resolves a spec, None where it has errors."""

    spec: Spec
    now: Outcome
    compile: Callable[[Spec], Outcome | None]
    _tried: dict[tuple[str, float], Outcome | None] = field(default_factory=dict)

    def instead(self, misfit: Misfit) -> str:
        """The size that costs least, in words; empty where no named size helps."""
        answers = [found for size in self._sizes(misfit.would) if (found := self._answer(size, misfit.measured)) is not None]
        if not answers:
            return ""
        best = min(answers, key=lambda one: (len(one.lost), len(one.follow)))
        units = self.now.design.units
        shown, before = (show_length(round(mm, 3), units) for mm in (best.value_mm, best.size.value))
        follow = (
            f"{plural(len(best.follow), 'uncut part')} would follow ({_listed(best.follow)})"
            if best.follow
            else "no other part would change"
        )
        lost = f", and {_listed(best.lost)}, cut already, would not fit any more" if best.lost else ""
        return f"`{best.size.what}` would have to be {shown} instead of {before}: {follow}{lost}"

    def _sizes(self, would: Why) -> list[Why]:
        """The named lengths that a size comes from, the nearest first."""
        named = {size.name: size.why for size in self.now.design.sizes if size.why.kind is Kind.length}
        found: dict[str, Why] = {}
        waiting = [would]
        while waiting and len(found) < MOST_SIZES:
            why = waiting.pop(0)
            if why.what in named and why.span == named[why.what].span:
                found.setdefault(why.what, named[why.what])
            waiting += why.of
        return list(found.values())

    def _answer(self, size: Why, one: Measured) -> Answer | None:
        key = (one.part, one.word)
        missing = one.why.value - self.now.would[key]
        value = size.value + missing
        there = self._with(size, value)
        if there is None or key not in there.would:
            return None
        slope = (there.would[key] - self.now.would[key]) / missing
        if abs(slope) < 1e-3:
            return None
        if abs(slope - 1.0) > 1e-6:
            value = size.value + missing / slope
            there = self._with(size, value)
        if there is None or abs(there.would.get(key, 0.0) - one.why.value) > ALIKE_MM:
            return None
        return Answer(size, value, _changed(self.now.design, there.design), _lost(self.now.misfits, there.misfits))

    def _with(self, size: Why, value_mm: float) -> Outcome | None:
        key = (size.what, round(value_mm, 6))
        if key not in self._tried:
            name = next(name for name in self.spec.sizes if name == size.what)
            text = Text(f"{value_mm:.9f} mm", self.spec.sizes[name].span)
            possible = value_mm > 0
            self._tried[key] = self.compile(self.spec.model_copy(update={"sizes": {**self.spec.sizes, name: text}})) if possible else None
        return self._tried[key]


def _changed(now: Design, then: Design) -> tuple[str, ...]:
    """The parts not cut yet that would measure something else."""

    def size(part: Part) -> tuple[float, ...]:
        return part.length_mm, part.width_mm, part.thickness_mm

    return tuple(
        part.name
        for part in now.parts
        if not part.as_cut
        and (
            part.name not in then.by_name
            or any(abs(a - b) > ALIKE_MM for a, b in zip(size(part), size(then.by_name[part.name]), strict=True))
        )
    )


def _lost(now: Iterable[Misfit], then: Iterable[Misfit]) -> tuple[str, ...]:
    known = {(one.measured.part, one.measured.word) for one in now}
    return tuple(dict.fromkeys(one.measured.part for one in then if (one.measured.part, one.measured.word) not in known))


def _listed(names: Iterable[str]) -> str:
    several = list(names)
    return ", ".join(several[:MOST_NAMES]) + (f" and {len(several) - MOST_NAMES} more" if len(several) > MOST_NAMES else "")
