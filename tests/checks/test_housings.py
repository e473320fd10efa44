"""Clearance, seats and contacts: which measured gaps are findings and which are ordinary work."""

from __future__ import annotations

from dataclasses import replace

import pytest
from tray import DEPTH_MM, Box, Overlap, dado_joint, face, fitted, found, measured, part, tray

from build123.checks.seen import Seen
from build123.model.design import Design, Expect, ExpectKind, Joint
from build123.model.frame import Frame
from build123.problem import Severity


def test_a_tray_that_fits_has_nothing_to_say() -> None:
    assert found(measured(tray())) == []


@pytest.mark.parametrize(("below", "above"), [(0.05, 0.05), (0.0, 0.1), (0.1, 0.0), (0.0, 0.05), (0.2, 0.05)])
def test_clearance_is_the_sum_of_both_gaps_wherever_the_shelf_sits(below: float, above: float) -> None:
    assert found(measured(tray(), [*fitted(below, above), *fitted(side="right side")])) == []


def test_a_housing_tighter_than_its_fit_is_an_error_with_its_numbers() -> None:
    (one,) = found(measured(tray(), [*fitted(0.02, 0.0), *fitted(side="right side")]))
    assert (one.id, one.severity) == ("housing-too-tight", Severity.error)
    assert (
        one.message
        == "only 0.02 mm of clearance about shelf between the walls of the dado in left side; a slip fit wants 0.05 mm to 0.25 mm"
    )
    assert one.parts == ("shelf", "left side")
    assert one.change == "Make the housing 0.13 mm wider"
    assert one.numbers["clearance_mm"] == pytest.approx(0.02)


def test_a_housing_narrower_than_its_part_says_so() -> None:
    (one,) = found(measured(tray(), [*fitted(-0.03, -0.02), *fitted(side="right side")]))
    assert one.message.startswith("the housing is 0.05 mm narrower than shelf between the walls of the dado in left side")


def test_a_loose_housing_is_a_warning() -> None:
    (one,) = found(measured(tray(), [*fitted(0.5, 0.5), *fitted(side="right side")]))
    assert (one.id, one.severity) == ("housing-too-loose", Severity.warning)


def test_the_range_of_a_named_fit_is_cited_and_that_of_the_spec_is_not() -> None:
    # DADO-FIT: 0.002 to 0.010 in = 0.0508 to 0.254 mm
    (named,) = found(measured(tray(low=0.0508, high=0.254), [*fitted(0, 0), *fitted(side="right side")]))
    (own,) = found(measured(tray(low=0.1, high=0.2), [*fitted(0, 0), *fitted(0.07, 0.07, side="right side")]))
    assert named.source == "DADO-FIT (common practice, from memory)"
    assert own.source == "the spec's own fit"


def test_two_members_in_one_housing_add_up() -> None:
    """Two 9 mm panels in an 18.3 mm housing: 0.05 + 0.15 + 0.1 mm of air in all."""
    design = tray()
    lower, upper = (part(name, Frame((12, 0, z)), (376, DEPTH_MM, 9.0)) for name, z in (("lower", 100), ("upper", 109)))
    walls = replace(dado_joint("lower", "left side", -1.0, 6.0, 0.05, 0.25, "slip").expects[0], more=("upper",))
    joint = Joint("groove: lower in left side", "groove", "lower", "left side", None, (walls,))
    seat = Joint("glued: lower to upper", "glued", "upper", "lower", None)
    both = replace(design, parts=(design.parts[0], lower, upper), joints=(joint, seat))

    def gaps(between: float) -> list:
        box = ((12, 0), (18, DEPTH_MM))
        return [
            face("lower", "left side", (0, 0, -1), 0.05, (*box[0], 100), (*box[1], 100)),
            face("upper", "lower", (0, 0, -1), between, (*box[0], 109), (*box[1], 109)),
            face("left side", "upper", (0, 0, -1), 0.1, (*box[0], 118), (*box[1], 118)),
        ]

    assert found(measured(both, gaps(0.1)), "housing-too-loose") == []
    (one,) = found(measured(both, gaps(0.15)), "housing-too-loose")
    assert one.numbers["clearance_mm"] == pytest.approx(0.3)
    assert one.message.startswith("0.3 mm of clearance about lower and upper between the walls of the dado in left side")


def test_an_open_seat_tells_how_far_it_stands_off() -> None:
    (one,) = found(measured(tray(), [*fitted(floor=0.5), *fitted(side="right side")]))
    assert (one.id, one.severity) == ("seat-open", Severity.error)
    assert one.message == "shelf does not bear on the floor of the dado in left side: it stands 0.5 mm off"


def test_a_seat_within_its_tolerance_is_silent() -> None:
    assert found(measured(tray(), [*fitted(floor=0.01), *fitted(floor=-0.01, side="right side")])) == []


def test_a_seat_with_no_face_near_it_is_missing() -> None:
    gaps = [*fitted()[:2], *fitted(side="right side")]
    (one,) = found(measured(tray(), gaps))
    assert one.id == "contact-missing"
    assert "on the floor of the dado in left side" in one.message
    assert one.at_mm == (15.0, 100.0, 109.0)


def test_a_housing_with_one_wall_only_is_a_missing_contact() -> None:
    (one,) = found(measured(tray(), [*fitted()[1:], *fitted(side="right side")]))
    assert one.id == "contact-missing"
    assert "between the walls of the dado in left side" in one.message


