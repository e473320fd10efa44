"""The one value that every stage reports with, whatever renders it later."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from enum import IntEnum

from build123.problem.source import Span


class Severity(IntEnum):
    """How much a finding weighs; the exit code follows the worst one."""

    note = 1
    warning = 2
    error = 3


@dataclass(frozen=True, slots=True)
class Place:
    """A place in the text with what is to be seen there; `label` may be empty."""

    span: Span
    label: str = ""


@dataclass(frozen=True, slots=True)
class Finding:
    """What is wrong, where, with which numbers, why it matters, and what to change.

    `id` is kebab-case and never reused. `message` is one sentence that names parts and numbers in the
    spec's units. `places` come with the primary one first. `at_mm` is a point in the piece's frame.
    `numbers` are in mm (or as their name says) for programs to read. `overlap` names a mesh in the
    report that shows the common volume.
    """

    id: str
    severity: Severity
    message: str
    places: tuple[Place, ...] = ()
    parts: tuple[str, ...] = ()
    joint: str = ""
    at_mm: tuple[float, float, float] | None = None
    numbers: Mapping[str, float] = field(default_factory=dict)
    why: str = ""
    source: str = ""
    change: str = ""
    overlap: str = ""
    waived: str = ""

    @property
    def span(self) -> Span | None:
        """The primary place."""
        return self.places[0].span if self.places else None


class Findings:
    """What a stage collects; order of arrival is kept."""

    def __init__(self, start: Iterable[Finding] = ()) -> None:
        self._all: list[Finding] = list(start)

    def __iter__(self) -> Iterator[Finding]:
        return iter(self._all)

    def __len__(self) -> int:
        return len(self._all)

    def add(self, finding: Finding) -> None:
        """Keep one finding."""
        self._all.append(finding)

    def error(
        self, id: str, message: str, *spans: Span | None, label: str = "", change: str = "", parts: tuple[str, ...] = (), joint: str = ""
    ) -> None:
        """Keep an error at the given spans; those that are None are left out, the label goes with the first."""
        places = tuple(Place(span, label if n == 0 else "") for n, span in enumerate(s for s in spans if s is not None))
        self.add(Finding(id, Severity.error, message, places, parts, joint, change=change))

    def extend(self, more: Iterable[Finding]) -> None:
        """Keep all of `more`."""
        self._all.extend(more)

    @property
    def failed(self) -> bool:
        """Whether any unwaived error is among them."""
        return any(f.severity is Severity.error and not f.waived for f in self._all)


class SpecError(Exception):
    """Carries a finding out of a deep recursion to the stage that collects it; never leaves a stage."""

    def __init__(self, finding: Finding) -> None:
        super().__init__(finding.message)
        self.finding = finding

    @classmethod
    def at(cls, id: str, message: str, *spans: Span | None, label: str = "", change: str = "") -> SpecError:
        """An error finding at the given spans, ready to raise."""
        found = Findings()
        found.error(id, message, *spans, label=label, change=change)
        return cls(next(iter(found)))
