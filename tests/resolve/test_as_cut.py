"""What is made already has its real size: uncut parts follow, what cannot is told with its price, and the solids show what fits."""

from __future__ import annotations

import pytest
from compiling import design_of, goes_together, part, size, span, told, trenches
from cut_tray import DADO, DOWELS, RAIL, SHELF, SHORT, STOPPED, TONGUE, depths, found, message, tray
from hypothesis import given, settings
from hypothesis import strategies as st

from build123.kernel.store import Store
from build123.model.feature import Hole, HoleStep
from build123.pipeline import compile_text

# --- what is not cut yet follows -------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("length", "depth"), [(575.4, 5.7), (577.5, 6.75), (566, 1.0), (586, 11.0)])
def test_the_dados_in_uncut_sides_follow_a_shelf_and_nothing_in_sight_moves(length: float, depth: float, store: Store) -> None:
    """By hand: the shelf is 600 - 2 x 18 + 2 x 6 = 576 long; half of what it is off goes into each dado."""
    plain, made = goes_together(tray(""), store), goes_together(tray(f"shelf 1: {{length: {length}}}"), store)
    assert size(made, "shelf 1")[0] == length
    for side in ("left side", "right side"):
        assert depths(made, side) == pytest.approx(sorted([depth, 6.0]))
        assert span(made, side) == span(plain, side)
    assert span(made, "shelf 2") == span(plain, "shelf 2")
    assert [f.id for f in made.findings if f.id != "thin-under-trench"] == ["as-cut-followed"]
    assert f"the dados in left side and right side are cut {depth:g} mm deep instead of 6 mm" in message(made, "as-cut-followed")
    # the solid itself is as long as was said
    assert made.fit is not None
    assert made.fit.shapes[made.fit.shape_of["shelf 1"]].box.size[0] == pytest.approx(length)


def test_a_side_that_is_cut_stays_and_the_other_takes_it_all(store: Store) -> None:
    made = goes_together(tray("shelf: {length: 575.4}; left side: {length: 400}"), store)
    assert depths(made, "left side") == [6, 6]
    assert depths(made, "right side") == pytest.approx([5.4, 5.4])
    # one finding for the run
    assert [f.id for f in made.findings] == ["as-cut-followed"]
    assert message(made, "as-cut-followed").startswith(
        "shelf 1 is 575.4 mm long as cut and would be 576 mm: the dado in right side is cut 5.4 mm deep instead of 6 mm (and 1 more like it)"
    )


def test_dados_of_unequal_depth_are_cut_deeper_where_more_is_left(store: Store) -> None:
    joints = "joints:\n  - dado: {of: shelf, in: left side, depth: 9}\n  - dado: {of: shelf, in: right side, depth: 4}\n"
    longer, shorter = (goes_together(tray(f"shelf 1: {{length: {length}}}", joints=joints), store) for length in (579, 575))
    assert (depths(longer, "left side"), depths(longer, "right side")) == ([9, 9], pytest.approx([4, 6]))
    assert (depths(shorter, "left side"), depths(shorter, "right side")) == (pytest.approx([7, 9]), [4, 4])


def test_a_notch_and_its_shoulder_follow_in_a_stopped_dado(store: Store) -> None:
    """By hand: 576 less half a millimetre of air at each floor is 575; 2 mm more make each dado 1 mm deeper, the air stays."""
    made = goes_together(tray("shelf 1: {length: 577}", joints=STOPPED), store)
    assert depths(made, "left side") == [6, 7]
    gaps = [e for j in made.design.joints for e in j.expects if e.shoulder] if made.design else []
    assert {round(e.nominal_mm, 9) for e in gaps} == {0.5}


def test_a_tongue_is_longer_and_its_groove_deeper_while_the_shoulders_stay(store: Store) -> None:
    made = goes_together(tray("shelf 1: {length: 577}", joints=TONGUE), store)
    assert depths(made, "left side") == [6, 7]
    assert "the grooves in left side and right side are cut 7 mm deep instead of 6 mm" in message(made, "as-cut-followed")
    # two shoulders at each end, 564 apart as the sides are
    assert [round(t.width_mm, 9) for t in trenches(made, "shelf 1")] == [6.5] * 4


def test_a_closed_trench_is_longer_for_a_wider_shelf(store: Store) -> None:
    made = goes_together(tray("shelf 1: {width: 281}", SHORT), store)
    long = sorted(max(abs(t.start[0] - t.end[0]), abs(t.start[1] - t.end[1])) for t in trenches(made, "left side"))
    assert long[1] - long[0] == pytest.approx(1.0)  # the trench of shelf 2 stays


