"""What is written once and stands there several times: pairs, runs, both, and the middle they are mirrored about."""

from __future__ import annotations

import pytest
from compiling import design_of, errors, marked, span, told


def piece(parts: str, more: str = "", sizes: str = "{width: 500, depth: 400}") -> str:
    return f"""\
build123: 1
piece: Frame
sizes: {sizes}
{more}stock: {{ash: {{board: ash, thickness: 30}}}}
parts:
{parts}"""


def test_left_and_right() -> None:
    made = design_of(piece("  side: {pair: left and right, stock: ash, x: from 10, y: 0 to 100, z: 0 to 600}\n"))
    assert span(made, "left side")[0] == (10, 40)
    assert span(made, "right side")[0] == (460, 490)
    assert made.groups["side"] == ("left side", "right side")


def test_front_and_back() -> None:
    made = design_of(piece("  rail: {pair: front and back, stock: ash, x: 0 to 500, y: from 10, z: 0 to 60}\n"))
    assert span(made, "front rail")[1] == (10, 40)
    assert span(made, "back rail")[1] == (360, 390)


def test_both_makes_four() -> None:
    made = design_of(piece("  leg: {pair: both, stock: ash, x: from 5, y: from 10 for 40, z: 0 to 600}\n"))
    at = {name: span(made, name)[:2] for name in made.groups["leg"]}
    assert at == {
        "front left leg": ((5, 35), (10, 50)),
        "front right leg": ((465, 495), (10, 50)),
        "back left leg": ((5, 35), (350, 390)),
        "back right leg": ((465, 495), (350, 390)),
    }


def test_a_pair_of_a_run() -> None:
    made = design_of(piece("  cleat: {pair: left and right, stock: ash, x: from 0, y: 0 to 300, z: [from 100 for 20, from 200 for 20]}\n"))
    assert set(made.by_name) == {"left cleat 1", "right cleat 1", "left cleat 2", "right cleat 2"}
    assert span(made, "right cleat 2") == ((470, 500), (0, 300), (200, 220))


def test_words_of_a_hand_stand_for_all_that_have_it() -> None:
    text = piece(
        "  leg: {pair: both, stock: ash, x: from 0, y: from 0 for 40, z: 0 to 600}\n"
        "  rail: {stock: ash, x: from 0, y: front left leg to back left leg, z: up to 600 for 60}\n"
    )
    made = design_of(text + "joints:\n  - dowels: {of: rail, to: left leg, count: 2}\n")
    assert [j.receiver for j in made.joints] == ["front left leg", "back left leg"]


def test_the_middle_is_half_of_width_or_length_and_of_depth() -> None:
    made = design_of(piece("  end: {pair: left and right, stock: ash, x: from 0, y: 0 to 10, z: 0 to 60}\n", sizes="{length: 800}"))
    assert span(made, "right end")[0] == (770, 800)


def test_a_middle_of_ones_own() -> None:
    text = piece("  leg: {pair: both, stock: ash, x: from 0, y: from 0 for 40, z: 0 to 60}\n", "middle: {x: 300, y: span / 2}\n", "{span: 1000}")  # fmt: skip
    made = design_of(text)
    assert span(made, "back right leg")[:2] == ((570, 600), (960, 1000))


def test_a_pair_without_a_middle_asks_for_one() -> None:
    found = errors(told(piece("  leg: {pair: left and right, stock: ash, x: from 0, y: 0 to 40, z: 0 to 60}\n", sizes="{span: 1000}"))[1])
    assert len(found) == 1 and "middle" in found[0].message + found[0].change
    assert marked(found[0]) in ("leg", "left and right")


@pytest.mark.parametrize("pair", ["left and right", "front and back", "both"])
def test_an_opposite_hand_keeps_its_own_right_handed_frame(pair: str) -> None:
    from build123.model.frame import cross

    made = design_of(piece(f"  leg: {{pair: {pair}, stock: ash, x: from 0, y: from 0 for 40, z: 0 to 600}}\n"))
    for one in made.parts:
        assert cross(one.placement.x, one.placement.y) == pytest.approx(one.placement.z)


def test_a_written_hand_and_a_pair_of_one_name_are_refused() -> None:
    text = piece(
        "  leg: {pair: left and right, stock: ash, x: from 0, y: 0 to 40, z: 0 to 60}\n"
        "  left leg: {stock: ash, x: from 100, y: 0 to 40, z: 0 to 60}\n"
    )
    found = errors(told(text)[1])
    assert [f.id for f in found] == ["two-of-one-name"]
    assert marked(found[0]) == "left leg" and len(found[0].places) == 2


def test_a_run_in_a_place_for_one_lists_what_it_stands_for() -> None:
    text = piece(
        "  shelf: {stock: ash, x: 0 to 500, y: 0 to 100, z: [from 0, from 100]}\n"
        "  post: {stock: ash, x: from 0, y: 0 to 100, z: shelf to 600}\n"
    )
    (found,) = errors(told(text)[1])
    assert found.id == "run-for-one" and "shelf 1, shelf 2" in found.message and marked(found) == "shelf"
