"""Single features as lines to cut, with figures worked by hand."""

from __future__ import annotations

import math

import pytest
from cut_pieces import FRONT_EDGE, LEFT_END, TOP, UNDER, Cut, back_edge, board, cut_of, right_end
from reading_cuts import Dxf, Entity, by_ezdxf, left_mm3, polygon

from build123.exports import cut
from build123.kernel import Store
from build123.model.feature import (
    EndKind,
    Hole,
    HoleStep,
    Mark,
    Outline,
    Pocket,
    Profile,
    Purpose,
    Trench,
    TrenchEnd,
    Trim,
    Vertex,
)
from build123.model.frame import Plane
from build123.model.part import Part
from build123.problem import Finding, Severity

SQUARE, SCOOP = TrenchEnd(EndKind.square), TrenchEnd(EndKind.scoop, 60.0)


def rectangle(x0: float, y0: float, x1: float, y1: float) -> Outline:
    return (Vertex(x0, y0), Vertex(x1, y0), Vertex(x1, y1), Vertex(x0, y1))


def files(part: Part, **more) -> dict[str, Dxf]:
    made = cut_of(part, **more)
    return {path.removeprefix("cut/").removesuffix(".dxf"): by_ezdxf(data) for path, data in made.files.items()}


def top(part: Part, **more) -> Dxf:
    return files(part, **more)["board_top-face"]


def only(file: Dxf, start: str) -> Entity:
    (one,) = file.on(start)
    return one


def box(one: Entity) -> tuple[float, float, float, float]:
    return polygon(one.points).bounds


def agrees(part: Part, store: Store) -> None:
    """The files read back to the solid that the kernel makes of the same features."""
    made = cut_of(part, store=store)
    assert cut.verify(made.job, made.files) == []
    faces = {surface: by_ezdxf(data) for surface, (_, data) in made.faces(part).items()}
    assert left_mm3(faces, (part.length_mm, part.width_mm, part.thickness_mm)) == pytest.approx(made.volume(part), abs=2.0)


def test_open_ends_run_past_the_edge_by_the_radius_of_the_cutter(store: Store) -> None:
    """A trench 18 wide takes the 12 mm cutter: 6 mm past both edges of a board 200 wide."""
    part = board(Trench(TOP, (100, 0), (100, 200), 18.0, 6.0))
    assert box(only(top(part), "TRENCH_6.0")) == pytest.approx((91, -6, 109, 206))
    agrees(part, store)


def test_a_rabbet_is_cut_with_a_cutter_that_hangs_over_the_edge(store: Store) -> None:
    """5 in from the edge: a cutter of radius 5 hangs over by all of it, so the lines run 5 past the edge and past both ends."""
    part = board(Trench(TOP, (0, 197.5), (400, 197.5), 5.0, 9.0, open_left=True))
    assert box(only(top(part), "TRENCH_9.0")) == pytest.approx((-5, 195, 405, 205))
    assert "TRENCH_9.0: cutter of 10 mm or less." in top(part).said
    agrees(part, store)


def test_a_stopped_end_stays_where_it_is(store: Store) -> None:
    part = board(Trench(TOP, (100, 25), (100, 200), 18.0, 6.0, start_end=SQUARE))
    assert box(only(top(part), "TRENCH")) == pytest.approx((91, 25, 109, 206))
    agrees(part, store)


def test_a_trench_that_ends_in_a_deeper_one_runs_into_it(store: Store) -> None:
    """A dado into a deeper rabbet of 10: it runs 6 past the rabbet's wall. Into a shallower one it stops at the wall."""
    rabbet = Trench(TOP, (0, 195), (400, 195), 10.0, 9.0, open_left=True)
    dado = Trench(TOP, (100, 0), (100, 190), 18.0, 6.0)
    assert box(only(top(board(dado, rabbet)), "TRENCH_6.0")) == pytest.approx((91, -6, 109, 196))
    deep = Trench(TOP, (100, 0), (100, 190), 18.0, 12.0)
    assert box(only(top(board(deep, rabbet)), "TRENCH_12.0")) == pytest.approx((91, -6, 109, 190))
    agrees(board(dado, rabbet), store)
    agrees(board(deep, rabbet), store)


