from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from build123.trade.moisture import USUAL_CLIMATE, climates, emc_pct, movement, movement_mm
from build123.trade.tables import INCH_MM, panels, species

INCH = float(INCH_MM)

TABLE_4_2 = {
    # FPL-GTR-190 (2010) Table 4-2 (from memory, but for 70 F at 50 %): degrees F: moisture content at 20, 30 ... 90 % relative humidity
    30: (4.6, 6.3, 7.9, 9.5, 11.3, 13.5, 16.5, 21.0),
    50: (4.6, 6.3, 7.9, 9.5, 11.2, 13.4, 16.4, 20.9),
    60: (4.6, 6.2, 7.8, 9.4, 11.1, 13.3, 16.2, 20.7),
    70: (4.5, 6.2, 7.7, 9.2, 11.0, 13.1, 16.0, 20.5),
    80: (4.4, 6.1, 7.6, 9.1, 10.8, 12.9, 15.7, 20.2),
    90: (4.3, 5.9, 7.4, 8.9, 10.5, 12.6, 15.4, 19.8),
    100: (4.2, 5.8, 7.2, 8.7, 10.3, 12.3, 15.1, 19.5),
}


def celsius(fahrenheit: float) -> float:
    return (fahrenheit - 32) / 1.8


@pytest.mark.parametrize("fahrenheit", TABLE_4_2)
def test_moisture_content_as_the_handbook_prints_it(fahrenheit: int) -> None:
    found = [emc_pct(celsius(fahrenheit), humidity) for humidity in range(20, 91, 10)]
    assert found == pytest.approx(TABLE_4_2[fahrenheit], abs=0.06)  # printed to 0.1; the equation is the table's fit


def test_a_warm_room_at_half_humidity() -> None:
    # WE10, FPL Wood Handbook Table 4-2: 9.2 % at 70 F and 50 %
    assert emc_pct(celsius(70), 50) == pytest.approx(9.2, rel=0.01)


@given(st.floats(0, 98), st.floats(0.1, 1), st.floats(-1, 38))
def test_damper_air_makes_damper_wood(humidity: float, more: float, degrees: float) -> None:
    assert emc_pct(degrees, humidity) < emc_pct(degrees, humidity + more)


@pytest.mark.parametrize("humidity", [-1, 100, 120])
def test_humidity_is_a_share_of_what_air_can_hold(humidity: float) -> None:
    with pytest.raises(ValueError, match="relative humidity"):
        emc_pct(20, humidity)


@pytest.mark.parametrize(
    ("climate", "dry", "damp"),
    [
        # FPL-GTR-190 (2010) Table 13-2 (from memory): interior woodwork and furniture in most areas, dry southwest, damp warm coast
        ("heated house", 6, 10),
        ("dry house", 4, 9),
        ("damp house", 8, 13),
    ],
)
def test_rooms_keep_wood_as_damp_as_the_handbook_wants_it(climate: str, dry: float, damp: float) -> None:
    assert climates()[climate].moisture_pct == pytest.approx((dry, damp), abs=0.55)


def test_a_shed_takes_in_what_exterior_trim_meets_and_more() -> None:
    # FPL-GTR-190 (2010) Table 13-2 (from memory): 9 to 14 % for exterior trim in most areas
    dry, damp = climates()["garden shed"].moisture_pct
    assert dry < 9 and damp > 14
    assert climates()["garden shed"].change_pct > 1.5 * climates()[USUAL_CLIMATE].change_pct


@pytest.mark.parametrize(
    ("width_mm", "per_pct", "points", "moved_mm"),
    [
        pytest.param(8 * INCH, 0.0026, 6, 0.1248 * INCH, id="WE01 red alder, woodworking magazine, September 2021"),
        pytest.param(232, 0.00245, 3, 1.705, id="WE02 white fir, FPL-GTR-190 ch. 13 worked example (from memory)"),
        pytest.param(11.25 * INCH, 0.00369, 4, 0.1661 * INCH, id="WE04 red oak, FPL-GTR-190 Table 13-5"),
        pytest.param(13.25 * INCH, 0.2 / 100, 9, 0.2385 * INCH, id="WE08 Missouri S&T structures problem 4.34"),
    ],
)
def test_a_board_moves_as_published_examples_have_it(width_mm: float, per_pct: float, points: float, moved_mm: float) -> None:
    assert movement_mm(width_mm, per_pct, points) == pytest.approx(moved_mm, rel=0.001)
    assert movement_mm(width_mm, per_pct, -points) == pytest.approx(-moved_mm, rel=0.001)


