"""Taken apart: bodies stand clear of one another, each off its receiver the way the joint opens."""

import math
from pathlib import Path

import pytest

from build123.drawing.piece_apart import one_of_each, pulled_apart
from build123.drawing.piece_lines import apart
from build123.kernel import Store
from build123.model.frame import add, dot, sub
from build123.pipeline import compile_file

SPECS = Path(__file__).parents[2] / "specs"
STORE = Store()


@pytest.fixture(scope="module", params=["seed-cabinet", "cubby-bench", "wall-rack", "wall-unit"])
def piece(request):
    made = compile_file(SPECS / f"{request.param}.yaml", store=STORE)[0]
    shown, told = one_of_each(made.design)
    return made.design, shown, told, pulled_apart(made.design, made.glue_up, shown)


def test_parts_that_are_joined_stand_clear_of_each_other(piece):
    design, shown, _, shifts = piece
    for joint in design.joints:
        if joint.member in shown and joint.receiver in shown:
            (low, high), (other_low, other_high) = (
                (add(box.low, shifts[name]), add(box.high, shifts[name]))
                for name in (joint.member, joint.receiver)
                for box in (design.by_name[name].box,)
            )
            assert max(max(low[k] - other_high[k], other_low[k] - high[k]) for k in range(3)) > 1.0, joint.id


def test_a_member_leaves_its_receiver_the_way_the_joint_opens(piece):
    design, shown, _, shifts = piece
    known = [j for j in design.joints if j.opens is not None and not j.rests and j.member in shown and j.receiver in shown]
    off = [dot(sub(shifts[j.member], shifts[j.receiver]), j.opens) for j in known]
    assert known and all(far > -1e-6 for far in off)
    assert sum(far > 1.0 for far in off) >= 0.8 * len(off), "most open visibly; a glued face may be drawn apart another way"


def test_of_bays_that_are_alike_one_is_drawn():
    design = compile_file(SPECS / "wall-unit.yaml", store=STORE, dry=False)[0].design
    shown, told = one_of_each(design)
    assert told == "bay 1, 1 of 9 alike"
    assert len(shown) == (len(design.parts) + len(design.hardware)) / 9
    assert {design.by_name[name].shape_key for name in shown if name in design.by_name} == {part.shape_key for part in design.parts}


def test_a_dowel_stands_between_the_parts_that_it_joins(piece):
    design, shown, _, shifts = piece
    joints = {joint.id: joint for joint in design.joints}
    for thing in design.hardware:
        if thing.name in shown and thing.label.startswith("dowel"):
            joint = joints[thing.joint]
            way = thing.placement.z
            middle = dot(add(thing.box.middle, shifts[thing.name]), way)
            sides = [dot(add(design.by_name[name].box.middle, shifts[name]), way) for name in (joint.member, joint.receiver)]
            assert min(sides) < middle < max(sides)


def test_a_screw_stands_outside_the_part_that_it_goes_through():
    made = compile_file(SPECS / "potting-bench.yaml", store=STORE)[0]
    design = made.design
    shifts = pulled_apart(design, made.glue_up, one_of_each(design)[0])
    screws = [thing for thing in design.hardware if thing.label.startswith(("screw", "pan-head"))]
    assert len(screws) == 8
    for thing in screws:
        # the rails lie under the top and the screws go up through them
        rail = next(part for part in design.parts if "rail" in part.name and part.name in thing.joint)
        assert thing.placement.z[2] > 0.99
        assert thing.box.high[2] + shifts[thing.name][2] < rail.box.low[2] + shifts[rail.name][2]


def test_lines_that_lie_on_one_another_are_drawn_once():
    """10 long, and 4 to 14 over it: 14 in all. A line 1 mm beside it is another."""
    found = list(apart([((0.0, 0.0), (10.0, 0.0)), ((4.0, 0.0), (14.0, 0.0)), ((0.0, 1.0), (10.0, 1.0)), ((10.0, 0.05), (2.0, 0.05))]))
    assert sum(math.dist(a, b) for a, b in found) == pytest.approx(24.0)
