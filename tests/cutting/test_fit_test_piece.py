"""The piece to try fits on: slots a tenth apart about the fit, for each stock that is housed."""

from __future__ import annotations

import itertools
from pathlib import Path

import pytest
from cut_pieces import gallery_piece
from reading_cuts import by_ezdxf, polygon

from build123.exports import cut
from build123.kernel import Store


@pytest.fixture(scope="module")
def rack(store: Store):
    return gallery_piece("wall-rack", store)


def test_seven_slots_step_by_a_tenth_about_the_fit(rack) -> None:
    """The shelf measures 11.8; a slip fit adds 0.127 (0.005 in, common practice): 11.927 is the middle one."""
    file = by_ezdxf(rack.files[cut.FIT_TEST])
    slots = sorted((polygon(one.points) for one in file.on("TRENCH_4.0")), key=lambda slot: slot.bounds[0])
    widths = [slot.bounds[2] - slot.bounds[0] for slot in slots]
    assert widths == pytest.approx([11.8 + 0.127 + n * 0.1 for n in (-3, -2, -1, 0, 1, 2, 3)], abs=1e-4)
    (outline,) = file.on("OUTLINE_THROUGH_11.8")
    edge = polygon(outline.points)
    for slot in slots:
        assert slot.bounds[1] < edge.bounds[1] < slot.bounds[3] < edge.bounds[3]  # open at the lower edge, closed above
    assert all(b.bounds[0] - a.bounds[2] > 10 for a, b in itertools.pairwise(slots))


def test_each_slot_has_its_width_and_play_written_below_it(rack) -> None:
    file = by_ezdxf(rack.files[cut.FIT_TEST])
    texts = [one for one in file.entities if one.kind == "TEXT"]
    assert {one.layer for one in texts} == {"INFO"}
    for one in file.on("TRENCH"):
        low_x, low_y, high_x, _ = polygon(one.points).bounds
        below = [t.text for t in texts if low_x - 8 < t.points[0][0] < high_x and t.points[0][1] < low_y]
        width = high_x - low_x
        assert f"{width:.3f}" in below and f"{width - 11.8:+.2f}" in below
    assert any("Offcut of ply, slots for ply of 11.8 mm" in t.text for t in texts)


def test_a_slot_of_the_wrong_width_is_found(rack) -> None:
    data = rack.files[cut.FIT_TEST]
    spoiled = data.replace(b"TRENCH_4.0", b"TRENCH_4.0", 1)
    assert cut.verify(rack.job, {**rack.files, cut.FIT_TEST: spoiled}) == []
    (first, *_) = by_ezdxf(data).on("TRENCH")
    x = f"{max(p[0] for p in first.points):.6f}".rstrip("0").encode()
    moved = data.replace(b" 10\n" + x + b"\n", b" 10\n" + x + b"9\n")
    wider = data.replace(b" 10\n" + x, b" 10\n" + str(float(x) + 0.05).encode())
    assert moved != data and wider != data
    assert [f.message for f in cut.verify(rack.job, {**rack.files, cut.FIT_TEST: wider})] == [
        "cut/fit-test.dxf: its slots are not as wide as they should be"
    ]
    without = {path: one for path, one in rack.files.items() if path != cut.FIT_TEST}
    assert ["missing" in f.message for f in cut.verify(rack.job, without)] == [True]


def test_a_piece_without_housings_has_none(store: Store) -> None:
    from cut_pieces import board, cut_of

    assert cut.FIT_TEST not in cut_of(board()).files
    assert Path(cut.FIT_TEST).name == "fit-test.dxf"