def test_the_width_of_the_drier_board_is_what_is_left() -> None:
    # WE08, Missouri S&T structures problem 4.34: 13.25 in at 19 % is 13.01 in at 10 %
    assert 13.25 + movement_mm(13.25, 0.002, 10 - 19) == pytest.approx(13.01, rel=0.001)


def by_shrinkage(shrinkage_pct: float) -> float:
    """C = (S/30)/(1 - 2S/3): share of the width at 10 % moisture content; fibre saturation at 30 % (FPL-GTR-190 ch. 13)."""
    share = shrinkage_pct / 100
    return share / 30 / (1 - 2 * share / 3)


def test_the_shrinkage_method_gives_the_same_board() -> None:
    # WE03, FPL Wood Handbook ch. 13, shrinkage method (from memory): 232 mm at 8 %, S_T 7.1 %, to 11 %: 1.738 mm
    at_ten_pct = 232 / (1 - movement_mm(1, by_shrinkage(7.1), 2))
    assert movement_mm(at_ten_pct, by_shrinkage(7.1), 3) == pytest.approx(1.738, rel=0.001)


def test_from_green_to_the_room_as_shrinkage_says() -> None:
    # WE06, FPL-GTR-282 Eq. 4-9: northern red oak, S_T 8.6 % green to oven-dry: 6.307 % at 8 %
    green = 1 + movement_mm(1, by_shrinkage(8.6), 20)
    room = 1 + movement_mm(1, by_shrinkage(8.6), -2)
    assert 100 * (green - room) / green == pytest.approx(6.307, rel=0.001)


@pytest.mark.parametrize(
    ("wood", "radial_pct", "tangential_pct"),
    [
        # WE05 and its note, FPL-GTR-190 Tables 4-3 and 13-5: shrinkage from green to oven-dry
        ("black_cherry", 3.7, 7.1),
        ("beech", 5.5, 11.9),
        ("black_walnut", 5.5, 7.8),
        ("red_alder", 4.4, 7.3),
        ("white_ash", 4.9, 7.8),
        ("hard_maple", 4.8, 9.9),
        ("yellow_birch", 7.3, 9.5),
        ("douglas_fir_coast", 4.8, 7.6),
        ("southern_pine_longleaf", 5.1, 7.5),
    ],
)
def test_the_coefficients_follow_from_the_shrinkage_of_the_wood(wood: str, radial_pct: float, tangential_pct: float) -> None:
    found = species()[wood]
    assert (found.radial_per_pct, found.tangential_per_pct) == pytest.approx(
        (by_shrinkage(radial_pct), by_shrinkage(tangential_pct)), abs=1.1e-5
    )


def test_the_general_rule_agrees_with_framing_lumber() -> None:
    # WE09, American Wood Council FAQ: about 1 % for 4 points, 0.25 % a point
    general = movement("unobtainium")
    assert 100 * general.per_pct == pytest.approx(0.25, rel=0.2)
    assert general.confidence == "from memory"
    assert "not in the table" in general.source and "MOVEMENT-GENERAL" in general.source

    # WE07, FPL-RP-489 (Green 1989): width shrinks from green by 6.031 - 0.215 M %, 2.806 % at M = 15
    lumber = 0.215 * 5 / (100 - 2.806)
    assert movement_mm(1, general.per_pct, 5) == pytest.approx(lumber, rel=0.2)


def test_rings_decide_how_much_white_oak_moves() -> None:
    # FPL-GTR-190 (2010) Table 13-5: 0.00180 radial, 0.00365 tangential
    assert movement("white oak", "quarter-sawn").per_pct == 0.0018
    assert movement("white oak", "flat-sawn").per_pct == 0.00365
    assert movement("white oak").per_pct == 0.00365
    assert "rings not known" in movement("white oak").source
    assert movement("white oak").confidence == "confirmed"