def test_an_open_trench_stays_open_for_a_shelf_that_came_out_narrow(store: Store) -> None:
    """Half a millimetre from the edge is no place to end a trench."""
    plain, made = goes_together(tray(""), store), goes_together(tray("shelf: {width: 299.5}"), store)
    assert trenches(made, "left side") == trenches(plain, "left side")
    assert message(made, "as-cut-followed").startswith(
        "shelf 1 is 299.5 mm wide as cut and would be 300 mm: its back edge, which meets nothing, lies 0.5 mm further in"
    )
    assert span(made, "shelf 1")[1] == (0, 299.5)  # the front stays


def test_the_edge_that_meets_nothing_takes_it_even_at_the_front(store: Store) -> None:
    back = "  back: {stock: thin, x: left side to right side, y: from depth, z: 0 to height}\n"
    made = goes_together(tray("shelf 1: {width: 299}", SHELF + back, DADO + "  - glued: {of: back, to: shelf}\n"), store)
    assert span(made, "shelf 1")[1] == (1, 300)
    assert "its front edge, which meets nothing, lies 1 mm further in" in message(made, "as-cut-followed")


def test_opposite_hands_stay_opposite(store: Store) -> None:
    """A ledge on each side came out narrow: what is at the left of the one is at the right of the other."""
    parts = "  ledge: {pair: left and right, stock: thin, x: from right of left side for 40, y: 0 to depth, z: from 100}\n"
    made = goes_together(tray("ledge: {width: 39}", parts, "joints:\n  - glued: {of: ledge, to: side}\n"), store)
    assert span(made, "left ledge")[0] == (18, 57)
    assert span(made, "right ledge")[0] == (543, 582)
    one, other = part(made, "left ledge"), part(made, "right ledge")
    assert one.shape_key == other.hand_key


@pytest.mark.parametrize(("length", "wall"), [(401, 19.0), (399, 18.0)])
def test_a_step_at_an_edge_runs_out_of_a_side_that_came_out_longer_or_shorter(length: float, wall: float, store: Store) -> None:
    roof = "  roof: {stock: ply, x: left side to right side, y: 0 to depth, z: up to height}\n"
    made = goes_together(tray(f"side: {{length: {length}}}", roof, "joints:\n  - rabbet: {of: roof, in: side, depth: 9}\n"), store)
    assert size(made, "left side")[0] == length and span(made, "left side")[2] == (0, length)
    assert [round(t.width_mm, 6) for t in trenches(made, "left side")] == [wall]


def test_ends_that_follow_a_lean_come_out_as_long_as_was_said(store: Store) -> None:
    """By hand: the side is 1800 / cos 10 deg + 120 tan 10 deg long over its points; the top end moves along its own normal."""
    text = """\
build123: 1
piece: Leaning shelf
units: mm
sizes: {width: 600, height: 1800}
frames: {lean: {turn: -10 deg, about: x, through: [0, 0, 0]}}
stock: {pine: {board: pine, thickness: 20}}
parts:
  side: {pair: left and right, frame: lean, stock: pine, x: from 0, y: 0 to 120, z: floor to level height}
  shelf: {stock: pine, x: left side to right side, y: front of left side to back of left side, z: [from 300, from 700], edges: follow}
joints:
  - dado: {of: shelf, in: side, depth: 8}
as cut:
  left side: {length: 1847}
  shelf 1: {length: 575, width: 125}
"""
    made = goes_together(text, store)
    assert made.fit is not None
    assert made.fit.shapes[made.fit.shape_of["left side"]].box.size[0] == pytest.approx(1847)
    assert made.fit.shapes[made.fit.shape_of["shelf 1"]].box.size[:2] == pytest.approx((575, 125))
    assert depths(made, "right side") == pytest.approx([7, 8])  # the left one is cut


# --- what a joint has room for ---------------------------------------------------------------------------------------------


def test_a_gap_at_the_end_takes_what_it_has_room_for_though_all_is_cut(store: Store) -> None:
    back = "  back: {stock: thin, x: left side to right side, y: up to depth, z: 0 to height}\n"
    joints = "joints:\n  - rabbet: {of: back, in: side, depth: 9, gap: 1}\n"

    def ids(length: float) -> list[str]:
        return found(tray(f"back: {{length: {length}}}; side: {{length: 400}}", back, joints), store)[1]

    # 580 with 1 mm at each end, of which a quarter has to stay
    assert ids(581.5) == ids(578) == ["as-cut-followed back"]
    assert ids(581.6) == ids(577.9) == ["as-cut-does-not-fit back/left side/right side"]


