"""What is left under trenches: thirds and halves on the nominal, facing dados, tongues."""

from __future__ import annotations

import pytest
from tray import DEPTH_MM, PLY, SHOP_PLY, Web, across, cut, facts_of, found, measured, part

from build123.model.design import Design
from build123.model.feature import Feature
from build123.model.frame import Frame
from build123.model.part import Stock
from build123.problem import Finding, Severity

INCH = 25.4


def told(stock: Stock, left_mm: float, *features: Feature) -> list[Finding]:
    """What is said about a side with these trenches at x = 100 and this much wood measured there."""
    side = part("side", Frame(), (300.0, DEPTH_MM, stock.thickness_mm), *features, stock=stock)
    web = Web(left_mm, 3600.0, (100.0, DEPTH_MM / 2, left_mm / 2), (0, 0, -1))
    facts = facts_of(side, webs=(web,) if left_mm > 0 else ())
    return found(measured(Design("Side", "side", "in", (side,)), [], facts={"side": facts}))


def dado(stock: Stock, depth: float, below: bool = False, **more: bool) -> Feature:
    return cut(across(stock.thickness_mm, 100.0, 18.1, depth, below=below, **more), id=f"dado {below}")


@pytest.mark.parametrize(
    ("stock", "depth_in", "severity"),
    [
        (SHOP_PLY, 1 / 4, None),
        (SHOP_PLY, 3 / 8, None),
        (SHOP_PLY, 7 / 16, Severity.note),
        (SHOP_PLY, 17 / 32, Severity.warning),
        (SHOP_PLY, 43 / 64, Severity.error),
    ],
)
def test_one_dado_in_a_sheet_sold_as_three_quarters(stock: Stock, depth_in: float, severity: Severity | None) -> None:
    # DADO-DEPTH-PLY, DADO-DEPTH-MAX: half of the nominal 3/4 in is 3/8 in (common practice, from memory)
    depth = depth_in * INCH
    assert [one.severity for one in told(stock, stock.thickness_mm - depth, dado(stock, depth))] == ([] if severity is None else [severity])


def test_past_one_half_of_what_is_measured_is_a_note_at_most_where_the_name_is_not_known() -> None:
    unnamed = Stock("ply", "sheet", "birch plywood", 23 / 32 * INCH)
    (one,) = told(unnamed, 23 / 32 * INCH - 3 / 8 * INCH, dado(unnamed, 3 / 8 * INCH))
    assert (one.id, one.severity) == ("thin-under-trench", Severity.note)
    assert one.message == "the dado in side leaves 11/32 in of its 23/32 in"


def test_the_measured_wood_counts_and_not_the_planned_depth() -> None:
    """The plan says 6 mm deep, the solid has 4 mm left of 18."""
    (one,) = told(PLY, 4.0, dado(PLY, 6.0))
    assert one.severity is Severity.warning
    assert one.numbers["left_mm"] == 4.0


def test_a_case_corner_rabbet_may_take_two_thirds() -> None:
    # RABBET-DEPTH-CASE: 1/2 to 2/3 of the thickness (common practice, from memory)
    assert told(PLY, 6.0, dado(PLY, 12.0, open_left=True)) == []
    assert [one.severity for one in told(PLY, 5.0, dado(PLY, 13.0, open_left=True))] == [Severity.note]


def test_the_wood_beside_a_trench_is_not_under_it() -> None:
    side = part("side", Frame(), (300.0, DEPTH_MM, 18.0), dado(PLY, 6.0))
    facts = facts_of(side, webs=(Web(2.0, 100.0, (200.0, 100.0, 9.0), (0, 0, -1)), Web(12.0, 3600.0, (100.0, 100.0, 6.0), (0, 0, -1))))
    assert found(measured(Design("Side", "side", "mm", (side,)), [], facts={"side": facts})) == []


@pytest.mark.parametrize(
    ("depth_in", "left_in", "severity"),
    [(1 / 4, 7 / 32, None), (17 / 64, 3 / 16, None), (9 / 32, 5 / 32, Severity.warning), (3 / 8, 0.0, Severity.error)],
)
def test_facing_dados_in_23_32_in_plywood(depth_in: float, left_in: float, severity: Severity | None) -> None:
    # DADO-FACING: facing 1/4 in dados leave 0.219 in and are ordinary work; floor 3/16 in (common practice, from memory)
    both = (dado(SHOP_PLY, depth_in * INCH), dado(SHOP_PLY, depth_in * INCH, below=True))
    findings = [one for one in told(SHOP_PLY, left_in * INCH, *both) if one.id != "solid-differs-from-features"]
    assert [(one.id, one.severity) for one in findings] == ([] if severity is None else [("trenches-opposed", severity)])


def test_dados_that_do_not_face_each_other_are_not_opposed() -> None:
    apart = cut(across(18.0, 140.0, 18.1, 8.0, below=True), id="apart")
    assert told(PLY, 10.0, dado(PLY, 8.0), apart) == []


def test_a_tongue_is_left_standing_on_purpose() -> None:
    steps = (dado(PLY, 6.0, open_left=True), dado(PLY, 6.0, below=True, open_right=True))
    assert told(PLY, 6.0, *steps) == []