def test_a_round_end_is_two_arcs(store: Store) -> None:
    """Radius 9 in a trench 18 wide: one half circle, or two quarters; nothing is straight across the end."""
    part = board(Trench(TOP, (100, 25), (100, 200), 18.0, 6.0, start_end=TrenchEnd(EndKind.round, 9.0)))
    line = only(top(part), "TRENCH")
    assert sum(4 * math.atan(p[2]) for p in line.points) == pytest.approx(math.pi)
    assert polygon(line.points).area == pytest.approx(18 * (206 - 34) + math.pi * 81 / 2, rel=1e-4)
    assert "Smallest inside radius: 9.0 mm." in top(part).said and not top(part).on("RELIEF")
    agrees(part, store)


def test_trenches_that_cross_at_one_depth_are_one_line(store: Store) -> None:
    part = board(Trench(TOP, (100, 0), (100, 200), 20.0, 6.0), Trench(TOP, (0, 100), (400, 100), 20.0, 6.0))
    line = only(top(part), "TRENCH_6.0")
    assert len(line.points) == 12  # a cross
    assert polygon(line.points).area == pytest.approx(20 * 212 + 20 * 412 - 400)
    agrees(part, store)


def test_a_pocket_and_a_trench_at_one_depth_are_one_pocket_with_its_arc(store: Store) -> None:
    circle = (Vertex(60, 100, 1.0), Vertex(140, 100, 1.0))
    part = board(Pocket(TOP, circle, depth_mm=6.0), Trench(TOP, (100, 0), (100, 200), 20.0, 6.0))
    file = top(part)
    line = only(file, "POCKET_6.0")
    assert not file.on("TRENCH") and sum(1 for p in line.points if p[2]) == 2
    # the chords of the trench's width on a circle of 40: two segments of half angle asin(10/40) stand within the trench
    half = math.asin(10 / 40)
    outside = 20 * 212 - 2 * (20 * 40 * math.cos(half) / 2) - 2 * (half * 1600 - 10 * 40 * math.cos(half)) - 0.0
    inside = 20 * 2 * 40 * math.cos(half) + 2 * (half * 1600 - 10 * 40 * math.cos(half))
    assert outside < 20 * 212
    assert polygon(line.points).area == pytest.approx(math.pi * 1600 + 20 * 212 - inside, rel=2e-4)
    agrees(part, store)


def test_an_island_is_a_line_within_a_line(store: Store) -> None:
    part = board(Pocket(TOP, rectangle(50, 50, 150, 150), (rectangle(80, 80, 120, 120),), 8.0), purpose=Purpose.shape)
    assert sorted(polygon(one.points).area for one in top(part).on("POCKET_8.0")) == pytest.approx([1600, 10000])
    agrees(part, store)


def test_a_relief_passes_through_the_corner_and_only_where_something_seats() -> None:
    pocket = Pocket(TOP, rectangle(100, 50, 160, 100), depth_mm=6.0)
    circles = top(board(pocket)).on("RELIEF_6.0")
    assert len(circles) == 4
    corners = [(100, 50), (160, 50), (160, 100), (100, 100)]
    for one in circles:
        x, y, r = one.points[0]
        assert r == 3.0  # the 6 mm cutter
        assert min(math.dist((x, y), corner) for corner in corners) == pytest.approx(r, abs=1e-5)
        assert 100 < x < 160 and 50 < y < 100
    assert not top(board(pocket, purpose=Purpose.shape)).on("RELIEF")


def test_a_notch_is_part_of_the_outline_and_its_corner_is_relieved(store: Store) -> None:
    part = board(Pocket(TOP, rectangle(-1, -1, 10, 30)), purpose=Purpose.shoulder)
    file = top(part)
    assert polygon(only(file, "OUTLINE_THROUGH_18.0").points).area == pytest.approx(400 * 200 - 300)
    x, y, r = only(file, "RELIEF_THROUGH_18.0").points[0]
    assert math.dist((x, y), (10, 30)) == pytest.approx(r, abs=1e-5) and x < 10 and y < 30
    agrees(part, store)


