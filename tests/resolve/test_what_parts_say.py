"""Show, grain, loose, hardware, waivers and stock: what a part says besides its place."""

from __future__ import annotations

import pytest
from compiling import design_of, errors, goes_together, marked, part, told

from build123.kernel import Store
from build123.model.part import Block, Rod
from build123.pipeline import compile_text


def one(says: str, more: str = "", name: str = "board", stock: str = "{ply: {sheet: birch plywood, thickness: 18}}") -> str:
    return f"""\
build123: 1
piece: One board
sizes: {{width: 600, depth: 300, height: 800}}
stock: {stock}
parts:
  {name}: {{stock: ply, {says}}}
{more}"""


FLAT, UPRIGHT, BACK = "x: 0 to 600, y: 0 to 300, z: from 0", "x: from 0, y: 0 to 300, z: 0 to 800", "x: 0 to 600, y: up to 300, z: 0 to 800"


@pytest.mark.parametrize(
    ("says", "seen"), [(FLAT, "top"), (BACK, "front"), (FLAT + ", show: bottom", "bottom"), (BACK + ", show: back", "back")]
)
def test_the_face_that_is_seen(says: str, seen: str) -> None:
    board = part(design_of(one(says)), "board")
    assert board.looks[board.show] == seen


def test_uprights_show_away_from_the_middle_and_the_opposite_hand_the_opposite_face() -> None:
    for says, seen in (("", ("left", "right")), (", show: right", ("right", "left"))):
        made = design_of(one(f"pair: left and right, {UPRIGHT}{says}", name="side"))
        assert tuple(part(made, f"{h} side").looks[part(made, f"{h} side").show] for h in ("left", "right")) == seen


def test_a_face_that_is_an_edge_cannot_be_shown() -> None:
    found = errors(told(one(FLAT + ", show: front"))[1])
    assert [f.id for f in found] == ["bad-value"] and marked(found[0]) == "front"


@pytest.mark.parametrize(
    ("says", "size"),
    [
        (FLAT, (600, 300, 18)),  # along the longest side
        (FLAT + ", grain: y", (300, 600, 18)),
        (FLAT + ", grain: x", (600, 300, 18)),
        (UPRIGHT, (800, 300, 18)),
        ("x: 0 to 400, y: 0 to 400, z: from 0", (400, 400, 18)),
    ],
)
def test_grain_runs_along_the_length(says: str, size: tuple[float, float, float]) -> None:
    board = part(design_of(one(says)), "board")
    assert (board.length_mm, board.width_mm, board.thickness_mm) == size


def test_grain_through_the_thickness_is_refused() -> None:
    found = errors(told(one(FLAT + ", grain: z"))[1])
    assert [f.id for f in found] == ["bad-value"] and marked(found[0]) == "z"


def test_a_loose_part_is_joined_to_nothing_in_silence(store: Store) -> None:
    shelf = "  shelf: {stock: ply, x: board to 500, y: 0 to 300, z: from 200LOOSE}\n  prop: {stock: ply, x: 100 to 200, y: 0 to 300, z: from 0}\n"
    rest = "joints:\n  - glued: {of: shelf, to: board}\n"
    made = compile_text(one(UPRIGHT, shelf.replace("LOOSE", "") + rest), store)
    assert "part-joined-to-nothing" in {f.id for f in made.findings}  # the prop
    made = compile_text(one(UPRIGHT, shelf.replace("LOOSE", "").replace("z: from 0}", "z: from 0, loose: yes}") + rest), store)
    assert "part-joined-to-nothing" not in {f.id for f in made.findings}


@pytest.mark.parametrize("word", ["yes", "no", "true", "false", "Yes", "NO"])
def test_yes_and_no(word: str) -> None:
    assert part(design_of(one(f"{FLAT}, loose: {word}")), "board").loose == (word.lower() in ("yes", "true"))


def test_hardware_is_a_solid_that_is_not_cut() -> None:
    made = design_of(
        one(UPRIGHT, "  rod: {hardware: steel rod, round: x, x: board to 400, y: centred on 150 for 8, z: from 100 for 8}\n"
                     "  plate: {hardware: steel plate, x: board to 60, y: 0 to 30, z: from 300 for 2}\n")
    )  # fmt: skip
    rod, plate = made.hardware
    assert rod.solid == Rod(8, 382) and rod.label == "steel rod"
    assert rod.placement.point((0, 0, 0)) == (18, 150, 104) and rod.placement.z == (1, 0, 0)
    assert plate.solid == Block((42, 30, 2)) and plate.placement.origin == (18, 0, 300)
    assert [p.name for p in made.parts] == ["board"]