@pytest.mark.parametrize(
    ("material", "per_pct"),
    [
        ("quarter-sawn white oak", 0.0018),
        ("white oak, quartersawn", 0.0018),
        ("flat-sawn White Oak", 0.00365),
        ("plain sawn white oak", 0.00365),
    ],
)
def test_the_name_may_tell_the_rings(material: str, per_pct: float) -> None:
    found = movement(material)
    assert (found.per_pct, found.confidence) == (per_pct, "confirmed")
    assert "not known" not in found.source


@pytest.mark.parametrize(
    ("material", "wood"),
    [
        ("Ash", "white_ash"),
        ("birch", "yellow_birch"),
        ("yellow birch", "yellow_birch"),
        ("poplar", "yellow_poplar"),
        ("red cedar", "western_redcedar"),
        ("Douglas fir", "douglas_fir_coast"),
        ("white pine", "eastern_white_pine"),
        ("mahogany (African)", "mahogany_african"),
    ],
)
def test_a_wood_is_found_by_what_it_is_called_in_the_shop(material: str, wood: str) -> None:
    found = movement(material)
    assert found.per_pct == species()[wood].tangential_per_pct
    assert found.confidence == species()[wood].confidence_of_moves
    assert "largest of" not in found.source and "not in the table" not in found.source


@pytest.mark.parametrize(
    ("material", "said", "per_pct"),
    [
        # FPL-GTR-190 (2010) Table 13-5 (softwoods and hickories from memory)
        ("pine", "pine: largest of 5", 0.00271),
        ("southern pine", "southern pine: largest of 3", 0.00271),
        ("oak", "oak: largest of 2, red oak", 0.00369),
        ("soft maple", "soft maple: largest of 2, soft maple (red)", 0.00289),
        ("European oak", "European oak is not in the table: largest of 2", 0.00369),
        ("white fir", "white fir is not in the table: as Douglas-fir (coast)", 0.00267),
    ],
)
def test_a_name_of_several_woods_counts_as_the_one_that_moves_most(material: str, said: str, per_pct: float) -> None:
    found = movement(material)
    assert found.per_pct == per_pct
    assert found.source.startswith(said)
    assert "Table 13-5" in found.source


def test_a_neighbours_figure_is_never_called_confirmed() -> None:
    assert movement("oak").confidence == "confirmed"
    assert movement("European oak").confidence == "from memory"


def test_a_colour_in_the_name_is_no_wood() -> None:
    assert "MOVEMENT-GENERAL" in movement("red gum").source
    assert "MOVEMENT-GENERAL" in movement("").source


@pytest.mark.parametrize("material", ["birch plywood", "walnut plywood", "plywood, oak faced", "18 mm softwood plywood"])
def test_plywood_hardly_moves(material: str) -> None:
    # plywood trade association: 0.0002 of the size for each 10 % of relative humidity
    points = emc_pct(20, 45) - emc_pct(20, 35)
    assert movement_mm(1, movement(material).per_pct, points) == pytest.approx(0.0002, rel=0.1)
    assert "plywood" in movement(material).source


def test_mdf_stays_within_what_its_standard_allows() -> None:
    # ANSI A208.2-2009 property table: linear expansion at most 0.33 %
    assert movement_mm(100, movement("black MDF").per_pct, 4.5) == pytest.approx(0.33, rel=0.01)


def test_a_sheet_of_no_known_kind_is_plywood_of_its_wood_or_the_worst_sheet() -> None:
    assert movement("Baltic birch", sheet=True).per_pct == panels()["plywood"].moves_per_pct
    worst = movement("shed board", sheet=True)
    assert worst.per_pct == max(panel.moves_per_pct for panel in panels().values())
    assert "not in the table" in worst.source


def test_every_sheet_moves_far_less_than_any_board() -> None:
    least = min(wood.tangential_per_pct for wood in species().values())
    assert all(0 < panel.moves_per_pct < least / 2 for panel in panels().values())


def test_a_table_top_in_a_house_and_in_a_shed() -> None:
    # by hand: 600 mm of flat-sawn white oak x 0.00365 x 3.91 points = 8.57 mm; in the shed x 7.72 points = 16.9 mm
    moves = [movement_mm(600, movement("white oak").per_pct, climates()[name].change_pct) for name in (USUAL_CLIMATE, "garden shed")]
    assert moves == pytest.approx([8.57, 16.9], rel=0.01)
    assert all(less < more for less, more in pairwise(moves))