def test_a_cut_out_is_a_pocket_through_and_a_slot_has_round_ends(store: Store) -> None:
    hand = (Vertex(150, 80), Vertex(250, 80, 1.0), Vertex(250, 110), Vertex(150, 110, 1.0))
    slot = Hole(TOP, (50, 100), (HoleStep(6.0, 18.0),), through=True, slot=(0.0, 14.0))
    part = board(Pocket(TOP, hand), slot, purpose=Purpose.shape)
    found = sorted(polygon(one.points).area for one in top(part).on("POCKET_THROUGH_18.0"))
    assert found == pytest.approx([14 * 6 + math.pi * 9, 100 * 30 + math.pi * 225], rel=2e-4)
    agrees(part, store)


def test_holes_say_diameter_depth_tip_and_countersink(store: Store) -> None:
    part = board(
        Hole(TOP, (50, 50), (HoleStep(5.0, 12.0),)),
        Hole(TOP, (100, 50), (HoleStep(8.0, 10.0),), tip_deg=118.0),
        Hole(TOP, (150, 50), (HoleStep(10.0, 2.5, 90.0), HoleStep(5.0, 18.0)), through=True),
        Hole(TOP, (200, 50), (HoleStep(12.0, 5.0), HoleStep(6.0, 14.0))),
    )
    assert sorted({one.layer for one in top(part).on("HOLE")}) == [
        "HOLE_D10.0_Z2.5_CONE90.0",
        "HOLE_D12.0_Z5.0",
        "HOLE_D5.0_THROUGH",
        "HOLE_D5.0_Z12.0",
        "HOLE_D6.0_Z14.0",
        "HOLE_D8.0_Z10.0_TIP118.0",
    ]
    agrees(part, store)


def test_an_upright_trim_is_part_of_the_outline(store: Store) -> None:
    """A taper: 400 long, from 200 down to 150 wide at the right end."""
    n = math.hypot(50, 400)
    plane = Plane((50 / n, 400 / n, 0.0), (400 * 200) / n)
    part = board(Trim(plane))
    assert polygon(only(top(part), "OUTLINE").points).area == pytest.approx(400 * 175)
    assert any("on the blank, before it is trimmed" in text for text in top(part).said)
    agrees(part, store)


def test_a_leaning_side_keeps_its_four_corners(store: Store) -> None:
    """Both ends cut at 10 degrees through two corners of the blank: what is left is a parallelogram."""
    c, s = math.cos(math.radians(10)), math.sin(math.radians(10))
    part = board(Trim(Plane((c, s, 0.0), 400 * c)), Trim(Plane((-c, -s, 0.0), -200 * s)))
    line = only(top(part), "OUTLINE")
    assert len(line.points) == 4
    assert polygon(line.points).area == pytest.approx((400 - 200 * math.tan(math.radians(10))) * 200)
    agrees(part, store)


def test_what_leans_is_told_with_its_angle_and_not_cut() -> None:
    c, s = math.cos(math.radians(10)), math.sin(math.radians(10))
    chamfer = Profile((0, 200, 18), (400, 200, 18), (0, 1, 0), (0, 0, 1), (Vertex(0, 0), Vertex(-8, 0), Vertex(0, -8)))
    part = board(
        Trench(TOP, (100, 0), (100, 200), 18.0, 6.0, lean_deg=10.0),
        Trim(Plane((c, 0.0, -s), 400 * c - 18 * s)),
        chamfer,
        Trench(TOP, (200, 50), (200, 200), 6.0, 5.0, start_end=SCOOP),
        Hole(TOP, (300, 100), (HoleStep(6.0, 15.0),), axis=(s, 0.0, -c)),
    )
    file = top(part)
    assert {one.layer.partition("_")[0] for one in file.cut} == {"OUTLINE"}
    told = [text for text in file.said if text.startswith("not cut here: ")]
    assert len(told) == 5
    assert ["10°" in text or "45°" in text or "R60" in text for text in told] == [True] * 5
    assert "not cut here: cut right end, (10°) off square through the thickness; the outline goes to its outermost line" in told
    drawn = [one for one in file.entities if one.layer == "INFO" and one.kind != "TEXT"]
    assert len(drawn) >= 5


