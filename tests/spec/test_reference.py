"""The reference page and the schema are made from the classes, are current, and their examples compile."""

from __future__ import annotations

import re
from pathlib import Path

import jsonschema
import pytest
import yaml

from build123 import joints, shapes
from build123.kernel.store import Store
from build123.pipeline import compile_text
from build123.problem import Severity
from build123.spec.reference import examples, page
from build123.spec.schema import entry_classes, json_schema

SPECS = Path(__file__).resolve().parents[2] / "specs"
EXAMPLES = [(heading, text) for heading, kind in entry_classes() for text in examples(kind)]
STORE = Store()


def test_the_page_is_current() -> None:
    assert (SPECS / "README.md").read_text(encoding="utf-8") == page()


@pytest.mark.parametrize(("heading", "text"), EXAMPLES, ids=[h for h, _ in EXAMPLES])
def test_an_example_compiles_and_is_clean(heading: str, text: str) -> None:
    made = compile_text(text, STORE)
    assert made.design is not None
    assert [(f.id, f.message) for f in made.findings if f.severity > Severity.note and not f.waived] == []


@pytest.mark.parametrize("heading", [h for h, _ in entry_classes()])
def test_every_key_has_a_meaning_and_an_example(heading: str) -> None:
    kind = dict(entry_classes())[heading]
    everything = "\n".join(text for _, text in EXAMPLES)
    for name, field in kind.model_fields.items():
        key = field.alias or name
        assert field.description, key
        assert re.search(rf"(?<![\w-]){re.escape(key)}:", everything), f"{heading}: no example uses {key}"


def test_the_schema_takes_the_gallery_and_the_examples_and_refuses_a_slip() -> None:
    validator = jsonschema.Draft202012Validator(json_schema())
    texts = [path.read_text() for path in SPECS.glob("*.yaml")] + [text for _, text in EXAMPLES]
    assert len(texts) > 15
    for text in texts:
        assert [e.message for e in validator.iter_errors(yaml.safe_load(text))] == []
    slip = yaml.safe_load(texts[0])
    slip["peice"] = "x"
    assert list(validator.iter_errors(slip))


def test_joints_and_shapes_are_found_by_being_there() -> None:
    assert {"dado", "groove", "rabbet", "tongue", "dowels", "glued", "rests"} <= set(joints.kinds())
    assert {"holes", "taper", "chamfer"} <= set(shapes.kinds())
