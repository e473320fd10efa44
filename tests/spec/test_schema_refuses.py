"""What the schema refuses the program refuses too; the page has every class once."""

from __future__ import annotations

import copy
import re
from pathlib import Path
from typing import Any

import pytest
import yaml
from compiling import errors, told
from jsonschema import Draft202012Validator

from build123.fields.entry import Entry
from build123.spec import parse
from build123.spec.reference import examples, page
from build123.spec.schema import entry_classes, json_schema
from build123.text import read_text

SPECS = Path(__file__).parents[2] / "specs"


@pytest.fixture(scope="session")
def schema() -> Draft202012Validator:
    made = json_schema()
    Draft202012Validator.check_schema(made)
    return Draft202012Validator(made)


def loaded(text: str) -> Any:
    """As an editor reads it: YAML's own types, and keys as text."""
    return next(iter(yaml.safe_load_all(text)))


BROKEN: dict[str, Any] = {
    "no piece": lambda s: s.pop("piece"),
    "a version to come": lambda s: s.update(build123=2),
    "unit": lambda s: s.update(units="cubits"),
    "key at the top": lambda s: s.update(jionts=[]),
    "key of a part": lambda s: s["parts"]["shelf"].update(stok="ply"),
    "no extent": lambda s: s["parts"]["shelf"].pop("z"),
    "pair": lambda s: s["parts"]["side"].update(pair="up and down"),
    "extent that is keys": lambda s: s["parts"]["shelf"].update(z={"from": 3}),
    "unknown joint": lambda s: s["joints"].append({"weld": {"of": "shelf", "to": "side"}}),
    "two joints in one entry": lambda s: s["joints"][0].update(glued={"of": "shelf", "to": "side"}),
    "no thickness": lambda s: s["stock"]["ply"].pop("thickness"),
    "parts as a list": lambda s: s.update(parts=[]),
}


@pytest.mark.parametrize("how", BROKEN)
def test_what_is_wrong_is_not_valid(schema: Draft202012Validator, how: str) -> None:
    spec = copy.deepcopy(loaded((SPECS / "wall-rack.yaml").read_text()))
    BROKEN[how](spec)
    assert list(schema.iter_errors(spec))
    # and the program says so too
    assert errors(told(yaml.safe_dump(spec, sort_keys=False))[1])


def test_the_schema_completes_names_of_a_spec_and_refuses_no_other() -> None:
    text = (SPECS / "wall-rack.yaml").read_text()
    spec, found = parse(read_text_of(text))
    assert spec is not None and not found.failed
    made = json_schema(spec, parts=["left side", "shelf 1"])
    assert made["$defs"]["SizeName"]["enum"] == ["depth", "height", "width"]
    assert "left side" in str(made)
    Draft202012Validator.check_schema(made)
    assert not list(Draft202012Validator(made).iter_errors(loaded(text)))


def read_text_of(text: str) -> Any:
    from build123.problem import Source

    return read_text(Source("spec.yaml", text))[0][0]


def test_every_class_is_on_the_page_once() -> None:
    headings = re.findall(r"^## (.+)$", page(), re.MULTILINE)
    assert headings == [heading for heading, _ in entry_classes()]
    assert len(set(headings)) == len(headings)


def test_each_entry_shows_its_own_keys_where_it_has_an_example() -> None:
    for heading, kind in entry_classes():
        if ": " in heading:  # a joint or a shape
            assert issubclass(kind, Entry) and examples(kind), heading
            assert f"- {heading.split(': ')[1]}:" in examples(kind)[0]