def test_what_is_left_to_do_at_holes_alike_is_said_once(store: Store) -> None:
    """The seat of a screw under a plug: its cone starts below the face."""
    steps = (HoleStep(10.0, 6.0), HoleStep(8.0, 8.0, 90.0), HoleStep(4.0, 18.0))
    told = [text for text in top(board(*(Hole(TOP, (x, 100), steps, through=True) for x in (50, 100, 150)))).said if "not cut" in text]
    assert len(told) == 1 and told[0].startswith("not cut here: 3 x the cone of ")


def test_a_chamfer_does_not_hide_a_missing_trench(store: Store) -> None:
    """Where some wood is told and not cut, more may be left than the solid has, never less."""
    chamfer = Profile((0, 200, 18), (400, 200, 18), (0, 1, 0), (0, 0, 1), (Vertex(0, 0), Vertex(-8, 0), Vertex(0, -8)))
    part = board(chamfer, Trench(TOP, (100, 0), (100, 200), 18.0, 6.0))
    made = cut_of(part, store=store)
    assert cut.verify(made.job, made.files) == []
    deeper = {path: data.replace(b"TRENCH_6.0", b"TRENCH_8.0") for path, data in made.files.items()}
    assert cut.verify(made.job, deeper)


def test_marks_are_drawn_on_info_only() -> None:
    part = board(Mark(TOP, lines=(((10, 10), (10, 190)),), regions=(rectangle(50, 50, 60, 60),), points=((100, 100),)))
    drawn = [one for one in top(part).entities if one.kind != "TEXT" and one.layer == "INFO"]
    assert sorted(one.kind for one in drawn) == ["LINE", "LWPOLYLINE", "LWPOLYLINE"]


def test_a_part_worked_from_both_faces_is_turned_over_end_for_end(store: Store) -> None:
    """A hole 50 from the left and 30 from the front, underneath: after turning over it lies at x = -50, with y as before."""
    part = board(Trench(TOP, (100, 0), (100, 200), 18.0, 6.0), Hole(UNDER, (50, -30), (HoleStep(8.0, 10.0),)))
    found = files(part)
    assert set(found) == {"board_top-face", "board_bottom-face"}
    upper, lower = found["board_top-face"], found["board_bottom-face"]
    assert not upper.on("OUTLINE") and "The outline is in a later file: do not cut free yet." in upper.said
    assert box(only(lower, "OUTLINE")) == pytest.approx((-400, 0, 0, 200))
    assert only(lower, "HOLE").points[0][:2] == (-50, 30)
    assert "X0 Y0: where left end and front edge meet, lower right as drawn, so X is negative." in lower.said
    assert "Flip axis: parallel to Y. Turn end over end: the front edge stays at the same fence, the same corner is zero." in lower.said
    assert "File 2 of 2 of this part. Up: bottom face. The show face is up." in lower.said
    agrees(part, store)


@pytest.mark.parametrize(
    ("datum", "name", "at", "seen"),
    [
        (LEFT_END, "left-end", (-30, 9), (-30, 9)),
        (right_end(400), "right-end", (30, 9), (30, 9)),
        (FRONT_EDGE, "front-edge", (50, 9), (50, 9)),
        (back_edge(200), "back-edge", (-50, 9), (-50, 9)),
    ],
)
def test_a_worked_edge_has_a_file_of_its_own_as_seen(datum, name: str, at: tuple, seen: tuple, store: Store) -> None:
    """Worked face on top; x grows to the right as seen, from the edge at the front or the end at the left."""
    part = board(Hole(datum, at, (HoleStep(8.0, 25.0),)))
    found = files(part)
    assert only(found[f"board_{name}"], "HOLE_D8.0_Z25.0").points[0][:2] == seen
    assert not found[f"board_{name}"].on("OUTLINE") and found["board_top-face"].on("OUTLINE")
    words = name.replace("-", " ")
    assert f"{words}: 1 x cut Ø8 × 25 deep; see its own file" in found["board_top-face"].said
    agrees(part, store)


