"""What used to pass in silence and hangs on one side, and what used to be told in a dozen findings."""

import pytest
from making import case

from build123.kernel.store import Store
from build123.pipeline import compile_text


def told(made: object) -> list[str]:
    return [f.id for f in made.findings]  # type: ignore[attr-defined]


@pytest.mark.parametrize("gap", ["1", "5", "19"])
def test_a_shelf_that_stops_short_of_one_side_is_told(gap: str) -> None:
    made = case(
        "  - dado: {of: [shelf, short], in: side, depth: 6}",
        parts=f"  short: {{stock: ply, x: left side to right side - {gap}, y: 0 to depth, z: from 200}}",
    )
    assert told(made) == ["joint-parts-apart"]
    assert f"{gap} mm short of right side" in made.findings[0].message


def test_a_part_between_two_of_the_receivers_meets_its_own() -> None:
    made = case(
        "  - dado: {of: [shelf, low, high], in: side, depth: 6}\n  - dado: {of: post, in: [low, high], depth: 3}",
        parts=(
            "  low: {stock: ply, x: left side to right side, y: 0 to depth, z: from 150}\n"
            "  high: {stock: ply, x: left side to right side, y: 0 to depth, z: from 200}\n"
            "  post: {stock: ply, x: centred on 250, y: 0 to depth, z: low to high}"
        ),
    )
    assert told(made) == []


def test_dowels_in_a_dado_are_refused_once() -> None:
    made = case("  - dado: {of: shelf, in: side, depth: 6}\n  - dowels: {of: shelf, to: side, count: 3}")
    assert told(made) == ["joints-collide"]


def test_facing_dados_that_saw_the_part_in_two_are_the_makers_doing() -> None:
    made = case(
        "  - dado: {of: shelf, in: side, depth: 6}\n  - dado: {of: [low, high], in: shelf, depth: 9}",
        parts="  low: {stock: ply, x: centred on 250, y: 0 to depth, z: 0 to shelf}\n  high: {stock: ply, x: centred on 250, y: 0 to depth, z: shelf to 300}",
    )
    assert told(made) == ["cut-apart"]
    assert "fault of ours" not in made.findings[0].why


@pytest.mark.parametrize("more", ["fits: {snug: -2}", "fits: {snug: -0.2 mm}"])
def test_a_fit_that_would_split_the_wood_is_refused(more: str) -> None:
    assert told(case("  - dado: {of: shelf, in: side, depth: 6, fit: snug}", more=more)) == ["bad-value"]


def test_a_depth_in_the_wrong_unit_is_told() -> None:
    made = case("  - dado: {of: shelf, in: side, depth: 1/4}")
    assert told(made) == ["bad-depth"]
    assert "inches" in made.findings[0].change


def test_a_nominal_in_the_wrong_unit_is_told() -> None:
    made = compile_text(
        "build123: 1\npiece: B\nstock: {ply: {sheet: birch plywood, nominal: 3/4, thickness: 17.8}}\nparts:\n  b: {stock: ply, x: 0 to 300, y: 0 to 200, z: from 0}\n"
    )
    assert told(made) == ["bad-value"]


def test_a_store_shared_by_two_files_gives_each_its_own_pose() -> None:
    store = Store()
    text = (
        "build123: 1\npiece: A\nsizes: {width: 600, depth: 300, height: 500}\nstock: {ply: {sheet: birch plywood, thickness: 18}}\nparts:\n"
        "  side: {pair: left and right, stock: ply, x: from 0, y: 0 to depth, z: 0 to height}\n"
        "  shelf: {stock: ply, x: left side to right side, y: 0 to depth, z: up to 300}\njoints:\n  - dado: {of: shelf, in: side, depth: 6}\n"
    )
    assert told(compile_text(text, store)) == []
    assert told(compile_text(text.replace("up to 300", "from 200"), store)) == []


def test_tapered_legs_that_differ_in_the_last_digit_are_still_one_part() -> None:
    made = compile_text(
        "build123: 1\npiece: Side table\nunits: in\nsizes: {width: 18, depth: 18}\n"
        "stock: {cherry: {board: cherry, thickness: 1 1/2}, stuff: {board: cherry, thickness: 3/4}}\nparts:\n"
        "  leg: {pair: both, stock: cherry, x: from 1 for 1 1/2, y: from 1, z: 0 to 23 1/4}\n"
        "  apron: {pair: left and right, stock: stuff, x: from 1 3/8, y: front left leg to back left leg, z: up to 23 1/4 for 4}\n"
        "  rail: {pair: front and back, stock: stuff, x: front left leg to front right leg, y: from 1 3/8, z: up to 23 1/4 for 4}\n"
        "joints:\n  - tongue: {of: [apron, rail], in: leg, thickness: 1/4, depth: 1/2}\nshapes:\n  - taper: {of: leg, from: 5 below top, to: 7/8}\n"
    )
    assert told(made) == []
    assert made.design is not None
    assert len({p.shape_key for p in made.design.parts if "leg" in p.name}) <= 2


@pytest.mark.parametrize("degrees", [7, 8, 9, 12])
def test_a_lean_of_any_angle_makes_closed_meshes(degrees: int) -> None:
    made = compile_text(
        f"build123: 1\npiece: Leaning shelf\nsizes: {{width: 700, height: 1800}}\nframes: {{lean: {{turn: -{degrees} deg, about: x}}}}\n"
        "stock: {pine: {board: pine, thickness: 20}}\nparts:\n"
        "  side: {pair: left and right, frame: lean, stock: pine, x: from 0, y: 0 to 100, z: floor to level height}\n"
        "  shelf: {stock: pine, x: left side to right side, y: front of left side to back of left side, z: [from 250, from 750], edges: follow}\n"
        "joints:\n  - dado: {of: shelf, in: side, depth: 6}\n"
    )
    assert told(made) == []
