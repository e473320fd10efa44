"""Where a number came from: a chain of reasons down to lines of the spec."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from build123.problem.source import Span


class Kind(Enum):
    """What a number counts, so that it is shown in the right unit."""

    length = "length"
    angle = "angle"
    number = "number"


@dataclass(frozen=True, slots=True)
class Why:
    """One number with its reason.

    `value` is mm, degrees or a plain number as `kind` says. `how` is a sentence about the inputs in which `{0}`,
    `{1}` ... stand for their values: "{0} between the sides + 2 x {1} into the dados". `of` are the inputs, in that
    order. `default` gives the source of a value that the spec left out.
    """

    what: str
    value: float
    how: str = ""
    of: tuple[Why, ...] = ()
    span: Span | None = None
    default: str = ""
    kind: Kind = Kind.length
