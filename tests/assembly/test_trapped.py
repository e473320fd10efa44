"""What cannot be put together is told with what holds it, and nothing else is."""

from __future__ import annotations

from moving import Glued, each_body_once, glued

import specs
from build123.checks.docs import explain
from build123.checks.run import run
from build123.checks.seen import Seen
from build123.kernel import Store
from build123.model.plan import Trapped
from build123.problem import Finding

FRAME_PARTS = ("left stile", "right stile", "rail 1", "rail 2")


def told(one: Glued) -> list[Finding]:
    return [f for f in run(Seen(one.design, one.fit, glue_up=one.plan)) if f.id == "cannot-be-assembled"]


def test_a_panel_is_trapped_by_a_frame_that_is_glued_up_first(store: Store) -> None:
    one = glued(specs.CLOSED_FRAME, store)
    assert one.plan.trapped == (Trapped(("panel",), FRAME_PARTS),)
    assert not one.plan.confirmed and one.plan.sub_assemblies == (FRAME_PARTS,)
    each_body_once(one)
    (found,) = told(one)
    assert (
        found.message
        == "panel cannot be brought in by any straight move: left stile, right stile, rail 1 and rail 2 hold it from all sides"
    )
    assert found.parts == ("panel", *FRAME_PARTS) and found.joint.startswith("groove: panel in") and found.places


def test_three_boards_dowelled_along_three_axes_hold_one_another(store: Store) -> None:
    one = glued(specs.CORNER, store)
    ((trapped),) = one.plan.trapped
    assert {*trapped.parts, *trapped.by} == {"base", "side", "back"}
    each_body_once(one)
    assert one.step("ledge").direction is not None


def test_two_of_the_three_joints_turned_alike_let_them_go(store: Store) -> None:
    assert not glued(
        specs.CORNER.replace("  - dowels: {of: back, to: base, count: 2}\n", "  - glued: {of: back, to: base}\n"), store
    ).plan.trapped


def test_a_closed_assembly_is_opened_where_that_lets_a_part_in(store: Store) -> None:
    """A placed frame is no made-up part: its last stile may wait for the panel."""
    parts, joints = specs.FRAME.split("parts:\n")[1].split("joints:\n")
    stile, rail, panel = parts.splitlines()
    dowels = joints.splitlines()[1]
    text = "\n".join(
        [
            specs.FRAME.split("sizes:")[0] + "stock:",
            *("  larch: {board: larch, thickness: 30}", "  thin: {sheet: birch plywood, thickness: 6}"),
            "assemblies:",
            "  frame:",
            "    sizes: {width: 500, height: 700}",
            "    parts:",
            *(f"    {line}" for line in (stile, rail)),
            "    joints:",
            f"    {dowels}",
            "place:",
            "  frame: {assembly: frame, at: [0, 0, 0]}",
            "parts:",
            panel.replace("left stile", "left stile of frame")
            .replace("right stile", "right stile of frame")
            .replace("rail 1", "rail 1 of frame")
            .replace("rail 2", "rail 2 of frame"),
            "joints:",
            "  - groove: {of: panel, in: [stile of frame, rail of frame], depth: 8, fit: easy}",
        ]
    )
    one = glued(text + "\n", store)
    assert not one.plan.trapped and [name for name, _ in one.plan.held_back] == ["panel"]


def test_the_check_says_nothing_where_no_order_was_looked_for(store: Store) -> None:
    one = glued(specs.CLOSED_FRAME, store)
    assert [f for f in run(Seen(one.design, one.fit)) if f.id == "cannot-be-assembled"] == []


def test_the_examples_of_the_check_do_what_they_say(store: Store) -> None:
    said = explain("cannot-be-assembled")
    assert len(told(glued(said.bad.spec, store))) == 1
    assert told(glued(said.good.spec, store)) == []
