"""Turned frames: levels, frames in frames, edges that follow or stay square, opposite hands that lean the other way."""

from __future__ import annotations

from math import cos, radians, sin, tan

import pytest
from compiling import design_of, errors, goes_together, marked, part, size, told, trims

from build123.kernel import Store

LEAN = radians(10)


def piece(parts: str, frames: str = "lean: {turn: -10 deg, about: x, through: [0, 0, 0]}") -> str:
    return f"""\
build123: 1
piece: Easel
sizes: {{width: 600, depth: 400, height: 1800}}
frames: {{{frames}}}
stock: {{pine: {{board: pine, thickness: 20}}}}
parts:
{parts}"""


def test_from_the_floor_to_a_level_the_ends_are_trimmed() -> None:
    made = design_of(piece("  side: {frame: lean, stock: pine, x: from 0, y: 0 to 120, z: floor to level height}\n"))
    # the blank is the box of the body in its frame, over the long points
    assert size(made, "side") == pytest.approx((1800 / cos(LEAN) + 120 * tan(LEAN), 120, 20))
    assert [t.plane.normal[2] for t in trims(made, "side")] == pytest.approx([0, 0])  # both are square to the face
    side = part(made, "side")
    for trim, height in zip(trims(made, "side"), (0, 1800), strict=True):
        # a point on each trim stands at its level in the piece
        foot = tuple(trim.plane.offset * c for c in trim.plane.normal)
        assert side.placement.point(foot)[2] == pytest.approx(height, abs=1e-6)  # type: ignore[arg-type]


def test_a_frame_turns_about_its_own_point() -> None:
    made = design_of(
        piece(
            "  stick: {frame: turned, stock: pine, x: from 0, y: 0 to 40, z: 0 to 300}\n",
            "turned: {turn: 90 deg, about: y, through: [100, 0, 50]}",
        )
    )
    # a quarter turn takes z to x and x to -z: (0..20, 0..40, 0..300) from the point (100, 0, 50)
    box = part(made, "stick").box
    # x of the frame's own axes is measured from its point
    assert box.size == pytest.approx((300, 40, 20), abs=1e-9)


def test_a_frame_in_a_frame() -> None:
    made = design_of(
        piece(
            "  leg: {frame: splay, stock: pine, x: from 0 for 40, y: from 0, z: 0 to 500}\n",
            "lean: {turn: -10 deg, about: x}, splay: {turn: 4 deg, about: y, within: lean}",
        )
    )
    along = part(made, "leg").placement.x
    up = along if along[2] > 0 else tuple(-c for c in along)
    a, b = radians(-10), radians(4)
    # z of the splay is (sin b, 0, cos b) in the lean, which turns it about x
    assert up == pytest.approx((sin(b), -sin(a) * cos(b), cos(a) * cos(b)), abs=1e-9)


def test_the_opposite_hand_leans_the_other_way(store: Store) -> None:
    made = goes_together(
        piece(
            "  leg: {pair: left and right, frame: splay, stock: pine, x: from 0 for 40, y: from 0, z: floor to level 500, loose: yes}\n",
            "splay: {turn: 4 deg, about: y}",
        ),
        store,
    )
    left, right = part(made, "left leg"), part(made, "right leg")
    assert left.box.low[0] == pytest.approx(600 - right.box.high[0], abs=1e-6)
    assert left.box.high[0] == pytest.approx(600 - right.box.low[0], abs=1e-6)
    assert right.shape_key in (left.hand_key, left.shape_key)


def test_edges_follow_a_leaning_face_or_stay_square_within_it() -> None:
    parts = """\
  side: {pair: left and right, frame: lean, stock: pine, x: from 0, y: 0 to 120, z: floor to level height}
  shelf: {stock: pine, x: left side to right side, y: front of left side to back of left side, z: from 300, edges: EDGES}
"""
    follow, square = (design_of(piece(parts.replace("EDGES", word))) for word in ("follow", "square"))
    assert size(follow, "shelf")[1] == pytest.approx(120 / cos(LEAN) + 20 * tan(LEAN))
    assert size(square, "shelf")[1] == pytest.approx(120 / cos(LEAN) - 20 * tan(LEAN))
    assert (len(trims(follow, "shelf")), len(trims(square, "shelf"))) == (2, 0)


@pytest.mark.parametrize(
    ("frames", "id", "under"),
    [
        ("lean: {turn: 10 deg, about: x, within: tilt}, tilt: {turn: 1 deg, about: y, within: lean}", "cycle", ""),
        ("lean: {turn: 10 deg, about: x, within: tillt}, tilt: {turn: 1 deg, about: y}", "unknown-name", "tillt"),
        ("lean: {turn: 10 mm, about: x}", "wrong-dimension", "10 mm"),
        ("lean: {turn: 10 deg, about: w}", "bad-value", "w"),
        ("lean: {turn: 10 deg, about: x, through: [0, 0]}", "bad-value", "[0, 0]"),
        ("lean: {about: x}", "key-missing", "lean"),
    ],
)
def test_slips_in_frames(frames: str, id: str, under: str) -> None:
    found = errors(told(piece("  stick: {frame: lean, stock: pine, x: from 0, y: 0 to 40, z: 0 to 300}\n", frames))[1])
    assert [f.id for f in found] == [id], [(f.id, f.message, marked(f)) for f in found]
    assert under in marked(found[0])


def test_a_misspelt_frame() -> None:
    (found,) = errors(told(piece("  stick: {frame: leen, stock: pine, x: from 0, y: 0 to 40, z: 0 to 300}\n"))[1])
    assert found.id == "unknown-name" and marked(found) == "leen" and "lean" in found.message + found.change
