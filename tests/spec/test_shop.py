"""A shop says how exactly it works: its own spreads change the odds, are told as its own, and slips are told at their place."""

from __future__ import annotations

import pytest
from compiling import design_of, errors, goes_together, marked, told

from build123.kernel.store import Store
from build123.odds import summary

TEXT = """\
build123: 1
piece: Seed tray
units: mm
sizes: {width: 400, depth: 200, height: 300}
shop: {}
stock: {ply: {sheet: birch plywood, thickness: 18}}
parts:
  side: {pair: left and right, stock: ply, x: from 0, y: 0 to depth, z: 0 to height}
  shelf: {stock: ply, x: left side to right side, y: 0 to depth, z: from 100}
joints:
  - dado: {of: shelf, in: side, depth: 6, fit: slip}
"""


def with_shop(keys: str) -> str:
    return TEXT.replace("shop: {}", f"shop: {{{keys}}}")


def test_a_shop_that_says_nothing_is_a_usual_small_one() -> None:
    left_out, empty = design_of(TEXT.replace("shop: {}\n", "")).shop, design_of(TEXT).shop
    assert left_out == empty
    assert (empty.cutting_mm, empty.sawing_mm, empty.drilling_mm, empty.laying_out_mm) == (0.1, 0.25, 0.05, 0.25)
    assert (empty.screwdriver_mm, empty.hand_mm) == (250, 60)
    assert not empty.given
    assert empty.why("sawing").default == "common practice of a small shop, from memory"


def test_each_key_is_read_in_its_unit_and_has_its_line_for_a_reason() -> None:
    shop = design_of(with_shop("cutting: 0.2, sawing: 1/64 in, drilling: 0.08 mm, laying out: 0.3 + 0.1, screwdriver: 8 in, hand: 70")).shop
    assert (shop.cutting_mm, shop.drilling_mm, shop.hand_mm) == (0.2, 0.08, 70)
    assert (shop.sawing_mm, shop.laying_out_mm, shop.screwdriver_mm) == pytest.approx((25.4 / 64, 0.4, 203.2))
    for key in ("cutting", "sawing", "drilling", "laying out", "screwdriver", "hand"):
        why = shop.why(key)
        assert why.span is not None and why.span.line == 4 and not why.default


def test_what_is_left_out_stays_as_usual_beside_what_is_given() -> None:
    shop = design_of(with_shop("sawing: 0.5")).shop
    assert shop.given == {"sawing"} and shop.sawing_mm == 0.5
    assert shop.cutting_mm == 0.1 and shop.why("cutting").default


@pytest.mark.parametrize(
    ("keys", "id", "under", "words"),
    [
        ("cutting: -0.1", "bad-value", "-0.1", "spread of cutting would be -0.1 mm"),
        ("sawing: 6", "bad-value", "6", "0 mm to 5 mm"),
        ("laying out: 1 in", "bad-value", "1 in", "spread of laying out would be 25.4 mm"),
        ("screwdriver: 0", "bad-value", "0", "length of the screwdriver would be 0 mm"),
        ("screwdriver: 8", "bad-value", "8", "with its unit"),
        ("hand: 0", "bad-value", "0", "room for a hand would be 0 mm"),
        ("sawing: 10 deg", "wrong-dimension", "10 deg", "length"),
        ("sawng: 0.2", "unknown-key", "sawng", "did you mean 'sawing'"),
        ("layin out: 0.2", "unknown-key", "layin out", "did you mean 'laying out'"),
    ],
)
def test_a_slip_is_one_finding_at_its_place(keys: str, id: str, under: str, words: str) -> None:
    found = told(with_shop(keys))[1]
    assert [f.id for f in found] == [id], [(f.id, f.message) for f in found]
    assert marked(found[0]) == under
    assert words in found[0].message + found[0].change


@pytest.mark.parametrize("keys", ["cutting: 0", "sawing: 5 mm", "screwdriver: 30", "hand: 300"])
def test_at_the_bounds_it_is_taken(keys: str) -> None:
    assert not errors(told(with_shop(keys))[1])


def odds_with(keys: str, store: Store) -> tuple[float, str, list[str]]:
    made = goes_together(with_shop(keys), store)
    assert made.first_fit is not None and made.design is not None
    return made.first_fit.odds, summary(made.first_fit, "mm", made.design.shop), [f.id for f in made.findings]


def test_a_shop_that_cuts_less_exactly_has_worse_odds_and_is_told_so(store: Store) -> None:
    """By hand: slip is 0.127 mm within 0.0508 and 0.254; a range of 0.4 is a sigma of 0.0667, so the limits are 1.143 and 1.905
    sigma off, which the normal table (NIST/SEMATECH e-Handbook 1.3.6.7.1) gives 0.8735 - (1 - 0.9716) = 0.845. One cutter for both."""
    usual, text, ids = odds_with("", store)
    assert usual > 0.99 and "own" not in text and not ids
    worse, text, ids = odds_with("cutting: 0.4", store)
    assert worse == pytest.approx(0.845, abs=0.001)
    assert "at the first dry fit, with this shop's own spread of cutting; decided by" in text
    assert ids == ["fit-at-the-limits"]  # said of a spread that the spec itself gives, and not of a usual one


def test_a_spread_that_does_not_come_into_a_fit_does_not_change_it(store: Store) -> None:
    usual, _, _ = odds_with("", store)
    other, text, ids = odds_with("drilling: 1, sawing: 2", store)
    assert other == usual and not ids
    assert text.endswith(", with this shop's own spread of sawing and drilling")


def test_all_four_spreads_given_are_told_as_the_shops_own(store: Store) -> None:
    _, text, _ = odds_with("cutting: 0.1, sawing: 0.25, drilling: 0.05, laying out: 0.25, screwdriver: 200", store)
    assert text == "more than 99 in 100 that every joint goes together at the first dry fit, with this shop's own spreads"
    _, text, _ = odds_with("screwdriver: 200, hand: 80", store)
    assert "own" not in text
