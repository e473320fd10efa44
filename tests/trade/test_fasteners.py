from math import radians, tan

import pytest

from build123.trade.fasteners import nails, pan_heads, screw_lengths_mm, screws
from build123.trade.tables import INCH_MM, rules

INCH = float(INCH_MM)
FULL = ("4", "6", "8", "10", "12", "14")
METRIC = ("3 mm", "3.5 mm", "4 mm", "4.5 mm", "5 mm", "6 mm")


def test_a_number_eight_as_the_standard_has_it() -> None:
    # ASME B18.6.1: 0.164 in across, head 0.332 in at most, 15 threads per inch, 1/2 to 3 in long, 82 degree head;
    # trade chart: clearance 11/64, pilots 5/64 and 3/32 in
    eight = screws()["8"]
    assert (eight.label, eight.metric, eight.confidence) == ("No. 8", False, "confirmed")
    assert (eight.diameter_mm, eight.head_mm) == pytest.approx((4.1656, 8.4328))
    assert eight.threads_per_in == pytest.approx(15)
    assert eight.countersink_deg == 82
    assert (eight.clearance_mm, eight.pilot_soft_mm, eight.pilot_hard_mm) == pytest.approx((4.365625, 1.984375, 2.38125))
    assert (eight.length_min_mm, eight.length_max_mm) == pytest.approx((12.7, 76.2))


@pytest.mark.parametrize("gauge", [name for name, screw in screws().items() if not screw.metric])
def test_the_diameter_follows_from_the_gauge(gauge: str) -> None:
    # ASME B18.6.1: basic diameter = 0.060 + 0.013 x gauge, in inches
    assert screws()[gauge].diameter_mm / INCH == pytest.approx(0.060 + 0.013 * int(gauge))


@pytest.mark.parametrize("name", FULL + METRIC)
def test_the_usual_sizes_have_all_their_holes(name: str) -> None:
    assert screws()[name].complete
    assert name in pan_heads()


def test_what_the_source_does_not_give_stays_unknown() -> None:
    five = screws()["5"]
    assert (five.root_mm, five.clearance_mm, five.pilot_soft_mm, five.pilot_hard_mm) == (None, None, None, None)
    assert not five.complete


@pytest.mark.parametrize("name", [name for name, screw in screws().items() if screw.complete])
def test_pilot_root_shank_clearance_and_head_come_in_that_order(name: str) -> None:
    screw = screws()[name]
    assert screw.pilot_soft_mm and screw.pilot_hard_mm and screw.root_mm and screw.clearance_mm
    assert screw.pilot_soft_mm < screw.pilot_hard_mm <= screw.root_mm < screw.diameter_mm < screw.clearance_mm < screw.head_mm


@pytest.mark.parametrize("name", [name for name, screw in screws().items() if screw.complete])
def test_pilots_are_near_seventy_and_ninety_percent_of_the_root(name: str) -> None:
    # FPL-GTR-282 ch. 8 with Eq. 8-10 (from memory): 70 % in softwood, 90 % in hardwood; bits come in steps of 1/64 in and 0.5 mm
    screw = screws()[name]
    assert screw.pilot_soft_mm and screw.pilot_hard_mm and screw.root_mm
    step = 0.5 if screw.metric else INCH / 64
    assert abs(screw.pilot_soft_mm - 0.7 * screw.root_mm) < step
    assert abs(screw.pilot_hard_mm - 0.9 * screw.root_mm) < step


@pytest.mark.parametrize("name", list(screws()))
def test_the_height_of_a_countersunk_head_follows_from_its_cone(name: str) -> None:
    # a cone from the head's sharp edge to the shank: (D - d) / 2 / tan(half the angle); ASME B18.6.1 rounds heights to within 0.16 mm of it
    screw = screws()[name]
    cone = (screw.head_mm - screw.diameter_mm) / 2 / tan(radians(screw.countersink_deg / 2))
    assert screw.head_height_mm == pytest.approx(cone, abs=0.16)


def test_metric_screws_are_trade_practice_and_say_so() -> None:
    # chipboard screws (common practice, from memory): head 2 d, 90 degrees, clearance d + 0.5 mm, root 0.6 to 0.7 d
    for name in METRIC:
        screw = screws()[name]
        assert (screw.metric, screw.label, screw.confidence, screw.countersink_deg) == (True, name, "from memory", 90)
        assert screw.root_mm and 0.6 <= screw.root_mm / screw.diameter_mm <= 0.7
        assert (screw.head_mm, screw.clearance_mm) == pytest.approx((2 * screw.diameter_mm, screw.diameter_mm + 0.5))


def test_number_four_and_four_millimetres_are_two_screws() -> None:
    assert screws()["4"].diameter_mm == pytest.approx(2.8448)
    assert screws()["4 mm"].diameter_mm == 4


def test_lengths_stay_within_what_the_gauge_is_made_in() -> None:
    # common practice: 3/8 in is made but not usual; No. 6 ends at 2 in (ASME B18.6.1)
    assert [round(length / INCH, 3) for length in screw_lengths_mm("6")] == [0.5, 0.625, 0.75, 1, 1.25, 1.5, 1.75, 2]
    assert screw_lengths_mm("8")[-1] == pytest.approx(76.2)
    assert screw_lengths_mm("4 mm") == (16, 20, 25, 30, 35, 40, 45, 50, 60, 70)
    with pytest.raises(KeyError):
        screw_lengths_mm("11")


@pytest.mark.parametrize("name", FULL + METRIC)
def test_every_usual_screw_is_sold_in_several_lengths(name: str) -> None:
    lengths = screw_lengths_mm(name)
    assert len(lengths) >= 5
    assert list(lengths) == sorted(set(lengths))


@pytest.mark.parametrize("name", list(pan_heads()))
def test_a_washer_reaches_past_the_head_that_presses_on_it(name: str) -> None:
    # common practice, from memory: pan head 2 d across, 0.6 d high
    screw, pan = screws()[name], pan_heads()[name]
    assert (pan.head_mm, pan.head_height_mm) == pytest.approx((2 * screw.diameter_mm, 0.6 * screw.diameter_mm), abs=0.02)
    assert pan.washer_mm > 1.1 * pan.head_mm
    assert 0.1 < pan.washer_thickness_mm / screw.diameter_mm < 0.4


def test_thinner_nails_have_higher_gauges() -> None:
    by_gauge = sorted((nail for nail in nails().values() if nail.kind != "staple"), key=lambda nail: int(nail.label.split()[0]))
    diameters = [nail.diameter_mm for nail in by_gauge]
    assert diameters == sorted(diameters, reverse=True)
    assert {nail.kind for nail in nails().values()} == {"pin", "brad", "finish nail", "staple"}
    assert all(nail.length_min_mm < nail.length_max_mm for nail in nails().values())


def test_only_staples_have_a_crown() -> None:
    assert nails()["STAPLE-NC"].crown_mm == pytest.approx(6.35)  # 1/4 in (trade practice, from memory)
    assert all(nail.crown_mm is None for nail in nails().values() if nail.kind != "staple")


def test_rules_for_screws_come_in_their_own_measure() -> None:
    # SCREW-ENGAGE: seven diameters of thread (FPL-GTR-282 ch. 8); SCREW-POINT: 1/8 in (common practice)
    assert rules()["SCREW-ENGAGE"].common == 7
    assert rules()["SCREW-POINT"].least == pytest.approx(3.175)
    assert rules()["SCREW-ENDGRAIN"].common == 0.75