def test_a_tongue_too_long_for_grooves_that_are_cut_is_seen_on_the_solids(store: Store) -> None:
    _, ids = found(tray("shelf 1: {length: 575.7}; side: {length: 400}", joints=TONGUE), store)
    assert ids == ["as-cut-followed shelf 1"]
    made, ids = found(tray("shelf 1: {length: 575.9}; side: {length: 400}", joints=TONGUE), store)
    assert ids == [
        "as-cut-does-not-fit shelf 1/left side/right side",
        "bottoms-out shelf 1/left side",
        "bottoms-out shelf 1/right side",
    ]
    assert made.fit is not None


def test_a_tongue_a_little_short_for_grooves_that_are_cut_still_bears_on_its_shoulders(store: Store) -> None:
    """By hand: 5.5 mm go in at each end, of which two thirds have to; in grooves still to be cut they are made shallower."""
    made = goes_together(tray("shelf 1: {length: 572}; side: {length: 400}", joints=TONGUE), store)
    assert "the grooves in left side and right side have room for it" in message(made, "as-cut-followed")
    assert made.first_fit is not None and made.first_fit.odds > 0.9
    made, ids = found(tray("shelf 1: {length: 571}; side: {length: 400}", joints=TONGUE), store)
    assert ids == ["as-cut-does-not-fit shelf 1/left side/right side"]
    assert depths(goes_together(tray("shelf 1: {length: 572}", joints=TONGUE), store), "left side") == [4.5, 6]


# --- what does not fit any more --------------------------------------------------------------------------------------------


def test_a_short_shelf_between_cut_sides_stands_off_both_and_the_width_would_have_to_change(store: Store) -> None:
    made, ids = found(tray("shelf: {length: 575.4}; side: {length: 400}", SHELF + RAIL, DADO + DOWELS), store)
    assert ids == [
        "as-cut-does-not-fit shelf 1/left side/right side",
        "seat-open shelf 1/left side",
        "seat-open shelf 1/right side",
        "seat-open shelf 2/left side",
        "seat-open shelf 2/right side",
    ]
    assert message(made, "as-cut-does-not-fit") == (
        "shelf 1 is 575.4 mm long as cut and would have to be 576 mm: left side and right side are cut already (and 1 more like it)"
        " | make it again; or `width` would have to be 599.4 mm instead of 600 mm: 1 uncut part would follow (rail)"
    )
    # and so it does
    moved = tray("shelf: {length: 575.4}; side: {length: 400}", SHELF + RAIL, DADO + DOWELS).replace("width: 600", "width: 599.4")
    assert [f.id for f in goes_together(moved, store).findings] == []


def test_a_long_shelf_between_cut_sides_is_to_be_sawn_off(store: Store) -> None:
    made, ids = found(tray("shelf 1: {length: 577}; side: {length: 400}"), store)
    assert ids == [
        "as-cut-does-not-fit shelf 1/left side/right side",
        "parts-interfere left side/shelf 1",
        "parts-interfere right side/shelf 1",
    ]
    assert "| saw 1 mm off it; or `width` would have to be 601 mm" in message(made, "as-cut-does-not-fit")


def test_a_rail_between_faces_has_nowhere_to_take_it(store: Store) -> None:
    made, ids = found(tray("rail: {length: 563}", SHELF + RAIL, DADO + DOWELS), store)
    assert ids == ["as-cut-does-not-fit rail/left side/right side", "seat-open rail/left side", "seat-open rail/right side"]
    assert message(made, "as-cut-does-not-fit") == (
        "rail is 563 mm long as cut and would have to be 564 mm: its left end lies against left side, where nothing can follow;"
        " its right end lies against right side, where nothing can follow"
        " | make it again; or `width` would have to be 599 mm instead of 600 mm: 2 uncut parts would follow (shelf 1, shelf 2)"
    )
    # its dowel holes are drilled into the end where that is
    holes = [f.geometry for f in part(made, "rail").features if isinstance(f.geometry, Hole)]
    assert sorted(h.datum.surface for h in holes) == ["+x", "+x", "-x", "-x"]
    assert {h.steps for h in holes} == {(HoleStep(8.0, 29.0),)}


def test_the_price_of_another_size_counts_what_is_cut_already(store: Store) -> None:
    made, _ = found(tray("rail: {length: 563}; shelf 2: {length: 576}; side: {width: 300}", SHELF + RAIL, DADO + DOWELS), store)
    assert message(made, "as-cut-does-not-fit").endswith(
        "`width` would have to be 599 mm instead of 600 mm: 1 uncut part would follow (shelf 1), and shelf 2, cut already, would not fit any more"
    )


