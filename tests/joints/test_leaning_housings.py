"""Housings in sides that are not plumb: splayed (walls lean in the trench) and raked (the trench runs at a slant)."""

from __future__ import annotations

from math import cos, radians, tan

import pytest
from compiling import errors, goes_together, size, told, trenches, trims, volume

from build123.kernel import Store

SLIP = 0.127
LEAN = radians(5)


def splayed(joint: str = "depth: 6", shelf_y: str = "0 to 200") -> str:
    return f"""\
build123: 1
piece: Splayed stool
sizes: {{width: 500}}
frames: {{splay: {{turn: 5 deg, about: y, through: [0, 0, 0]}}}}
stock: {{pine: {{board: pine, thickness: 20}}}}
parts:
  side: {{pair: left and right, frame: splay, stock: pine, x: from 0, y: 0 to 200, z: floor to level 400}}
  shelf: {{stock: pine, x: left side to right side, y: {shelf_y}, z: from 200, edges: follow}}
joints:
  - dado: {{of: shelf, in: side, {joint}}}
"""


def test_a_shelf_between_splayed_sides(store: Store) -> None:
    made = goes_together(splayed(), store)

    def inner(into: float, z: float) -> float:
        """Where a plane `into` the inner face of the left side is at a height: 20 thick, leaning to the right going up."""
        return (20 - into) / cos(LEAN) + z * tan(LEAN)

    # the depth is square to the face; the long points are at the under side
    assert size(made, "shelf") == pytest.approx((500 - 2 * inner(6, 200), 200, 20))
    assert volume(made, "shelf") == pytest.approx((500 - 2 * inner(6, 210)) * 200 * 20)
    (dado,) = trenches(made, "left side")
    assert abs(dado.lean_deg) == pytest.approx(5)
    assert dado.width_mm == pytest.approx(20 + SLIP)  # square to its walls
    # a section of the trench is a parallelogram, 20.127 / cos 5 along the face and 6 deep
    assert volume(made, "left side") == pytest.approx(200 * 400 * 20 / cos(LEAN) - 200 * 6 * (20 + SLIP) / cos(LEAN))


def test_the_other_side_leans_the_other_way(store: Store) -> None:
    made = goes_together(splayed(), store)
    left, right = (made.design.by_name[f"{hand} side"] for hand in ("left", "right")) if made.design else (None, None)
    assert left is not None and right is not None
    assert left.shape_key in (right.shape_key, right.hand_key)


@pytest.mark.parametrize("joint", ["depth: 6, run: through"])
def test_a_short_shelf_between_splayed_sides(store: Store, joint: str) -> None:
    made = goes_together(splayed(joint, "30 to 170"), store)
    assert volume(made, "left side") == pytest.approx(200 * 400 * 20 / cos(LEAN) - 200 * 6 * (20 + SLIP) / cos(LEAN))


def test_a_notched_stop_at_a_lean_is_not_known_and_says_so() -> None:
    found = errors(told(splayed("depth: 6, stop: 10 from front"))[1])
    assert {f.id for f in found} == {"skewed-housing"}


def raked(shelf_y: str, edges: str) -> str:
    return f"""\
build123: 1
piece: Leaning shelf
sizes: {{width: 600}}
frames: {{lean: {{turn: -10 deg, about: x, through: [0, 0, 0]}}}}
stock: {{pine: {{board: pine, thickness: 20}}}}
parts:
  side: {{pair: left and right, frame: lean, stock: pine, x: from 0, y: 0 to 120, z: floor to level 1800}}
  shelf: {{stock: pine, x: left side to right side, y: {shelf_y}, z: from 300, edges: {edges}}}
joints:
  - dado: {{of: shelf, in: side, depth: 8}}
"""


RAKE = radians(10)
RAKED_SIDE = 1800 / cos(RAKE) * 120 * 20


def test_a_shelf_from_edge_to_edge_of_raked_sides(store: Store) -> None:
    made = goes_together(raked("front of left side to back of left side", "follow"), store)
    # a band 20.127 wide that crosses a side 120 wide at 10 degrees
    assert volume(made, "left side") == pytest.approx(RAKED_SIDE - (20 + SLIP) * 120 / cos(RAKE) * 8)
    assert volume(made, "shelf") == pytest.approx(576 * 20 * 120 / cos(RAKE))
    assert len(trims(made, "shelf")) == 2


def test_square_edges_stay_within_the_raked_side(store: Store) -> None:
    made = goes_together(raked("front of left side to back of left side", "square"), store)
    # the highest front point and the lowest back point that lie within: 20 tan 10 is lost
    assert size(made, "shelf")[1] == pytest.approx(120 / cos(RAKE) - 20 * tan(RAKE))
    assert not trims(made, "shelf")


def test_a_shelf_that_ends_within_a_raked_side_has_a_slanted_end(store: Store) -> None:
    made = goes_together(raked("front of left side + 20 to back of left side", "follow"), store)
    # closed at the front with half of the clearance as room, along the trench
    assert volume(made, "left side") == pytest.approx(RAKED_SIDE - (20 + SLIP) * (120 / cos(RAKE) - 20 + SLIP / 2) * 8, rel=1e-4)
    assert volume(made, "shelf") == pytest.approx(576 * 20 * (120 / cos(RAKE) - 20))
