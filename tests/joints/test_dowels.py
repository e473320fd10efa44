"""Dowels: in line in both parts, with room for glue, and never out of a face."""

from __future__ import annotations

from math import pi

import pytest
from compiling import goes_together, holes, marked, part, told, volume

from build123.kernel import Store
from build123.model.design import Design
from build123.model.part import Rod
from build123.pipeline import Compiled

ROOM_MM = 1.0
"""1 mm for wet glue: DOWEL-CLEAR of reference/joinery_rules.csv (confirmed)."""


def two(joint: str, other: str, one: str = "x: left side to 400, y: 0 to 200, z: from 100") -> str:
    return f"""\
build123: 1
piece: Two boards
stock: {{ash: {{board: ash, thickness: 20}}}}
parts:
  left side: {{stock: ash, {other}}}
  shelf: {{stock: ash, {one}}}
joints:
  - dowels: {{of: shelf, to: left side, {joint}}}
"""


FACE = "x: from 0, y: 0 to 200, z: 0 to 300"
EDGE = "x: 0 to 200, y: 0 to 200, z: from 100"


def depths(made: Compiled | Design, name: str) -> list[float]:
    return [h.steps[0].depth_mm for h in holes(made, name)]


def places(made: Compiled, name: str) -> list[tuple[float, float, float]]:
    """Where the holes' mouths are, in the piece."""
    one = part(made, name)
    found = [one.placement.point(h.datum.frame.point((*h.point, 0.0))) for h in holes(made, name)]
    return sorted((round(x, 6), round(y, 6), round(z, 6)) for x, y, z in found)


def test_end_to_face_by_count(store: Store) -> None:
    made = goes_together(two("count: 3, diameter: 8, length: 30, into: 10, ends: 30", FACE), store)
    # 30 from both ends of the 200, one in the middle, on the middle of the 20 thick end
    assert places(made, "left side") == places(made, "shelf") == [(20, 30, 110), (20, 100, 110), (20, 170, 110)]
    assert depths(made, "left side") == pytest.approx([10 + ROOM_MM] * 3)
    assert depths(made, "shelf") == pytest.approx([30 - 10 + ROOM_MM] * 3)
    assert volume(made, "left side") == pytest.approx(200 * 300 * 20 - 3 * pi * 4**2 * 11)
    assert volume(made, "shelf") == pytest.approx(380 * 200 * 20 - 3 * pi * 4**2 * 21)


def test_the_pins_are_hardware_in_the_middle_of_their_room(store: Store) -> None:
    made = goes_together(two("count: 2, diameter: 8, length: 30, into: 10", FACE), store)
    assert made.design is not None
    pins = made.design.hardware
    assert [p.solid for p in pins] == [Rod(8, 30), Rod(8, 30)]
    for pin in pins:
        ends = sorted((pin.placement.point((0, 0, 0))[0], pin.placement.point((0, 0, 30))[0]))
        assert ends == pytest.approx([20 - 10, 20 + 20])


def test_by_pitch(store: Store) -> None:
    """`every` is the greatest distance: 140 between the first and the last takes three steps of 46.67."""
    made = goes_together(two("every: 50, diameter: 8, length: 30, into: 10, ends: 30", FACE), store)
    assert [y for _, y, _ in places(made, "shelf")] == pytest.approx([30, 30 + 140 / 3, 30 + 280 / 3, 170])


def test_by_position_from_the_front(store: Store) -> None:
    made = goes_together(two("positions: [25, 150], diameter: 8, length: 30, into: 10", FACE), store)
    assert [y for _, y, _ in places(made, "shelf")] == pytest.approx([25, 150])


def test_edge_to_edge_is_shared_alike(store: Store) -> None:
    made = goes_together(two("count: 2, diameter: 8, length: 40", EDGE), store)
    assert depths(made, "left side") == depths(made, "shelf") == pytest.approx([40 / 2 + ROOM_MM] * 2)


def test_a_hole_into_a_face_keeps_wood_under_it(store: Store) -> None:
    """Into a face at most the thickness less 3/16 in: DOWEL-DEPTH of reference/joinery_rules.csv."""
    made = goes_together(two("count: 2, diameter: 8, length: 50", FACE), store)
    (deep,) = set(depths(made, "left side"))
    assert deep <= 20 - 4.7625 + 1e-9
    assert depths(made, "shelf") == pytest.approx([50 + 2 * ROOM_MM - deep] * 2)


def test_usual_sizes_where_the_spec_does_not_say(store: Store) -> None:
    """At most half of the thinner part (DOWEL-DIA-MAX, confirmed), one for each 6 in and one more (DOWEL-PITCH-CASE)."""
    made = goes_together(two("into: 12", FACE), store)
    assert {h.steps[0].diameter_mm for h in holes(made, "shelf")} == {10.0}
    assert len(holes(made, "shelf")) == 200 // 152.4 + 1
    assert made.design is not None
    assert {s.name for s in made.design.joints[0].sizes if s.default} >= {"diameter", "length", "count", "room for glue"}


def test_inches_take_inch_dowels(store: Store) -> None:
    text = """\
build123: 1
piece: Plinth
units: in
stock: {ply: {sheet: birch plywood, nominal: 3/4, thickness: 23/32}}
parts:
  end: {stock: ply, x: from 0, y: 0 to 12, z: 0 to 4}
  front: {stock: ply, x: end to 30, y: from 0, z: 0 to 4}
joints:
  - dowels: {of: front, to: end, length: 1 1/2, ends: 1}
"""
    made = goes_together(text, store)
    (hole, *_) = holes(made, "front")
    assert hole.steps[0].diameter_mm / 25.4 == pytest.approx(3 / 8)  # half of the nominal 3/4
    into_face, into_end = depths(made, "end")[0] / 25.4, depths(made, "front")[0] / 25.4
    # 1/16 in of room at each end (DOWEL-CLEAR)
    assert into_face + into_end == pytest.approx(1.5 + 2 / 16)
    assert into_face <= 23 / 32 - 3 / 16 + 1e-9


@pytest.mark.parametrize(
    ("joint", "id", "under"),
    [
        ("count: 2, every: 50", "row-spacing", "dowels"),
        ("positions: [25, 250]", "off-strip", "250"),
        ("count: 2, ends: 120", "off-strip", "120"),
        ("count: 60, ends: 10", "row-spacing", "dowels"),
        ("every: 2", "row-spacing", "2"),
        ("count: 0", "bad-count", "0"),
        ("count: 2, diameter: 0", "bad-dowel", "0"),
        ("count: 2, diameter: 8, length: 60, into: 25", "dowel-too-long", "60"),
        ("count: 2, diameter: 8, length: 20, into: 20", "dowel-too-long", "20"),
    ],
)
def test_slips_in_dowels(joint: str, id: str, under: str) -> None:
    (found,) = told(two(joint, FACE))[1]
    assert found.id == id, found.message
    assert marked(found) == under


def test_a_dowel_that_is_too_long_is_told_with_the_numbers() -> None:
    (found,) = told(two("count: 2, diameter: 8, length: 60, into: 25", FACE))[1]
    assert "60 mm long" in found.message and "left side" in found.message


@pytest.mark.parametrize("into", ["19", "20", "25"])
def test_a_hole_never_comes_out_of_the_far_face(into: str) -> None:
    """With 1 mm for glue, 19 mm of dowel would drill a 20 mm board through."""
    (found,) = told(two(f"count: 2, diameter: 8, length: 60, into: {into}", FACE))[1]
    assert found.id == "dowel-too-long"
