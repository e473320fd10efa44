"""Tapers, chamfers and rows of holes: volumes by hand, measured on the solids."""

from __future__ import annotations

from math import pi

import pytest
from compiling import errors, goes_together, holes, marked, part, told, trims, volume

from build123.kernel import Store


def one(shape: str, stock: str = "44", extents: str = "x: from 0 for 44, y: from 0, z: 0 to 600", more: str = "") -> str:
    return f"""\
build123: 1
piece: One part
sizes: {{width: 400, depth: 300}}
stock: {{ash: {{board: ash, thickness: {stock}}}}}
parts:
  leg: {{stock: ash, {extents}}}
{more}shapes:
  - {shape}
"""


def test_a_taper_on_one_face(store: Store) -> None:
    made = goes_together(one("taper: {of: leg, faces: right, from: 110 below top, to: 28}"), store)
    assert volume(made, "leg") == pytest.approx(44 * 44 * 600 - (44 - 28) * 490 / 2 * 44)


def test_a_taper_on_two_faces_is_a_frustum(store: Store) -> None:
    text = one("taper: {of: leg, faces: inner, from: 110 below top, to: 28}", more="  post: {stock: ash, x: up to 400 for 44, y: up to 300, z: 0 to 600, loose: yes}\n")  # fmt: skip
    made = goes_together(text, store)
    assert volume(made, "leg") == pytest.approx(44 * 44 * 110 + 490 / 3 * (44**2 + 44 * 28 + 28**2))
    assert len(trims(made, "leg")) == 2


@pytest.mark.parametrize(
    ("shape", "id", "under"),
    [
        ("taper: {of: leg, faces: right, from: 700 below top, to: 28}", "bad-taper", "700 below top"),
        ("taper: {of: leg, faces: right, from: 110 below top, to: 44}", "bad-taper", "44"),
        ("taper: {of: leg, faces: right, from: 110 below top, to: 0}", "bad-taper", "0"),
        ("taper: {of: leg, faces: top, from: 110 below top, to: 28}", "bad-taper", "top"),
        ("taper: {of: leg, faces: right, from: 110, to: 28}", "bad-position", "110"),
        ("taper: {of: leg, from: 110 below top, to: 28}", "bad-face", "taper"),
        ("chamfer: {of: leg, along: front top, size: 44}", "bad-value", "44"),
        ("chamfer: {of: leg, along: front, size: 4}", "bad-face", "front"),
        ("chamfer: {of: leg, along: front back, size: 4}", "bad-face", "front back"),
        ("holes: {of: leg, face: front, columns: 20 from left, first: 50 from top, count: 20, every: 32}", "hole-off-part", "20"),
        ("holes: {of: leg, face: front, columns: 50 from left, first: 50 from top, count: 2}", "hole-off-part", "2"),
        ("holes: {of: leg, face: front, columns: 20 from front, first: 50 from top, count: 2}", "bad-position", "holes"),
        ("holes: {of: leg, face: front, columns: 20 from left, first: 50 from top, count: 2, every: 3}", "bad-value", "3"),
        ("holes: {of: lge, face: front, columns: 20 from left, first: 50 from top, count: 2}", "unknown-part", "lge"),
        ("hols: {of: leg}", "unknown-key", "hols"),
    ],
)
def test_slips_in_shapes(shape: str, id: str, under: str) -> None:
    found = errors(told(one(shape))[1])
    assert [f.id for f in found] == [id], [f.message for f in found]
    assert marked(found[0]) == under


def test_a_chamfer(store: Store) -> None:
    made = goes_together(one("chamfer: {of: leg, along: [front top, front left], size: 5}"), store)
    # two prisms of 12.5 mm2, which share a corner: a pyramid on the overlap counts once
    prism = 5 * 5 / 2
    assert volume(made, "leg") == pytest.approx(44 * 44 * 600 - prism * 44 - prism * 600 + 5**3 / 3)


def test_a_row_of_shelf_pin_holes(store: Store) -> None:
    shape = "holes: {of: leg, face: front, columns: [12 from left, 12 from right], first: 50 from top, every: 32, count: 12, diameter: 5, depth: 12}"
    made = goes_together(one(shape), store)
    assert volume(made, "leg") == pytest.approx(44 * 44 * 600 - 24 * pi * 2.5**2 * 12)
    leg = part(made, "leg")
    mouths = sorted(tuple(round(c, 6) for c in leg.placement.point(h.datum.frame.point((*h.point, 0.0)))) for h in holes(made, "leg"))
    assert mouths == sorted((x, 0.0, 600 - 50 - 32.0 * n) for x in (12.0, 32.0) for n in range(12))


def test_holes_on_both_faces_of_a_board(store: Store) -> None:
    shape = "holes: {of: leg, face: both, columns: 37 from front, first: 50 from bottom, count: 4, diameter: 5, depth: 8}"
    made = goes_together(one(shape, "20", "x: from 0, y: 0 to 200, z: 0 to 600"), store)
    assert volume(made, "leg") == pytest.approx(20 * 200 * 600 - 8 * pi * 2.5**2 * 8)


def test_holes_are_32_apart_5_wide_and_12_deep_by_themselves(store: Store) -> None:
    """SYS32 rows of reference/joinery_rules.csv; 1/4 in by 3/8 in where the file is in inches (PIN-1_4)."""
    made = goes_together(one("holes: {of: leg, face: front, columns: 20 from left, first: 50 from top, count: 2}"), store)
    (step,) = {h.steps[0] for h in holes(made, "leg")}
    assert (step.diameter_mm, step.depth_mm) == (5, 12)


def test_an_opposite_hand_is_drilled_on_its_own_inner_face(store: Store) -> None:
    text = """\
build123: 1
piece: Two sides
sizes: {width: 500}
stock: {ply: {sheet: birch plywood, thickness: 18}}
parts:
  side: {pair: left and right, stock: ply, x: from 0, y: 0 to 300, z: 0 to 900}
  cap: {stock: ply, x: left side to right side, y: 0 to 300, z: up to 900}
joints:
  - rabbet: {of: cap, in: side}
shapes:
  - holes: {of: side, face: inner, columns: 37 from front, first: 150 from bottom, count: 20}
"""
    made = goes_together(text, store)
    for hand, x in (("left", 18.0), ("right", 482.0)):
        side = part(made, f"{hand} side")
        mouths = {tuple(round(c, 6) for c in side.placement.point(h.datum.frame.point((*h.point, 0.0)))) for h in holes(made, side.name)}
        assert mouths == {(x, 37.0, 150 + 32.0 * n) for n in range(20)}
    assert part(made, "left side").shape_key == part(made, "right side").hand_key