def test_a_tongue_is_a_step_from_each_face(store: Store) -> None:
    """Steps of 5 along the right end, 10 in: a tongue 8 thick stands between them."""
    part = board(
        Trench(TOP, (395, 0), (395, 200), 10.0, 5.0, open_right=True),
        Trench(UNDER, (395, -200), (395, 0), 10.0, 5.0, open_right=True),
    )
    found = files(part)
    assert box(only(found["board_top-face"], "TRENCH_5.0")) == pytest.approx((390, -6, 406, 206))
    assert box(only(found["board_bottom-face"], "TRENCH_5.0")) == pytest.approx((-406, -6, -390, 206))
    agrees(part, store)


def test_an_oblique_trench_leaves_no_corner_at_the_edge(store: Store) -> None:
    agrees(board(Trench(TOP, (100, 0), (180, 200), 18.0, 6.0)), store)


def test_a_dry_fit_that_failed_is_said_first() -> None:
    failed = Finding("parts-interfere", Severity.error, "they do")
    file = top(board(), findings=(failed,))
    assert file.said[0] == "DRY FIT FAILED: do not cut from this file before the errors are cleared"
    made = cut_of(board(), findings=(failed,))
    silent = cut_of(board())
    assert cut.verify(made.job, silent.files)


def test_names_of_any_script_are_said_and_none_of_them_acts() -> None:
    part = board(name="Böden, 日本 %%c ^J \\U+0041")
    (data,) = cut_of(part).files.values()
    said = by_ezdxf(data).said
    assert any("Böden" in text for text in said)
    assert b"%%" not in data and b"^" not in data
    assert data.count(b"\\U+65E5") == 1


@pytest.mark.parametrize(
    ("what", "change"),
    [
        ("a trench too deep", lambda d: d.replace(b"TRENCH_6.0", b"TRENCH_7.0")),
        ("a trench lost", lambda d: d.replace(b"  8\nTRENCH_6.0", b"  8\nINFO")),
        ("a line left open", lambda d: d.replace(b" 70\n1\n 10\n91.0", b" 70\n0\n 10\n91.0")),
        ("a hole moved", lambda d: d.replace(b" 10\n300.0", b" 10\n301.0")),
        ("a hole too wide", lambda d: d.replace(b" 40\n4.0", b" 40\n4.5")),
        ("inches", lambda d: d.replace(b"$INSUNITS\n 70\n4", b"$INSUNITS\n 70\n1")),
        ("a layer that nobody knows", lambda d: d.replace(b"HOLE_D8.0", b"BORE_D8.0")),
        ("a count gone wrong", lambda d: d.replace(b"Make 1.", b"Make 2.")),
        ("half a file", lambda d: d[: len(d) // 2]),
    ],
)
def test_a_spoiled_file_is_found(what: str, change, store: Store) -> None:
    part = board(Trench(TOP, (100, 0), (100, 200), 18.0, 6.0), Hole(TOP, (300, 100), (HoleStep(8.0, 10.0),)))
    made = cut_of(part, store=store)
    spoiled = {path: change(data) for path, data in made.files.items()}
    assert spoiled != made.files, what
    found = cut.verify(made.job, spoiled)
    assert found and all(f.id == "export-differs" and f.message.startswith("cut/board_top-face.dxf: ") for f in found), what


def test_a_missing_file_is_found() -> None:
    made: Cut = cut_of(board())
    assert ["missing" in f.message for f in cut.verify(made.job, {})] == [True]


def test_files_that_do_not_add_up_to_the_part_are_all_left_out(store: Store) -> None:
    part = board(Trench(TOP, (100, 0), (100, 200), 18.0, 6.0), Hole(LEFT_END, (-30, 9), (HoleStep(8.0, 25.0),)))
    made = cut_of(part, store=store)
    spoiled = {path: data.replace(b"TRENCH_6.0", b"TRENCH_7.0") for path, data in made.files.items()}
    found = sorted(f.message.partition(": ")[0] for f in cut.verify(made.job, spoiled))
    assert found == sorted(made.files)