def test_the_named_size_that_costs_least_is_told_with_its_own_slope(store: Store) -> None:
    """Each of the two bays is half of what `clear` leaves: 1 mm of a rail is 2 mm of it, and `width` would move the shelf too."""
    parts = (
        "  post: {stock: ply, x: from left side + clear / 2, y: 0 to depth, z: 0 to 250}\n"
        "  shelf: {stock: ply, x: left side to right side, y: 0 to depth, z: from 250}\n"
        "  rail: {stock: ply, x: left side to post, y: from 0, z: 0 to 80}\n"
    )
    joints = "joints:\n  - dado: {of: shelf, in: side, depth: 6}\n  - glued: {of: post, to: shelf}\n  - dowels: {of: rail, to: [left side, post], count: 2}\n"
    text = tray("rail: {length: 272}", parts, joints).replace("{width: 600", "{clear: width - 54, width: 600")
    made, _ = found(text, store)
    assert message(made, "as-cut-does-not-fit").endswith("`clear` would have to be 544 mm instead of 546 mm: no other part would change")


def test_where_no_named_size_helps_it_is_to_be_made_again(store: Store) -> None:
    text = (
        tray("rail: {length: 563}", SHELF + RAIL, DADO + DOWELS).replace("{width: 600, ", "{").replace("parts:", "middle: {x: 300}\nparts:")
    )
    made, _ = found(text, store)
    assert message(made, "as-cut-does-not-fit").endswith("| make it again")


@pytest.mark.parametrize(
    ("depth", "thickness", "length", "words"),
    [
        # 9 mm sides with dados 6 deep: a millimetre has to stay under them
        ("6", 9, 582 + 16.0, ""),
        ("6", 9, 582 + 16.2, "the dados in left side and right side would be 8.1 mm deep in wood 9 mm thick"),
        # dados 2 mm deep: one holds nothing that is shallower than a millimetre
        ("2", 18, 564 + 4 - 2.0, ""),
        ("2", 18, 564 + 4 - 2.2, "the dados in left side and right side would be only 0.9 mm deep"),
    ],
)
def test_a_housing_follows_as_far_as_something_holds_it(depth: str, thickness: float, length: float, words: str) -> None:
    text = tray(f"shelf 1: {{length: {length}}}", joints=DADO.replace("depth: 6", f"depth: {depth}"))
    text = text.replace("thickness: 18}", f"thickness: {thickness}}}")
    made, findings = told(text)
    assert made is not None
    assert [f.id for f in findings] == ["as-cut-does-not-fit" if words else "as-cut-followed"]
    assert words in findings[0].message


def test_a_part_that_does_not_reach_into_its_housing_cannot_be_cut_to_it() -> None:
    made, findings = told(tray("shelf 1: {length: 564.8}", joints=TONGUE.replace("depth: 6", "depth: 2")))
    assert made is not None and [f.id for f in findings] == ["as-cut-does-not-fit"]
    made, findings = told(tray("shelf 1: {length: 564.1}", joints=TONGUE.replace("depth: 6", "depth: 2")))
    assert made is None and [f.id for f in findings] == ["as-cut-does-not-fit"]
    assert "does not reach into left side" in findings[0].message


def test_a_cut_side_with_a_closed_trench_stops_a_wider_shelf(store: Store) -> None:
    _, ids = found(tray("shelf 1: {width: 279}; side: {length: 400}", SHORT), store)
    assert ids == ["as-cut-followed shelf 1"]
    _, ids = found(tray("shelf 1: {width: 281}; side: {length: 400}", SHORT), store)
    assert [one for one in ids if one.startswith("parts-interfere")] == [
        "parts-interfere left side/shelf 1",
        "parts-interfere right side/shelf 1",
    ]


@settings(deadline=None, max_examples=25)
@given(
    joints=st.sampled_from([DADO, STOPPED, TONGUE, DADO.replace("depth: 6", "depth: 9, fit: easy")]),
    fifths=st.integers(-14, 14),
    cut=st.sampled_from(["", "; left side: {length: 400}", "; side: {length: 400}"]),
)
def test_what_is_told_not_to_fit_is_what_does_not_fit_on_the_solids(joints: str, fifths: int, cut: str, store: Store) -> None:
    """Told from sizes alone, and found on the solids alone: the two agree within a shelf length of 2.8 mm either way."""
    plain = size(design_of(tray("", joints=joints)), "shelf 1")[0]
    made = compile_text(tray(f"shelf 1: {{length: {plain + fifths / 5}}}{cut}", joints=joints), store)
    assert made.fit is not None
    ids = {f.id for f in made.findings} - {"as-cut-followed", "thin-under-trench", "trenches-opposed"}
    assert ("as-cut-does-not-fit" in ids) == bool(ids & {"seat-open", "parts-interfere", "bottoms-out", "contact-missing"}), ids
