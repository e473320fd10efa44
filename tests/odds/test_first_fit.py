"""The odds of whole pieces, from the gaps measured on their solids."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from build123.checks.run import run
from build123.checks.seen import Seen
from build123.kernel import Store
from build123.kernel.damage import Damage, Shift, Widen
from build123.model.design import Design, Expect, ExpectKind, Joint, Shop
from build123.model.frame import Box, Frame
from build123.model.measured import DryFit, FaceGap
from build123.model.part import Part, Stock
from build123.model.plan import FirstFit, FitOdds
from build123.odds import first_fit, summary
from build123.pipeline import Compiled, compile_file, compile_text
from build123.problem import Finding, Severity

TRAY = """
build123: 1
piece: Seed tray
units: mm
sizes: {width: 400, depth: 200, height: 300}
stock:
  ply: {sheet: birch plywood, thickness: 18, spread: SPREAD}
  thin: {sheet: birch plywood, thickness: 6, spread: 0.1}
parts:
  side: {pair: left and right, stock: ply, x: from 0, y: 0 to depth, z: 0 to height}
  shelf: {stock: ply, x: left side to right side, y: 0 to 190, z: from 100}
  back: {stock: thin, x: left side to right side, y: up to depth, z: 100 to height}
joints:
  - JOINT
  - rabbet: {of: back, in: side, depth: 9, gap: 1, run: through}
