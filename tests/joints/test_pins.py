"""Pins, brads and staples: nothing drilled, places marked, wood bitten as measured."""

from __future__ import annotations

import pytest

from build123.kernel import Store
from build123.model.feature import Hole, Mark
from build123.model.part import Rod, Staple
from build123.pipeline import Compiled, compile_text

BACK = """
build123: 1
piece: Tray back
units: mm
stock: {ply: {sheet: birch plywood, thickness: 18}, thin: {sheet: birch plywood, thickness: 6}}
parts:
  shelf: {stock: ply, x: 0 to 400, y: 0 to 200, z: from 100}
  back: {stock: thin, x: 0 to 400, y: from 200, z: 0 to 300}
joints:
  - pins: {of: back, to: shelf, SAY}
"""


def back(say: str, store: Store) -> Compiled:
    made = compile_text(BACK.replace("SAY", say), store)
    return made


def test_brads_bite_both_parts_and_leave_no_hole(store: Store) -> None:
    made = back("every: 100, kind: brads, length: 20", store)
    assert made.design is not None and made.fit is not None
    features = made.design.by_name["back"].features + made.design.by_name["shelf"].features
    assert not [f for f in features if isinstance(f.geometry, Hole)]
    (marks,) = [f.geometry for f in features if isinstance(f.geometry, Mark)]
    # 400 mm less 25 at each end is 350: four gaps of 87.5, five brads
    assert len(marks.points) == 5
    bites = {(one.part, round(one.bite_mm, 2)) for one in made.fit.driven}
    assert bites == {("back", 6.0), ("shelf", 14.0)}
    assert {thing.label for thing in made.design.hardware} == {"18 gauge brad x 20 mm"}
    assert {thing.solid for thing in made.design.hardware} == {Rod(1.25, 20.0)}
    assert not [f for f in made.findings if f.id == "parts-interfere"]


def test_the_usual_length_leaves_two_thirds_in_the_second_part(store: Store) -> None:
    made = back("count: 3, kind: brads", store)
    assert made.design is not None
    assert {thing.solid for thing in made.design.hardware} == {Rod(1.25, 20.0)}


def test_staples_have_two_legs_across_the_grain_of_the_back(store: Store) -> None:
    made = back("count: 3, kind: staples, length: 20", store)
    assert made.design is not None and made.fit is not None
    staple = made.design.hardware[0]
    assert isinstance(staple.solid, Staple)
    assert abs(sum(a * b for a, b in zip(staple.placement.x, made.design.by_name["back"].placement.x, strict=True))) < 1e-9
    legs = [one for one in made.fit.driven if one.part == "shelf"]
    assert len(legs) == 6 and all(one.bite_mm == pytest.approx(14.0) for one in legs)


@pytest.mark.parametrize(
    ("say", "id"), [("count: 3, length: 6", "pin-does-not-reach"), ("count: 3, every: 50", "row-spacing"), ("kind: nails", "bad-value")]
)
def test_what_cannot_be_pinned_is_said(say: str, id: str, store: Store) -> None:
    assert {f.id for f in back(say, store).findings if f.severity.name == "error"} == {id}


def test_a_nail_that_does_not_go_through_is_called_by_its_kind(store: Store) -> None:
    (told,) = (f for f in back("kind: staples, length: 5", store).findings if f.id == "pin-does-not-reach")
    assert told.message.startswith("5 mm long, a staple does not go through back, which is 6 mm thick there, into shelf")
    assert told.change == "take longer ones, or screws"
    (told,) = (f for f in back("kind: finish nails, positions: [900]", store).findings if f.id == "off-strip")
    assert told.message.startswith("a finish nail at 900 mm")
