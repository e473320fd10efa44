"""How the piece goes together, and how likely it does so at the first dry fit: plain data for checks, report and book."""

from __future__ import annotations

from dataclasses import dataclass

from build123.model.frame import Vec


@dataclass(frozen=True, slots=True)
class Step:
    """One move of the glue-up: bodies that are brought in together, by one straight move.

    `bodies` are parts and hardware by name; more than one part makes a sub-assembly that an earlier step put together.
    `direction` is the way they move in the piece's frame (a unit vector, None for the first), `travel_mm` how far back they
    must start to be clear. `onto` are the parts already standing that they meet, `joints` the ids that close. `within` is the
    number of the sub-assembly that the step builds, 0 for the piece itself.
    """

    number: int
    bodies: tuple[str, ...]
    direction: Vec | None
    travel_mm: float
    onto: tuple[str, ...]
    joints: tuple[str, ...]
    within: int = 0


@dataclass(frozen=True, slots=True)
class Trapped:
    """Parts that no straight move can bring in or take out, and what holds them."""

    parts: tuple[str, ...]
    by: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class OutOfReach:
    """A screw that a straight driver of the shop's length, or the hand on it, does not come to at its step, and what is in the way."""

    hardware: str
    step: int
    by: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class GlueUp:
    """The order of assembly. `sub_assemblies` are the parts of each, numbered from 1 as in `Step.within`.

    `held_back` are parts that must be put in before others close round them (a floating panel): by part, the parts that
    close it in. `confirmed` tells that every move was tried on the solids.
    """

    steps: tuple[Step, ...]
    sub_assemblies: tuple[tuple[str, ...], ...] = ()
    trapped: tuple[Trapped, ...] = ()
    held_back: tuple[tuple[str, tuple[str, ...]], ...] = ()
    out_of_reach: tuple[OutOfReach, ...] = ()
    confirmed: bool = False
    seconds: float = 0.0


@dataclass(frozen=True, slots=True)
class FitOdds:
    """One fit under the spreads of stock and shop.

    `nominal_mm` is the clearance as drawn, `least_mm`..`most_mm` its worst cases, `sigma_mm` its root-sum-square standard
    deviation. `odds` is the share of dry fits in which it lies within `low_mm`..`high_mm`. `shares` say how much of the
    variance each source brings ("thickness of ply", "cutting"), `stated` how much of it is from spreads that the spec gives.
    """

    joint: str
    what: str
    parts: tuple[str, ...]
    nominal_mm: float
    least_mm: float
    most_mm: float
    sigma_mm: float
    low_mm: float
    high_mm: float
    odds: float
    shares: tuple[tuple[str, float], ...]
    stated: float = 0.0


@dataclass(frozen=True, slots=True)
class FirstFit:
    """The odds that every joint goes together at the first dry fit, the joints that decide it, and what would help most.

    `helps` are sentences with the odds that the piece would have then.
    """

    odds: float
    fits: tuple[FitOdds, ...]
    deciding: tuple[FitOdds, ...]
    helps: tuple[tuple[str, float], ...]
