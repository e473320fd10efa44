"""Three pieces of the gallery, each about what a maker must think of before the glue is open: a panel that is held back until
its frame closes, a case that needs two sub-assemblies, and a top that moves.
"""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from compiling import features, part, size
from moving import Glued, collisions, each_body_once

from build123.kernel import Store
from build123.model.design import ExpectKind
from build123.model.feature import Hole, Purpose
from build123.pipeline import Compiled, compile_text

GALLERY = Path(__file__).parents[2] / "specs"
DOWN, UP, TOWARDS_THE_FRONT = (0.0, 0.0, -1.0), (0.0, 0.0, 1.0), (0.0, -1.0, 0.0)

DRY_PCT, DAMP_PCT = 8.7, 16.4
"""Moisture content of wood at 10 degrees Celsius (50 F) and 45 % or 80 % relative humidity, the garden shed of the climate table:
FPL-GTR-190 (2010) Table 4-2, 45 % halfway between its 7.9 at 40 % and its 9.5 at 50 %."""
WHITE_OAK_FLAT_SAWN = 0.00365
"""Change across the grain for one point of moisture content: FPL-GTR-190 (2010) Table 13-5."""
PLYWOOD = 0.00013
"""The same for plywood, common practice."""
WOOD_NOT_IN_THE_HANDBOOK = 0.0025
"""The general rule of the American Wood Council FAQ; larch is not in the handbook's table."""


def clean(name: str, store: Store) -> tuple[Compiled, Glued]:
    made = compile_text((GALLERY / f"{name}.yaml").read_text(encoding="utf-8"), store)
    assert made.findings == (), [one.message for one in made.findings]
    assert made.design is not None and made.fit is not None and made.glue_up is not None
    return made, Glued(made.design, made.fit, made.glue_up)


@pytest.mark.parametrize("name", ["cupboard-door", "tool-cupboard", "potting-bench"])
def test_the_solids_can_be_moved_along_the_steps(name: str, store: Store) -> None:
    _, one = clean(name, store)
    assert one.plan.confirmed and not one.plan.trapped
    each_body_once(one)
    assert list(collisions(one, store)) == []


def test_the_panel_of_the_door_waits_in_its_grooves_until_the_frame_closes(store: Store) -> None:
    _, one = clean("cupboard-door", store)
    ((panel, closed_in_by),) = one.plan.held_back
    assert panel == "panel" and {"left stile", "right stile"} <= set(closed_in_by)
    assert one.order("panel", *closed_in_by)[0] == "panel"


def test_the_panel_of_the_door_has_room_to_swell_and_wood_left_in_its_grooves(store: Store) -> None:
    made, _ = clean("cupboard-door", store)
    # 450 - 2 x 60 between the stiles, and 12 - 4 into each groove
    assert size(made, "panel")[1] == pytest.approx(450 - 2 * 60 + 2 * (12 - 4))
    swells_mm = 346 * WOOD_NOT_IN_THE_HANDBOOK * (DAMP_PCT - DRY_PCT)  # 6.66 over a year, half of it at each edge
    assert swells_mm / 2 < 4 < 12 - swells_mm / 2
    assert made.design is not None and made.fit is not None
    floors = [
        expect
        for joint in made.design.joints
        for expect in joint.expects
        if joint.member == "panel" and expect.kind is ExpectKind.gap and expect.nominal_mm == pytest.approx(4)
    ]
    measured = [gap.gap_mm for gap in made.fit.gaps if "panel" in (gap.a, gap.b) and gap.gap_mm > 1]
    assert len(floors) == 4 and measured == pytest.approx([4.0] * 4)


def test_each_nest_of_the_cupboard_is_made_before_it_goes_into_the_sides(store: Store) -> None:
    _, one = clean("tool-cupboard", store)
    assert [set(parts) for parts in one.plan.sub_assemblies] == [
        {"low shelf 1", "low shelf 2", "low divider 1", "low divider 2"},
        {"high shelf 1", "high shelf 2", "high divider"},
    ]
    back, pins = one.plan.steps[-2:]
    assert back.bodies == ("back",) and back.direction == TOWARDS_THE_FRONT
    assert len(pins.bodies) == 4 * 6 and all(name.startswith("pin ") for name in pins.bodies)


def test_the_top_of_the_bench_comes_on_last_and_is_screwed_from_below(store: Store) -> None:
    _, one = clean("potting-bench", store)
    top, screws = one.plan.steps[-2:]
    assert (top.bodies, top.direction) == (("top",), DOWN)
    assert len(screws.bodies) == 8 and screws.direction == UP


def test_the_slots_of_the_bench_are_as_long_as_the_handbook_says(store: Store) -> None:
    """Held at the front rail, the oak moves past the screws of the back rail by what 300 mm of it move, less what the plywood does."""
    made, _ = clean("potting-bench", store)
    middle = {name: part(made, name).box.middle[1] for name in ("front rail", "back rail")}
    away = middle["back rail"] - middle["front rail"]
    assert away == pytest.approx(400 - 40 - (20 + 40))  # 300
    each_way = away * (WHITE_OAK_FLAT_SAWN - PLYWOOD) * (DAMP_PCT - DRY_PCT)
    assert each_way == pytest.approx(8.13, abs=0.01)
    # a hole of 4.5 mm gives a 4 mm screw a quarter of a millimetre each way; the slot gives the rest, in steps of half a millimetre
    slot = math.ceil(2 * (each_way - 0.25) / 0.5) * 0.5
    assert slot == 16.0
    assert slots(made, "back rail") == [(Purpose.movement, 4.5, pytest.approx(slot))] * 4
    assert slots(made, "front rail") == [(Purpose.clearance, 4.5, 0.0)] * 4


def test_in_a_heated_house_the_same_slots_are_half_as_long(store: Store) -> None:
    """6.2 % at 30 % relative humidity and 10.1 % at 55 %, 70 F, of the same table (55 % halfway between 9.2 and 11.0)."""
    text = (GALLERY / "potting-bench.yaml").read_text(encoding="utf-8").replace("climate: {place: garden shed}\n", "")
    made = compile_text(text, store)
    each_way = 300 * (WHITE_OAK_FLAT_SAWN - PLYWOOD) * (10.1 - 6.2)
    assert [slot for _, _, slot in slots(made, "back rail")] == [pytest.approx(2 * (each_way - 0.25), abs=0.5)] * 4


def slots(made: Compiled, name: str) -> list[tuple[Purpose, float, float]]:
    """Of each hole through a part: what it is for, its diameter past the head, and how long its slot is, mm."""
    found = []
    for feature in features(made, name, Hole):
        hole = feature.geometry
        assert isinstance(hole, Hole) and hole.through
        assert hole.slot[0] == pytest.approx(0.0)  # along the trench of the rail nothing moves
        found.append((feature.about.purpose, hole.steps[-1].diameter_mm, math.hypot(*hole.slot)))
    return found
