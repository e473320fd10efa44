"""Faces that lie against each other: glued, or resting, with nothing cut."""

from __future__ import annotations

import pytest
from compiling import errors, goes_together, marked, told, volume

from build123.kernel import Store
from build123.kernel.damage import Shift
from build123.pipeline import compile_text


def stack(joints: str, plank: str = "z: from 100") -> str:
    return f"""\
build123: 1
piece: Plank on blocks
stock: {{larch: {{board: larch, thickness: 40}}}}
parts:
  block: {{stock: larch, x: [from 50, from 600], y: 60 to 140, z: 0 to 100}}
  plank: {{stock: larch, x: 0 to 700, y: 0 to 200, {plank}}}
joints:
{joints}"""


def test_glued_cuts_nothing_and_wants_the_faces_to_touch(store: Store) -> None:
    made = goes_together(stack("  - glued: {of: plank, to: block}\n"), store)
    assert made.design is not None
    assert volume(made, "plank") == pytest.approx(700 * 200 * 40)
    assert [(j.member, j.receiver, j.rests) for j in made.design.joints] == [("plank", "block 1", False), ("plank", "block 2", False)]
    assert all(e.glued for j in made.design.joints for e in j.expects)
    lifted = compile_text(stack("  - glued: {of: plank, to: block}\n"), store, damage=(Shift("plank", (0, 0, 0.5)),))
    assert "seat-open" in {f.id for f in errors(lifted.findings)}


def test_rests_is_bare_touching_that_is_meant(store: Store) -> None:
    text = stack("  - glued: {of: plank, to: block 1}\n  - rests: {of: plank, upon: block 2}\n").replace(
        "y: 60 to 140, z: 0 to 100}", "y: 60 to 140, z: 0 to 100, loose: yes}"
    )
    made = goes_together(text, store)
    assert made.design is not None
    assert [(j.kind, j.rests) for j in made.design.joints] == [("glued", False), ("rests", True)]
    assert not any(e.glued for e in made.design.joints[1].expects)


def test_touching_without_a_joint_is_told(store: Store) -> None:
    made = compile_text(stack("  - glued: {of: plank, to: block 1}\n"), store)
    assert any(f.id == "contact-without-joint" and "block 2" in f.parts for f in made.findings)


def test_what_hangs_in_the_air_cannot_be_glued() -> None:
    found = errors(told(stack("  - glued: {of: plank, to: block}\n", plank="z: from 103"))[1])
    assert [f.id for f in found] == ["joint-parts-apart"]
    assert "3 mm" in found[0].message and marked(found[0]) == "plank"


def test_a_run_joined_to_itself_joins_nothing() -> None:
    found = errors(told(stack("  - glued: {of: block, to: block}\n"))[1])
    assert found and all(f.id in ("joint-parts-apart", "joint-joins-nothing") for f in found)


def test_the_count_of_pairs_is_kept_as_a_note() -> None:
    design, _ = told(stack("  - glued: {of: plank, to: block}\n"))
    assert design is not None and design.notes == ("glued: 2 joints in 2 parts",)