def test_hardware_in_a_joint_is_refused() -> None:
    text = one(UPRIGHT, "  rod: {hardware: rod, x: board to 400, y: 0 to 8, z: 0 to 8}\njoints:\n  - glued: {of: rod, to: board}\n")
    (found,) = errors(told(text)[1])
    assert found.id == "hardware-in-joint" and marked(found) == "rod"


def test_wood_in_the_way_of_hardware_is_found(store: Store) -> None:
    text = one(UPRIGHT, "  rod: {hardware: rod, round: x, x: 10 to 400, y: centred on 150 for 8, z: from 100 for 8}\n")
    made = compile_text(text, store)
    assert "parts-interfere" in {f.id for f in made.findings}


CRAMPED = one(
    "x: from 0, y: 0 to 200, z: 0 to 300, pair: left and right",
    "  shelf: {stock: ply, x: left side to right side, y: 0 to 200, z: from 100}\n"
    "joints:\n  - dado: {of: shelf, in: side, depth: 13}\n"
    "waivers:\n  - {finding: thin-under-trench, parts: [PARTS], reason: a strip is glued on outside}\n",
    name="side",
)


def test_a_waiver_accepts_a_finding_for_its_parts(store: Store) -> None:
    made = goes_together(CRAMPED.replace("PARTS", "side"), store)
    (found,) = [f for f in made.findings if f.id == "thin-under-trench"]
    assert found.waived == "a strip is glued on outside"
    assert "waiver-unused" not in {f.id for f in made.findings}


def test_a_waiver_that_nothing_needs_is_told(store: Store) -> None:
    made = compile_text(CRAMPED.replace("PARTS", "side").replace("depth: 13", "depth: 6"), store)
    (found,) = [f for f in made.findings if f.id == "waiver-unused"]
    assert found.span is not None and found.span.line == CRAMPED.split("\n").index(
        next(line for line in CRAMPED.split("\n") if "thin-under" in line)
    )


def test_a_waiver_for_no_part_is_told_at_its_name() -> None:
    found = errors(told(CRAMPED.replace("PARTS", "left sde"))[1])
    assert [f.id for f in found] == ["unknown-part"] and marked(found[0]) == "left sde"


@pytest.mark.parametrize(
    ("stock", "id", "under"),
    [
        ("{ply: {thickness: 18}}", "bad-value", "ply"),
        ("{ply: {sheet: birch, board: oak, thickness: 18}}", "bad-value", "ply"),
        ("{ply: {sheet: birch, thickness: 0}}", "negative-size", "0"),
        ("{ply: {sheet: birch, thickness: -18}}", "negative-size", "-18"),
        ("{ply: {sheet: birch, thickness: 18 m}}", "", ""),
        ("{ply: {sheet: birch, thickness: 18, density: heavy}}", "bad-value", "heavy"),
        ("{ply: {sheet: birch, thickness: 18, colour: brown}}", "bad-value", "brown"),
        ("{ply: {sheet: birch, thickness: 18, grain: sideways}}", "bad-value", "sideways"),
        ("{ply: {sheet: birch, thickness: width}}", "", ""),
        ("{ply: {sheet: birch, thickness: ply.thickness}}", "cycle", "ply.thickness"),
        ("{ply: {sheet: birch, thickness: thick}}", "unknown-name", "thick"),
        ("{ply: {sheet: birch, thickness: 18, spread: -1}}", "negative-size", "-1"),
    ],
)
def test_slips_in_stock(stock: str, id: str, under: str) -> None:
    found = errors(told(one(FLAT, stock=stock))[1])
    assert [f.id for f in found] == ([id] if id else []), [(f.id, f.message) for f in found]
    assert not id or under in marked(found[0])


def test_thickness_by_a_name_and_what_is_known_of_the_wood() -> None:
    made = design_of(
        one(FLAT, stock="{ply: {sheet: birch plywood, nominal: 3/4 in, thickness: 23/32 in, density: 680, colour: '#ff8000'}}")
    )
    (ply,) = made.stocks
    assert ply.thickness_mm == pytest.approx(23 / 32 * 25.4) and ply.judged_mm == pytest.approx(19.05)
    assert ply.density_kg_m3 == 680 and ply.colour == pytest.approx((1, 128 / 255, 0))
