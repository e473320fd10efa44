"""Shoulders marked to the strokes of a rule, where the shop says so; fits, holes and sizes stay exact. Where brads go is told."""

from __future__ import annotations

import re

import pytest

from build123.drawing.sheet import sheet_plans
from build123.drawing.svg import render
from build123.kernel import Store
from build123.pipeline import compile_text

CASE = """
build123: 1
piece: Marked case
units: UNITS
SHOP
sizes: {width: 600 mm, depth: 203.3 mm, height: 500 mm}
stock: {ply: {sheet: birch plywood, thickness: 17.8 mm}}
parts:
  side: {pair: left and right, stock: ply, x: from 0, y: 0 to depth, z: 0 to height}
  shelf: {stock: ply, x: left side to right side, y: 0 to depth, z: from 101.13 mm}
joints:
  - dado: {of: shelf, in: side, depth: 6 mm, stop: 10.3 mm from front}
shapes:
  - holes: {of: side, face: inner, diameter: 5 mm, depth: 10 mm, columns: [37.2 mm from front], first: 300 mm from bottom, count: 4, every: 32 mm}
"""


def told(units: str, shop: str, store: Store) -> set[str]:
    made = compile_text(CASE.replace("UNITS", units).replace("SHOP", shop), store)
    assert made.design is not None, [f.message for f in made.findings]
    plan = next(plan for plan in sheet_plans(made.design, failed=False) if plan.parts[0].name == "left side")
    return set(re.findall(r">([^<>]+)</text>", render(plan.draw()).decode()))


def test_shoulders_are_exact_where_the_shop_says_nothing(store: Store) -> None:
    # the near shoulder from the top end: 500 - 101.13 - 17.8 less half the clearance of the dado, 0.0635 mm
    assert {"381.01", "all sizes in mm"} <= told("mm", "", store)


@pytest.mark.parametrize(("shop", "shoulder", "stop"), [("shop: {marking: 0.5 mm}", "381", "10.5"), ("shop: {marking: 1 mm}", "381", "10")])
def test_shoulders_and_ends_of_trenches_stand_on_a_stroke(shop: str, shoulder: str, stop: str, store: Store) -> None:
    said = told("mm", shop, store)
    assert {shoulder, stop} <= said and "381.01" not in said
    assert any(one.startswith("mm; shoulders to") for one in said)
    assert "37.2" in said and "203.3" in said, "holes and sizes stay exact"


def test_in_inches_a_stroke_is_a_fraction(store: Store) -> None:
    # 381.01 mm is 15.0003 in, 10.3 mm is 0.4055 in, nearest 13/32
    said = told("in", "shop: {marking: 1/32 in}", store)
    assert {"15", "13/32", "in; shoulders to 1/32"} <= said


def test_where_brads_go_is_told_though_nothing_is_drilled(store: Store) -> None:
    made = compile_text(
        "build123: 1\npiece: Pinned back\nstock: {ply: {sheet: birch plywood, thickness: 18}, thin: {sheet: birch plywood, thickness: 6}}\n"
        "parts:\n  shelf: {stock: ply, x: 0 to 400, y: 0 to 200, z: from 100}\n  back: {stock: thin, x: 0 to 400, y: from 200, z: 0 to 300}\n"
        "joints:\n  - pins: {of: back, to: shelf, every: 100, kind: brads}\n",
        store,
    )
    assert made.design is not None
    plan = next(plan for plan in sheet_plans(made.design, failed=False) if plan.parts[0].name == "back")
    said = set(re.findall(r">([^<>]+)</text>", render(plan.draw()).decode()))
    # 400 less 25 at each end is 350: five brads, 87.5 apart; the middle of the shelf's edge lies 100 + 9 up
    assert {"brad, nothing drilled", "25, then 4 more, 87.5 apart", "109", "shelf"} <= said
