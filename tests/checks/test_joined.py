"""Touching without a joint, parts that nothing holds, sizes that no stock yields, waivers."""

from __future__ import annotations

from dataclasses import replace

import pytest
from tray import PLY, face, facts_of, fitted, found, measured, part, tray

from build123.model.design import Design, Joint, Waiver
from build123.model.frame import Frame
from build123.model.part import Part
from build123.problem import Severity

RAIL_TOUCHES = face("rail", "shelf", (0, 0, -1), 0.0, (18, 20, 118), (382, 38, 118))


def rail(**more: object) -> Part:
    return part("rail", Frame((18, 38, 118), (1, 0, 0), (0, 0, 1), (0, -1, 0)), (364.0, 182.0, 18.0), **more)


def railed(*joints: Joint, **more: object) -> Design:
    design = tray()
    return replace(design, parts=(*design.parts, rail(**more)), joints=(*design.joints, *joints))


GLUED_TO_LEFT = Joint("glued: rail to left side", "glued", "rail", "left side", None)
RESTS = Joint("rests: rail upon shelf", "rests", "rail", "shelf", None, rests=True)
GAPS = [*fitted(), *fitted(side="right side"), RAIL_TOUCHES]


def test_touching_without_a_joint_says_where_and_how_much() -> None:
    (one,) = found(measured(railed(GLUED_TO_LEFT), GAPS))
    assert (one.id, one.severity) == ("contact-without-joint", Severity.error)
    assert one.message == "shelf and rail touch over 65.5 cm² at x 200 mm, y 29 mm, z 118 mm, and no joint says so"
    assert one.parts == ("shelf", "rail")


def test_resting_says_that_touching_is_meant() -> None:
    assert found(measured(railed(GLUED_TO_LEFT, RESTS), GAPS)) == []


def test_a_loose_part_may_touch_and_be_joined_to_nothing() -> None:
    assert found(measured(railed(loose=True), GAPS)) == []


@pytest.mark.parametrize("gap", [0.02, -0.02])
def test_faces_that_are_apart_or_in_each_other_do_not_touch(gap: float) -> None:
    seen = measured(railed(GLUED_TO_LEFT), [*GAPS[:-1], replace(RAIL_TOUCHES, gap_mm=gap)])
    assert found(seen, "contact-without-joint") == []


def test_corners_that_meet_do_not_touch() -> None:
    assert found(measured(railed(GLUED_TO_LEFT), [*GAPS[:-1], replace(RAIL_TOUCHES, area_mm2=0.8)])) == []


def test_pieces_of_one_made_up_part_may_touch() -> None:
    design = tray()
    lipped = replace(design.parts[2], made_up="lipped shelf")
    strip = part("lipping", Frame((18, -6, 100)), (364.0, 6.0, 18.0), made_up="lipped shelf")
    touches = face("lipping", "shelf", (0, 1, 0), 0.0, (18, 0, 100), (382, 0, 118))
    made_up = replace(design, parts=(*design.parts[:2], lipped, strip))
    assert found(measured(made_up, [*GAPS[:-1], touches])) == []


def test_a_part_with_no_joint_is_an_error() -> None:
    (one,) = found(measured(railed(), GAPS[:-1]))
    assert (one.id, one.severity, one.message) == ("part-joined-to-nothing", Severity.error, "rail is joined to nothing")


def test_a_part_that_only_rests_is_a_warning() -> None:
    (one,) = found(measured(railed(RESTS), GAPS))
    assert (one.id, one.severity, one.message) == ("part-joined-to-nothing", Severity.warning, "rail only rests: no joint holds it")


def test_a_group_apart_from_the_rest_is_a_warning() -> None:
    apart = part("cleat", Frame((18, 60, 200)), (100.0, 18.0, 18.0))
    design = railed(Joint("glued: cleat to rail", "glued", "cleat", "rail", None))
    (one,) = found(measured(replace(design, parts=(*design.parts, apart)), GAPS[:-1]))
    assert one.severity is Severity.warning
    assert one.message == "rail and cleat are joined to one another and to nothing else"


def test_a_group_that_rests_on_the_rest_is_left_alone() -> None:
    apart = part("cleat", Frame((18, 60, 200)), (100.0, 18.0, 18.0))
    design = railed(Joint("glued: cleat to rail", "glued", "cleat", "rail", None), RESTS)
    assert found(measured(replace(design, parts=(*design.parts, apart)), GAPS)) == []


def test_a_piece_of_one_part_needs_no_joint() -> None:
    design = replace(tray(), parts=tray().parts[2:], joints=())
    assert found(measured(design, [])) == []


def sized(length: float, width: float, **stock: object) -> Design:
    board = part("board", Frame(), (length, width, 18.0), stock=replace(PLY, **stock))
    return Design("Board", "board", "mm", (board,))


