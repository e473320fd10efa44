"""Every check is written up, found by itself, and its examples do what they say."""

from __future__ import annotations

import pkgutil
import subprocess
import sys

import pytest

import build123.checks as room
from build123.checks.docs import BadDocstring, Example, explain, ids, written_up
from build123.checks.registry import all_checks, check
from build123.kernel.damage import parse_damage
from build123.kernel.store import Store
from build123.pipeline import Compiled, compile_text
from build123.problem import Severity

MACHINERY = {"bores", "docs", "facing", "fasteners", "glue", "loads", "registry", "run", "seen", "ties", "trenches", "waivers", "wording"}


@pytest.fixture(scope="module")
def store() -> Store:
    return Store()


def compiled(example: Example, store: Store) -> Compiled:
    made = compile_text(example.spec, store, (parse_damage(example.damage),) if example.damage else ())
    assert made.fit is not None, [one.message for one in made.findings]
    return made


@pytest.mark.parametrize("id", ids())
def test_the_bad_example_raises_the_finding(id: str, store: Store) -> None:
    told = {one.id: one for one in compiled(explain(id).bad, store).findings}
    assert id in told, [one.message for one in told.values()]
    assert told[id].severity <= explain(id).severity


@pytest.mark.parametrize("id", ids())
def test_the_good_example_has_nothing_to_say(id: str, store: Store) -> None:
    assert [one.message for one in compiled(explain(id).good, store).findings if not one.waived] == []


@pytest.mark.parametrize("id", ids())
def test_every_section_is_there(id: str) -> None:
    said = explain(id)
    assert said.what.endswith(".") and said.why and said.source and said.change
    assert said.bad.spec.startswith("build123: 1\n") and said.good.spec.startswith("build123: 1\n")
    assert not said.good.damage


def test_every_module_of_the_room_is_machinery_or_a_check_of_its_own_name() -> None:
    names = {module.name for module in pkgutil.iter_modules(room.__path__)} - MACHINERY
    assert {name.replace("_", "-") for name in names} == set(ids()) == {one.id for one in all_checks()}


def test_the_written_severity_is_the_one_that_runs() -> None:
    assert {one.id: one.severity for one in all_checks()} == {id: explain(id).severity for id in ids()}


def test_a_second_check_of_one_name_is_refused() -> None:
    again = next(one for one in all_checks() if one.id == "seat-open")
    with pytest.raises(ValueError, match="a second check called seat-open"):
        check(severity=Severity.error)(again.find)


@pytest.mark.parametrize(
    ("docstring", "lacks"),
    [
        ("What.\n\nWhy\n    It does.\n    Source: common practice\n\nChange\n    It.\n\nBad\n    piece: x\n", "Good"),
        ("What.\n\nWhy\n    It does.\n\nChange\n    It.\n\nBad\n    piece: x\n\nGood\n    piece: x\n", "Source"),
        ("", "the first line, Why, Change, Bad, Good, Source"),
    ],
)
def test_a_section_left_out_is_a_fault(docstring: str, lacks: str) -> None:
    with pytest.raises(BadDocstring, match=f"lacks {lacks}$"):
        written_up("some-check", Severity.error, docstring)


def test_an_id_that_is_not_there_is_not_explained() -> None:
    with pytest.raises(KeyError):
        explain("no-such-finding")


def test_explaining_loads_neither_kernel_nor_numpy() -> None:
    code = (
        "import sys; from build123.checks.docs import explain, ids; [explain(id) for id in ids()];"
        "print([name for name in ('numpy', 'OCP', 'cadquery') if name in sys.modules])"
    )
    assert subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout.strip() == "[]"
