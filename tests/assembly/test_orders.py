"""Orders that a maker would follow, and their proof on the solids themselves."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from moving import Glued, collisions, each_body_once, glued

import specs
from build123.assembly.glue import glue_up
from build123.kernel import Store
from build123.pipeline import compile_text

GALLERY = Path(__file__).parents[2] / "specs"
PIECES = {
    **{name: (GALLERY / f"{name}.yaml").read_text() for name in ("wall-rack", "cubby-bench", "seed-cabinet")},
    **{
        name: getattr(specs, name)
        for name in ("FRAME", "CASE", "SIEVE", "TABLE", "OPEN_PIN_SHELF", "SHUT_PIN_SHELF", "LEANING", "DRAWER_IN_CASE", "FACE_FRAME")
    },
}
DOWN, BACKWARDS, LEFT = (0.0, 0.0, -1.0), (0.0, 1.0, 0.0), (-1.0, 0.0, 0.0)


@pytest.mark.parametrize("name", PIECES)
def test_the_solids_can_be_moved_along_the_steps(name: str, store: Store) -> None:
    one = glued(PIECES[name], store)
    assert one.plan.confirmed and not one.plan.trapped
    each_body_once(one)
    assert list(collisions(one, store)) == []


def test_moving_the_solids_the_wrong_way_is_noticed(store: Store) -> None:
    one = glued(specs.CASE, store)
    for wrong in (DOWN, (1.0, 0.0, 0.0)):
        steps = tuple(replace(s, direction=wrong) if s.bodies == ("right side",) else s for s in one.plan.steps)
        found = list(collisions(Glued(one.design, one.fit, replace(one.plan, steps=steps)), store))
        assert found and all("right side" in line for line in found)


def test_a_side_is_laid_down_first_and_the_other_put_on_last(store: Store) -> None:
    one = glued(PIECES["wall-rack"], store)
    assert one.plan.steps[0].bodies == ("left side",) and one.plan.steps[0].direction is None
    assert one.plan.steps[-1].bodies == ("right side",)
    assert {step.direction for step in one.plan.steps[1:]} == {LEFT}


def test_shelves_with_a_divider_between_them_are_sub_assemblies(store: Store) -> None:
    one = glued(specs.CASE, store)
    assert one.plan.sub_assemblies == (("shelf 1", "shelf 2", "low divider"), ("shelf 3", "shelf 4", "high divider"))
    assert [step.bodies for step in one.plan.steps if step.within == 1] == [("shelf 1",), ("low divider",), ("shelf 2",)]
    nest = one.step("low divider")
    assert nest.direction == LEFT and nest.onto == ("left side",)
    assert set(nest.joints) == {"dado: shelf 1 in left side", "dado: shelf 2 in left side"}


def test_a_case_on_its_plinth_takes_two_sub_assemblies_then_its_back_then_its_top(store: Store) -> None:
    one = glued(PIECES["seed-cabinet"], store)
    assert [set(parts) for parts in one.plan.sub_assemblies] == [
        {"shelf 1", "divider", "shelf 2"},
        {"plinth front", "plinth back", "left plinth end", "right plinth end"},
    ]
    *_, back, pins, top, screws = one.plan.steps
    assert (back.bodies, top.bodies) == (("back",), ("top",))
    assert all(name.startswith("pin ") for name in pins.bodies) and all(name.startswith("screw ") for name in screws.bodies)
    assert screws.direction == (0.0, 0.0, 1.0)
    assert one.step("top").direction == DOWN and one.step("back").direction == (0.0, -1.0, 0.0)


def test_legs_and_aprons_make_ends_before_they_make_a_table(store: Store) -> None:
    one = glued(specs.TABLE, store)
    assert ("back left leg", "back right leg", "back apron") in one.plan.sub_assemblies
    assert one.plan.steps[-1].bodies == ("top",)


def test_a_face_frame_is_made_up_by_itself_and_put_on_whole(store: Store) -> None:
    one = glued(specs.FACE_FRAME, store)
    assert one.plan.sub_assemblies == (("left stile", "right stile", "rail 1", "rail 2"),)
    assert one.step("rail 1").direction == BACKWARDS and one.order("left side", "left stile") == ["left side", "left stile"]


def test_boards_butted_in_a_ring_go_together_as_two_corners(store: Store) -> None:
    one = glued(specs.SIEVE, store)
    assert len(one.plan.sub_assemblies) == 1 and len(one.plan.sub_assemblies[0]) == 2


def test_a_floating_panel_is_held_back_for_the_frame_to_close_round_it(store: Store) -> None:
    one = glued(specs.FRAME, store)
    ((panel, closes),) = one.plan.held_back
    assert panel == "panel" and one.plan.steps[-1].bodies[0] in closes
    assert all(one.order("panel", part)[0] == "panel" for part in closes)


def test_a_loose_shelf_goes_in_last_of_all(store: Store) -> None:
    assert glued(specs.OPEN_PIN_SHELF, store).plan.steps[-1].bodies == ("shelf",)


def test_a_loose_shelf_that_a_fixed_front_would_shut_out_goes_in_before_it(store: Store) -> None:
    assert [step.bodies for step in glued(specs.SHUT_PIN_SHELF, store).plan.steps[-2:]] == [("shelf",), ("front",)]


def test_a_pin_is_pushed_in_once_its_side_stands_and_nothing_is_in_its_way(store: Store) -> None:
    one = glued(specs.OPEN_PIN_SHELF, store)
    pin = one.step("pin")
    assert pin.bodies == ("pin",) and pin.direction == LEFT and pin.travel_mm == 20.0
    assert one.order("left side", "pin", "right side") == ["left side", "pin", "right side"]


def test_dowels_travel_with_one_of_their_parts(store: Store) -> None:
    one = glued(PIECES["wall-rack"], store)
    for thing in one.design.hardware:
        step = one.step(thing.name)
        assert len(step.bodies) > 1 and any(name in thing.joint for name in step.bodies if name in one.design.by_name)


def test_a_placed_drawer_is_made_first_and_then_pushed_in(store: Store) -> None:
    one = glued(specs.DRAWER_IN_CASE, store)
    drawer = one.plan.steps[-1]
    assert drawer.direction == BACKWARDS and set(drawer.bodies) >= set(one.plan.sub_assemblies[1])


def test_parts_that_lean_go_in_square_to_the_sides(store: Store) -> None:
    assert {step.direction for step in glued(specs.LEANING, store).plan.steps[1:]} == {LEFT}


@pytest.mark.nightly
def test_five_hundred_parts_take_less_than_two_seconds() -> None:
    rows, columns, store = 16, 30, Store()
    made = compile_text(specs.wall_of_boards(columns, rows), store)
    assert made.design is not None and made.fit is not None and len(made.design.parts) == columns + 1 + rows * columns
    plan = glue_up(made.design, made.fit, store)
    assert plan.confirmed and plan.seconds < 2.0


def test_the_same_piece_gives_the_same_order(store: Store) -> None:
    one, again = glued(specs.CASE, store), glued(specs.CASE, Store())
    assert one.plan.steps == again.plan.steps