"""
SLIP = "dado: {of: shelf, in: side, depth: 6, fit: slip}"
ROOT = Path(__file__).parents[2]


def made(joint: str, spread: str, store: Store, *damage: Damage) -> Compiled:
    one = compile_text(TRAY.replace("JOINT", joint).replace("SPREAD", spread), store, damage)
    assert one.fit is not None, [found.message for found in one.findings]
    return one


def odds_of(one: Compiled, shop: Shop | None = None) -> FirstFit:
    assert one.design is not None and one.fit is not None
    return first_fit(one.design if shop is None else replace(one.design, shop=shop), one.fit)


def told(first: FirstFit, word: str) -> FitOdds:
    return next(fit for fit in first.fits if word in fit.what)


def test_a_slip_fit_in_a_sheet_that_varies(store: Store) -> None:
    """By hand: sheet 0.3 and cutter 0.1 give sigma 0.05270; 0.0762 below and 0.127 above the middle are 1.446 and 2.410 of it,
    so 0.0741 is too tight and 0.0080 too loose (normal table)."""
    fit = told(odds_of(made(SLIP, "0.3", store)), "walls of the dado")
    assert fit.sigma_mm == pytest.approx(0.05270, abs=1e-5)
    assert (fit.least_mm, fit.most_mm) == pytest.approx((0.127 - 0.2, 0.127 + 0.2))
    assert fit.odds == pytest.approx(1 - 0.0741 - 0.0080, abs=2e-4)
    assert dict(fit.shares) == pytest.approx({"thickness of ply": 0.9, "cutting 18.127 mm wide": 0.1})


def test_the_odds_follow_the_solids(store: Store) -> None:
    """One dado is cut 0.12 mm wider than the design says: 0.007 mm under the loosest that is accepted."""
    first = odds_of(made(SLIP, "0.3", store, Widen("dado: shelf in left side", 0.12)))
    spoilt, sound = (next(fit for fit in first.fits if fit.joint == f"dado: shelf in {side} side") for side in ("left", "right"))
    assert spoilt.nominal_mm == pytest.approx(0.247) and sound.nominal_mm == pytest.approx(0.127)
    assert spoilt.odds < 0.56 < 0.9 < sound.odds


def test_where_the_shelf_stands_in_its_housing_does_not_matter(store: Store) -> None:
    still, moved = (odds_of(made(SLIP, "0.3", store, *damage)) for damage in ((), (Shift("shelf", (0.0, 0.0, 0.04)),)))
    assert moved.odds == pytest.approx(still.odds, abs=1e-4)


def test_a_tongue_is_as_thick_as_the_sheet_less_two_cuts_of_one_setting(store: Store) -> None:
    """By hand: sheet 0.3, both shoulders 0.1 off alike, groove 0.1: squares 0.09 + 0.04 + 0.01, so 0.3742 / 6."""
    first = odds_of(made("tongue: {of: shelf, in: side, thickness: 6, depth: 8}", "0.3", store))
    assert told(first, "walls of the groove").sigma_mm == pytest.approx(0.37417 / 6, abs=1e-5)


def test_room_under_the_shoulder_of_a_stopped_dado(store: Store) -> None:
    """By hand: a notch that is marked, 0.25, and the depth of the trench, 0.1: root of 0.0725 is 0.2693."""
    fit = told(odds_of(made("dado: {of: shelf, in: side, depth: 6, stop: 10 from front}", "0.3", store)), "floor of the dado")
    assert fit.nominal_mm == pytest.approx(0.5)
    assert fit.sigma_mm == pytest.approx(0.26926 / 6, abs=1e-5)
    sloppy = odds_of(made("dado: {of: shelf, in: side, depth: 6, stop: 10 from front}", "0", store), Shop(laying_out_mm=1.5))
    assert told(sloppy, "floor of the dado").odds < 0.95
    assert any(way == "cutting the shoulder of shelf last, to fit right side" for way, _ in sloppy.helps)


def test_air_at_both_ends_of_a_back_is_one_sum(store: Store) -> None:
    """By hand: back and shelf sawn to 0.25 each; both rabbets 0.1 off alike, so 0.2, both dados likewise: root of 0.205."""
    fit = told(odds_of(made(SLIP, "0.3", store)), "both ends together")
    assert set(fit.parts) == {"back", "left side", "right side"}
    assert (fit.nominal_mm, fit.low_mm, fit.high_mm) == pytest.approx((2.0, 0.5, 4.0))
    assert fit.sigma_mm == pytest.approx(0.45277 / 6, abs=1e-5)


def test_a_run_of_dowels(store: Store) -> None:
    """By hand for two: the pitches differ by four marks of 0.25 / 6, sigma 0.0833; 0.2 mm of play is 2.4 of it: 0.9836 (table).

    The bit's 0.05 costs a little more.
    """
    first = odds_of(made("dowels: {of: shelf, to: side, count: 2, diameter: 8, length: 30}", "0.3", store))
    fit = told(first, "holes of its 2 pins")
    assert 0.9800 < fit.odds < 0.9836
    assert fit.low_mm == 0.0 and fit.high_mm == pytest.approx(0.1)
    more = odds_of(made("dowels: {of: shelf, to: side, count: 5, diameter: 8, length: 30}", "0.3", store))
    assert told(more, "holes of its 5 pins").odds < 0.92


def test_two_boards_of_one_sheet_in_one_housing() -> None:
    """By hand: twice 0.3 that goes together is 0.6, the cutter 0.1: root of 0.37 is 0.6083. Two sheets: root of 0.19 is 0.4359."""
    ply, other = Stock("ply", "sheet", "birch plywood", 18.0, 0.3), Stock("other", "sheet", "birch plywood", 18.0, 0.3)
    near = Box((0, 0, 0), (6, 200, 36.2))

    def piece(second: Stock) -> FitOdds:
        flat = {"length_mm": 300.0, "width_mm": 200.0, "thickness_mm": 18.0, "features": (), "looks": {}, "show": "+z"}
        parts = tuple(
            Part(name, stock, Frame((0, 0, z)), shape_key="", hand_key="", **flat)  # type: ignore[arg-type]
            for name, stock, z in (("lower", ply, 0.05), ("upper", second, 18.1), ("side", ply, -100.0))
        )
        walls = Expect(ExpectKind.clearance, "lower", "side", (0, 0, 1), near, 0.05, 0.25, 0.15, "between the walls", more=("upper",))
        gaps = tuple(
            FaceGap(a, b, (0, 0, 1), 0.05, 1200.0, (3, 100, z), Box((0, 0, z), (6, 200, z)))
            for a, b, z in (("side", "lower", 0.0), ("lower", "upper", 18.05), ("upper", "side", 36.1))
        )
        design = Design("Pair", "pair", "mm", parts, joints=(Joint("dado: pair", "dado", "lower", "side", None, (walls,)),))
        (fit,) = first_fit(design, DryFit({}, {}, gaps, (), ())).fits
        return fit

    assert piece(ply).nominal_mm == pytest.approx(0.15)
    assert piece(ply).sigma_mm == pytest.approx(0.60828 / 6, abs=1e-5)
    assert piece(other).sigma_mm == pytest.approx(0.43589 / 6, abs=1e-5)
    assert piece(other).most_mm == pytest.approx(0.15 + 0.35)


def test_the_seed_cabinet_beside_100_000_of_them_made_at_random(store: Store) -> None:
    """Four panels in two dados each, of one sheet and one cutter, and six joints of two dowels, drawn without our sums."""
    (one,) = compile_file(ROOT / "specs/seed-cabinet.yaml", store=store)
    first = odds_of(one)
    rng, many = np.random.default_rng(7), 100_000
    half = 0.1524 / 6 / np.sqrt(2)
    sheet, cutter = rng.normal(0.0, half, many), rng.normal(0.0, 0.1 / 6, many)
    goes = np.ones(many, dtype=bool)
    for _ in range(4):
        gap = 0.127 + cutter - sheet - rng.normal(0.0, half, many)
        goes &= (gap >= 0.0508) & (gap <= 0.254)
    play = 0.1 + rng.normal(0.0, 0.05 / 6, many)
    for _ in range(6):
        marks = rng.normal(0.0, 0.25 / 6, (4, many))
        goes &= np.abs((marks[0] - marks[1]) - (marks[2] - marks[3])) <= 2 * play
    assert first.odds == pytest.approx(goes.mean(), abs=0.005)
    assert summary(first, "in").startswith(
        "88 in 100 that every joint goes together at the first dry fit; decided by dowels: plinth front to left plinth end and 5 like it"
        " (98 in 100 each, 0 in to 0.0108 in at the worst) and dado: bottom in left side and 7 like it (99 in 100 each); "
    )


def test_what_helps_is_what_the_piece_would_have_with_it(store: Store) -> None:
    first = odds_of(made(SLIP, "0.3", store))
    assert [way for way, _ in first.helps] == ["measuring the sheet `ply`", "gauging the cutter of the 18.127 mm housings"]
    assert first.helps[0][1] == pytest.approx(odds_of(made(SLIP, "0.05", store)).odds, abs=1e-6)
    assert first.helps[1][1] == pytest.approx(odds_of(made(SLIP, "0.3", store), Shop(cutting_mm=0.02)).odds, abs=1e-6)
    assert summary(first, "mm").endswith(
        "; measuring the sheet `ply` makes it more than 99, gauging the cutter of the 18.127 mm housings makes it 93"
    )


def test_a_true_sheet_needs_no_word(store: Store) -> None:
    first = odds_of(made(SLIP, "0", store))
    assert first.odds > 0.999 and first.helps == ()
    assert summary(first, "mm") == "more than 99 in 100 that every joint goes together at the first dry fit"


def test_a_piece_without_fits() -> None:
    first = first_fit(Design("Plank", "plank", "mm", ()), DryFit({}, {}, (), (), ()))
    assert first == FirstFit(1.0, (), (), ())


def notes(one: Compiled, shop: Shop | None = None) -> list[Finding]:
    assert one.design is not None and one.fit is not None
    seen = Seen(one.design if shop is None else replace(one.design, shop=shop), one.fit, first_fit=odds_of(one, shop))
    return [found for found in run(seen) if found.id == "fit-at-the-limits"]


@pytest.mark.parametrize(
    ("fit", "spread", "spoken"),
    [
        ("slip", "0.3", False),
        ("slip", "0.5", True),
        ("press", "0", False),
        ("press", "0.15", True),
        ("easy", "0.3", False),
        ("easy", "0.8", True),
    ],
)
def test_a_fit_is_told_when_its_sheet_spoils_one_in_ten(fit: str, spread: str, spoken: bool, store: Store) -> None:
    assert bool(notes(made(SLIP.replace("slip", fit), spread, store))) is spoken


def test_fits_that_fail_alike_are_told_once(store: Store) -> None:
    (note,) = notes(made(SLIP, "0.5", store))
    assert note.severity is Severity.note
    assert note.parts == ("shelf", "left side", "right side")
    assert note.message == (
        "dado: shelf in left side (and 1 like it): at the ends of the spreads there are -0.173 mm to 0.427 mm between the walls of the"
        " dado, wanted are 0.051 mm to 0.254 mm; 25 in 100 do not fit"
    )


def test_what_is_wrong_as_drawn_is_another_findings_business(store: Store) -> None:
    tight = made("dado: {of: shelf, in: side, depth: 6, width: 18.02}", "0.5", store)
    assert "housing-too-tight" in {found.id for found in tight.findings}
    assert notes(tight) == []


def test_dowels_are_told_only_when_the_shop_says_how_it_marks(store: Store) -> None:
    many = made("dowels: {of: shelf, to: side, count: 7, diameter: 8, length: 30}", "0.3", store)
    assert notes(many) == []
    assert len(notes(many, Shop(default=""))) == 1