@pytest.mark.parametrize(
    ("length", "width", "grain", "fits"),
    [
        (2440, 1220, "length", True),
        (2441, 300, "length", False),
        (1220, 2440, "length", False),
        (1220, 2440, "none", True),
        (1220, 2440, "width", True),
        (2440, 1220, "width", False),
    ],
)
def test_grain_decides_which_way_a_part_lies_on_its_sheet(length: float, width: float, grain: str, fits: bool) -> None:
    design = sized(length, width, length_mm=2440.0, width_mm=1220.0, grain=grain)
    assert [one.id for one in found(measured(design, []))] == ([] if fits else ["part-exceeds-stock"])


def test_without_sheet_sizes_only_what_no_sheet_yields_is_a_warning() -> None:
    # 10 ft hardwood plywood, 3048 mm, is the largest in the table of sheets
    assert found(measured(sized(3048, 1219), [])) == []
    (one,) = found(measured(sized(3100, 200), []))
    assert (one.id, one.severity) == ("part-exceeds-stock", Severity.warning)


def test_a_long_board_of_unknown_length_is_nobodys_business() -> None:
    assert found(measured(sized(4000, 100, kind="board"), [])) == []


def test_a_solid_thicker_than_its_stock_is_measured_and_not_assumed() -> None:
    design = sized(300, 200)
    thick = facts_of(design.parts[0], box=replace(facts_of(design.parts[0]).box, high=(300.0, 200.0, 18.5)))
    (one,) = found(measured(design, [], facts={"board": thick}))
    assert one.message == "board is 18.5 mm thick and ply only 18 mm"


def test_a_solid_must_be_its_blank_less_its_features() -> None:
    design = sized(300, 200)
    whole = facts_of(design.parts[0])
    for wrong, says in (
        ({"volume_mm3": whole.volume_mm3 - 600}, "board has 600 mm³ of wood less than its blank less its features"),
        ({"volume_mm3": whole.volume_mm3 + 2}, "board has 2 mm³ of wood more than its blank less its features"),
        ({"solids": 2}, "board is in 2 pieces after its joints are cut"),
        ({"valid": False}, "board is not a valid solid"),
    ):
        (one,) = found(measured(design, [], facts={"board": replace(whole, **wrong)}))
        assert (one.id, one.message) == ("solid-differs-from-features", says)
    near = replace(whole, volume_mm3=whole.volume_mm3 - 0.9)
    assert found(measured(design, [], facts={"board": near})) == []


OPEN_SEAT = [*fitted(floor=0.5), *fitted(floor=0.5, side="right side")]


def waived(*parts: str, finding: str = "seat-open") -> Design:
    return replace(tray(), waivers=(Waiver(finding, parts, "filled with epoxy"),))


def test_a_waiver_names_a_finding_and_its_parts() -> None:
    seen = measured(waived("shelf", "left side"), OPEN_SEAT)
    assert [(one.parts[1], one.waived) for one in found(seen)] == [("left side", "filled with epoxy"), ("right side", "")]


def test_a_waiver_may_name_a_run() -> None:
    assert [one.waived for one in found(measured(waived("shelf", "side"), OPEN_SEAT))] == ["filled with epoxy"] * 2


def test_a_waiver_of_one_part_does_not_hide_a_finding_of_two() -> None:
    found_ids = [(one.id, one.waived) for one in found(measured(waived("shelf"), OPEN_SEAT))]
    assert found_ids == [("seat-open", ""), ("seat-open", ""), ("waiver-unused", "")]


def test_a_waiver_that_nothing_needs_is_reported_with_what_may_be_meant() -> None:
    (one,) = found(measured(waived("shelf", "side", finding="seats-open")))
    assert (one.id, one.severity, one.change) == ("waiver-unused", Severity.warning, "Did you mean seat-open?")


def test_findings_come_by_weight_then_part_then_joint_and_always_alike() -> None:
    gaps = [*fitted(0.5, 0.5, floor=0.5), *fitted(0.0, 0.0, side="right side")]
    seen = measured(waived("shelf"), gaps)
    told = [(one.id, one.parts[-1]) for one in found(seen)]
    assert told == [
        ("seat-open", "left side"),
        ("housing-too-tight", "right side"),
        ("waiver-unused", "shelf"),
        ("housing-too-loose", "left side"),
    ]
    assert found(seen) == found(replace(seen, fit=replace(seen.fit, gaps=seen.fit.gaps[::-1])))


def test_a_finding_carries_why_it_matters_its_source_and_what_to_change() -> None:
    for one in found(measured(waived("shelf"), OPEN_SEAT)):
        assert one.why and one.source and one.change
