import csv
from pathlib import Path

import pytest

from build123.trade.tables import TABLES, density_kg_m3, dowels, fits, rows, rules, sheets, species


@pytest.mark.parametrize("table", TABLES)
def test_every_row_keeps_its_source_and_how_sure_it_is(table: str) -> None:
    assert rows(table)
    for row in rows(table):
        assert row["source"].strip(), row
        assert row["confidence"] in ("confirmed", "from memory"), row


def test_no_row_lost_a_column_to_a_comma() -> None:
    for table in TABLES:
        text = (Path(__file__).parents[2] / "build123" / "trade" / "data" / f"{table}.csv").read_text(encoding="utf-8")
        lengths = {len(line) for line in csv.reader(text.splitlines())}
        assert len(lengths) == 1, table


def test_a_slip_fit_is_two_to_ten_thousandths_of_an_inch() -> None:
    # DADO-FIT: 0.002 to 0.010 in, usually 0.005 in (common practice, from memory)
    slip = fits()["slip"]
    assert (slip.low_mm, slip.nominal_mm, slip.high_mm) == pytest.approx((0.0508, 0.127, 0.254))


def test_fits_do_not_run_into_one_another() -> None:
    press, slip, easy = (fits()[name] for name in ("press", "slip", "easy"))
    assert press.low_mm < press.nominal_mm < press.high_mm <= slip.low_mm < slip.nominal_mm < slip.high_mm
    assert slip.high_mm < easy.high_mm and slip.nominal_mm < easy.low_mm < easy.nominal_mm < easy.high_mm


def test_every_fit_names_a_rule_that_is_there() -> None:
    assert all(fit.rule in rules() for fit in fits().values())


def test_inch_rules_come_in_millimetres() -> None:
    # 3/16 in = 4.7625 mm exactly (international inch)
    assert rules()["DADO-FACING"].least == pytest.approx(4.7625)
    assert rules()["DOWEL-MIN"].least == 2
    with pytest.raises(ValueError, match="DADO-WIDTH"):
        _ = rules()["DADO-WIDTH"].common


def test_dowel_sizes_are_exact() -> None:
    # 3/8 in = 9.525 mm, 1 3/4 in = 44.45 mm
    three_eighths = dowels()["DOWEL-3_8"]
    assert three_eighths.label == "3/8 in"
    assert three_eighths.diameter_mm == pytest.approx(9.525)
    assert 44.45 in three_eighths.lengths_mm
    assert dowels()["DOWEL-8mm"].lengths_mm == (30.0, 35.0, 40.0)


def test_white_oak_as_the_wood_handbook_has_it() -> None:
    # FPL Wood Handbook FPL-GTR-282 Table 5-3b: specific gravity 0.68; FPL-GTR-190 Table 13-5: 0.00180, 0.00365
    oak = species()["white_oak"]
    assert (oak.specific_gravity, oak.radial_per_pct, oak.tangential_per_pct) == (0.68, 0.0018, 0.00365)


def test_a_material_is_found_by_what_it_is_called_in_the_shop() -> None:
    assert density_kg_m3("white oak") == pytest.approx(761.6)
    assert density_kg_m3("Ash") == pytest.approx(672.0)
    assert density_kg_m3("birch plywood") is not None
    assert density_kg_m3("soft maple") is None, "two woods go by that name"
    assert density_kg_m3("unobtainium") is None


def test_the_largest_common_sheet_is_ten_feet_long() -> None:
    # 10 ft = 3048 mm
    assert max(sheet.length_mm for sheet in sheets().values()) == 3048
