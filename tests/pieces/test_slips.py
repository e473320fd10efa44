"""The slips in this folder's `slips`, each made and dry fitted: what is told of it is exactly what its head says.

One file a slip, several specs in each: the mistake first, then what looks like it and is good work. In the head of each spec,
`damage:` is done to its solids before they are measured, and `expect:` is one finding (severity, id, parts) or silence;
`disputed:` says why the checks do not yet agree.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import pytest

from build123.kernel import Store
from build123.kernel.damage import Damage, parse_damage
from build123.pipeline import compile_text
from build123.problem import Finding

SLIPS = Path(__file__).parent / "slips"

TELLS_ANY_DAMAGE = "solid-differs-from-features"
"""It compares a solid with its features, so it also tells every slip of the bench; counted only where it is expected."""


@dataclass(frozen=True)
class Slip:
    """One spec of a file: what is done to its solids, and the findings expected, as lines of text."""

    name: str
    mistake: bool
    text: str
    damage: tuple[Damage, ...]
    expected: tuple[str, ...]
    disputed: str = ""

    @property
    def ids(self) -> frozenset[str]:
        """The findings that are expected."""
        return frozenset(line.split()[1].rstrip(":") for line in self.expected)


def read(file: Path) -> list[Slip]:
    """The specs of a file in order, each named after the file and its place there."""
    found = []
    for n, text in enumerate(file.read_text(encoding="utf-8").split("---\n"), start=1):
        head = [line[2:] for line in text.splitlines() if line.startswith("# ")]
        damage = tuple(parse_damage(line.removeprefix("damage: ")) for line in head if line.startswith("damage: "))
        expected = tuple(line.removeprefix("expect: ") for line in head if line.startswith("expect: "))
        disputed = "; ".join(line.removeprefix("disputed: ") for line in head if line.startswith("disputed: "))
        assert expected and head[0].startswith(("Mistake. ", "Near miss. ")), f"{file.name}, spec {n}"
        told = () if expected == ("silence",) else tuple(sorted(_in_order(line) for line in expected))
        found.append(Slip(f"{file.stem} {n}", head[0].startswith("Mistake"), text, damage, told, disputed))
    return found


def _in_order(line: str) -> str:
    """The line with its parts sorted: a pair has no first and second."""
    what, _, parts = line.partition(": ")
    return _line(what, parts.split(", ") if parts else [])


def _line(what: str, parts: list[str] | tuple[str, ...]) -> str:
    return f"{what}: {', '.join(sorted(parts))}" if parts else what


def line_of(one: Finding) -> str:
    """A finding as the heads of the specs write it."""
    return _line(f"{one.severity.name} {one.id}{' waived' if one.waived else ''}", one.parts)


TABLE = [slip for file in sorted(SLIPS.glob("*.yaml")) for slip in read(file)]


@pytest.mark.parametrize(
    "slip",
    [pytest.param(one, marks=pytest.mark.xfail(reason=one.disputed, strict=True)) if one.disputed else one for one in TABLE],
    ids=lambda slip: slip.name.replace(" ", "-"),
)
def test_a_slip_is_told_and_good_work_is_not(slip: Slip, store: Store) -> None:
    made = compile_text(slip.text, store, slip.damage)
    found = sorted(line_of(one) for one in made.findings if one.id in slip.ids or not (slip.damage and one.id == TELLS_ANY_DAMAGE))
    assert found == list(slip.expected), [one.message for one in made.findings]


def test_the_table_is_half_mistakes_and_half_near_misses() -> None:
    mistakes, near = (sum(slip.mistake is kind for slip in TABLE) for kind in (True, False))
    assert mistakes >= 33 and near >= 33
    for file in SLIPS.glob("*.yaml"):
        assert {slip.mistake for slip in read(file)} == {True, False}, f"{file.name} has no pair"


def test_a_near_miss_has_no_finding_and_a_mistake_has_one() -> None:
    for slip in TABLE:
        assert bool([line for line in slip.expected if " waived" not in line]) is slip.mistake, slip.name