def test_a_face_elsewhere_does_not_stand_in_for_the_seat() -> None:
    """The shelf touches the side 60 mm further up than its dado."""
    moved = [
        replace(gap, near=Box((gap.near.low[0], 0, 160), (gap.near.high[0], DEPTH_MM, 178)), at=(gap.at[0], gap.at[1], gap.at[2] + 60))
        for gap in fitted()
    ]
    assert [one.id for one in found(measured(tray(), [*moved, *fitted(side="right side")]))] == ["contact-missing"]


def tongued(shoulder: float, floor: float) -> Seen:
    """A shelf with a tongue 6 thick and 7.5 long in a groove 8 deep: the shoulders lie in one region with the floor."""
    design = tray()
    groove = Box((10, 0, 106), (18, DEPTH_MM, 112)).grown(0.5)
    wide = Box((10, 0, 100), (18, DEPTH_MM, 118)).grown(0.5)
    expects = (
        Expect(ExpectKind.seat, "shelf", "left side", (-1, 0, 0), wide, -0.01, 0.01, what="on the shoulder of the tongue"),
        Expect(ExpectKind.gap, "shelf", "left side", (-1, 0, 0), groove, 0.125, 1.0, 0.5, "on the floor of the groove", shoulder=True),
    )
    joint = Joint("tongue: shelf in left side", "tongue", "shelf", "left side", (1, 0, 0), expects)
    gaps = [
        face("shelf", "left side", (-1, 0, 0), shoulder, (18, 0, 100), (18, DEPTH_MM, 106)),
        face("shelf", "left side", (-1, 0, 0), shoulder, (18, 0, 112), (18, DEPTH_MM, 118)),
        face("shelf", "left side", (-1, 0, 0), floor, (10.5, 0, 106), (10.5, DEPTH_MM, 112)),
    ]
    return measured(replace(design, joints=(joint, design.joints[1])), [*gaps, *fitted(side="right side")])


def test_a_tongue_that_seats_on_its_shoulder_is_silent() -> None:
    assert found(tongued(shoulder=0.0, floor=0.5)) == []


def test_a_tongue_that_reaches_the_floor_first_bottoms_out() -> None:
    ids = {one.id: one for one in found(tongued(shoulder=0.3, floor=0.0))}
    assert set(ids) == {"bottoms-out", "seat-open"}
    assert ids["bottoms-out"].message == (
        "shelf bottoms out before its shoulder closes: no room is left on the floor of the groove in left side, 0.125 mm is wanted"
    )


def test_an_open_shoulder_is_not_taken_for_the_floor_behind_it() -> None:
    assert [one.id for one in found(tongued(shoulder=1.0, floor=1.5))] == ["seat-open"]


def test_a_plain_dado_that_touches_its_floor_does_not_bottom_out() -> None:
    assert found(measured(tray()), "bottoms-out") == []


def overlap(volume: float, depth: float, low: tuple[float, float, float], high: tuple[float, float, float]) -> Overlap:
    box = Box(low, high)
    return Overlap("left side", "shelf", volume, depth, box.middle, box)


def test_a_clash_tells_how_much_how_deep_and_which_size_is_wrong() -> None:
    lap = overlap(60.0, 0.05, (12, 0, 99.95), (18, DEPTH_MM, 118))
    gaps = [*fitted(-0.05, 0.0), *fitted(side="right side")]
    (one,) = found(measured(tray(), gaps, overlaps=[lap]), "parts-interfere")
    assert one.message == "left side and shelf both take up 60 mm³ of wood, 0.05 mm deep, at x 15 mm, y 100 mm, z 108.975 mm"
    assert "between the walls of the dado in left side the housing is 0.05 mm narrower than shelf" in one.change
    assert one.overlap == "overlap-1"
    assert one.joint == "dado: shelf in left side"


def press() -> Design:
    return tray(17.97, low=-0.05, high=0.0, fit="press")


def test_the_squeeze_of_a_press_fit_is_meant() -> None:
    lap = overlap(0.03 * 6 * DEPTH_MM, 0.03, (12, 0, 99.985), (18, DEPTH_MM, 118.015))
    gaps = [*fitted(-0.015, -0.015), *fitted(-0.01, -0.01, side="right side")]
    assert found(measured(press(), gaps, overlaps=[lap])) == []


@pytest.mark.parametrize(
    "lap",
    [
        overlap(0.08 * 6 * DEPTH_MM, 0.08, (12, 0, 99.96), (18, DEPTH_MM, 118.04)),
        overlap(0.03 * 6 * DEPTH_MM, 0.03, (12, 0, 99.98), (60, DEPTH_MM, 118)),
        overlap(0.9 * 6 * DEPTH_MM, 0.03, (12, 0, 99.98), (18, DEPTH_MM, 118)),
    ],
    ids=["deeper than the fit", "reaches out of the housing", "more wood than the walls can squeeze"],
)
def test_a_press_fit_explains_no_more_than_itself(lap: Overlap) -> None:
    assert [one.id for one in found(measured(press(), [*fitted(0, 0), *fitted(0, 0, side="right side")], overlaps=[lap]))] == [
        "parts-interfere"
    ]


def test_touching_is_not_interference() -> None:
    assert found(measured(tray(), overlaps=[overlap(0.5, 0.0005, (12, 0, 100), (18, DEPTH_MM, 118))])) == []
