"""The hand-over sheet, and the archive that `--hand-over` packs."""

from __future__ import annotations

import hashlib
import io
import json
import os
import subprocess
import sys
import zipfile
from pathlib import Path
from xml.etree import ElementTree

import pytest
from cut_pieces import GALLERY, SPECS, TOP, board, cut_of, gallery_piece, job_of

from build123.cutting.summary import Handed, overrun_mm, tools
from build123.drawing.lettering import text_width
from build123.exports import cut, hand_over
from build123.kernel import Store
from build123.model.feature import Hole, HoleStep, Trench
from build123.pipeline import build, compile_file
from build123.problem import Finding, Severity
from build123.trade.cutters import cutters

ROOT = SPECS.parent


def texts(data: bytes) -> list[tuple[float, float, float, bool, str]]:
    """x, y (down), capitals' height, bold, words."""
    found = []
    for one in ElementTree.fromstring(data).iter("{http://www.w3.org/2000/svg}text"):
        width = text_width(one.text or "", float(one.get("font-size", "0")) * 0.72, one.get("font-weight") == "bold")
        x = float(one.get("x", "0")) - (
            width if one.get("text-anchor") == "end" else width / 2 if one.get("text-anchor") == "middle" else 0
        )
        found.append((x, float(one.get("y", "0")), float(one.get("font-size", "0")) * 0.72, width, one.text or ""))
    return found


@pytest.mark.parametrize("name", GALLERY)
def test_the_sheet_names_every_file_once_and_fits_one_page(name: str, store: Store) -> None:
    piece = gallery_piece(name, store)
    pages = hand_over.write(piece.job)
    assert list(pages) == ["cut/hand-over.svg"]
    said = [text for *_, text in texts(pages["cut/hand-over.svg"])]
    for path in piece.files:
        if path != cut.FIT_TEST:
            assert said.count(path.removeprefix("cut/")) == 1
    assert any(cut.FIT_TEST in text for text in said)
    for part in piece.job.design.kinds.values():
        assert str(len(part)) in said
    assert hand_over.verify(piece.job, pages) == []
    assert hand_over.write(piece.job) == pages


@pytest.mark.parametrize("name", GALLERY)
def test_no_text_of_the_sheet_lies_on_another_or_off_the_frame(name: str, store: Store) -> None:
    (page,) = hand_over.write(gallery_piece(name, store).job).values()
    no_text_lies_on_another_or_off_the_frame(page)


def no_text_lies_on_another_or_off_the_frame(page: bytes) -> None:
    root = ElementTree.fromstring(page)
    wide, high = (float((root.get(side) or "").removesuffix("mm")) for side in ("width", "height"))
    boxes = [(x, y - h, x + w, y + 0.2 * h, text) for x, y, h, w, text in texts(page)]
    for n, (x0, y0, x1, y1, text) in enumerate(boxes):
        assert x0 >= 20.0 and x1 <= wide - 10.0 and y0 >= 10.0 and y1 <= high - 10.0, text
        for a0, b0, a1, b1, other in boxes[n + 1 :]:
            assert not (x0 < a1 and a0 < x1 and y0 < b1 and b0 < y1), (text, other)


def test_many_parts_go_on_further_pages_and_none_is_left_out() -> None:
    parts = [board(length=300.0 + n, name=f"a board with a rather long name that is number {n}") for n in range(90)]
    job = job_of(*parts)
    pages = hand_over.write(job)
    assert list(pages) == [f"cut/hand-over{'' if n == 1 else f'-{n}'}.svg" for n in range(1, len(pages) + 1)] and len(pages) > 2
    assert hand_over.verify(job, pages) == []
    for page in pages.values():
        no_text_lies_on_another_or_off_the_frame(page)
    assert hand_over.verify(job, {path: data for path, data in pages.items() if path == "cut/hand-over.svg"})


def test_a_dry_fit_that_failed_is_said_on_the_sheet() -> None:
    failed = Finding("parts-interfere", Severity.error, "they do")
    job = job_of(board(), findings=(failed,))
    pages = hand_over.write(job)
    assert any("DRY FIT FAILED" in text for *_, text in texts(pages["cut/hand-over.svg"]))
    assert hand_over.verify(job, hand_over.write(job_of(board())))


def test_tools_are_the_largest_that_do_it() -> None:
    """A trench 18 wide takes 12 mm, one of 7 takes 6 mm, one of 2 none of the common ones."""
    part = board(
        Trench(TOP, (100, 0), (100, 200), 18.0, 6.0),
        Trench(TOP, (150, 0), (150, 200), 7.0, 6.0),
        Trench(TOP, (200, 0), (200, 200), 2.0, 6.0),
        Hole(TOP, (300, 100), (HoleStep(8.0, 12.0),)),
        Hole(TOP, (350, 100), (HoleStep(8.0, 18.0),), through=True),
        Hole(TOP, (400, 100), (HoleStep(9.0, 2.5, 90.0), HoleStep(4.0, 18.0)), through=True),
    )
    job = job_of(part)
    faces = cut.faces_of(job, part)
    handed = [Handed((part, part), faces, ("x",))]
    assert tools(handed, "mm") == [
        ("cutter, 12 mm or less", "2 x OUTLINE, 2 x TRENCH"),
        ("cutter, 6 mm or less", "2 x TRENCH"),
        ("a cutter smaller than common ones", "2 x TRENCH"),
        ("drill, 4 mm", "2 holes, 2 through"),
        ("drill, 8 mm", "4 holes, 12 deep, 2 through"),
        ("countersink, 90°", "2 holes, 9 mm across at the face"),
    ]
    # where the spec is in inches the bit is named as its box names it; 3/8 in = 9.525 mm
    drilled = board(Hole(TOP, (300, 100), (HoleStep(9.525, 12.0),)))
    assert ("drill, 3/8 in (9.525 mm)", "1 hole, 12 deep") in tools(
        [Handed((drilled,), cut.faces_of(job_of(drilled), drilled), ("x",))], "in"
    )
    assert overrun_mm(handed) == pytest.approx(6.0)
    assert not handed[0].small and Handed((board(width=60.0),), faces, ("x",)).small


def test_cutters_are_the_sizes_that_are_sold_and_say_where_from() -> None:
    # 1/2 in = 12.7 mm exactly (international inch); sizes are common practice
    assert [one.label for one in cutters("in")] == ["1/2 in", "3/8 in", "1/4 in", "1/8 in"]
    assert [one.diameter_mm for one in cutters("in")] == pytest.approx([12.7, 9.525, 6.35, 3.175])
    assert [one.diameter_mm for one in cutters("mm")] == [12, 10, 8, 6, 4, 3]
    assert all(one.source and one.confidence in ("confirmed", "from memory") for one in (*cutters("in"), *cutters("mm")))


def test_the_archive_is_sorted_without_times_and_the_same_again() -> None:
    files = {"cut/b.dxf": b"2", "cut/a.dxf": b"1", "parts/a.step": b"3", "parts/a.stl": b"4", "drawings/a.svg": b"5", "report.json": b"6"}
    data = hand_over.archive(files)
    assert data == hand_over.archive(dict(reversed(files.items())))
    with zipfile.ZipFile(io.BytesIO(data)) as packed:
        assert packed.namelist() == ["cut/a.dxf", "cut/b.dxf", "drawings/a.svg", "parts/a.step"]
        assert {entry.date_time for entry in packed.infolist()} == {(1980, 1, 1, 0, 0, 0)}
        assert packed.testzip() is None
    assert hand_over.unsound(data, files) == []
    assert hand_over.unsound(data, {**files, "cut/a.dxf": b"?"}) and hand_over.unsound(data[:40], files)


def test_the_command_packs_it_only_when_asked_and_the_manifest_is_right(tmp_path: Path, store: Store) -> None:
    """Another process with another hash seed gives the same bytes; without the option the archive goes again."""
    command = [sys.executable, "-m", "build123", "build", str(SPECS / "wall-rack.yaml"), "-o", str(tmp_path / "1"), "--hand-over"]
    environment = {**os.environ, "PYTHONHASHSEED": "12", "PYTHONPATH": str(ROOT)}
    done = subprocess.run(command, capture_output=True, text=True, env=environment, check=False, timeout=200)
    assert done.returncode == 0, done.stdout + done.stderr
    (made,) = compile_file(SPECS / "wall-rack.yaml", store=store)
    assert not build(made, tmp_path / "2", packed=True).findings
    one, two = tmp_path / "1" / "wall-rack", tmp_path / "2" / "wall-rack"
    manifest = json.loads((one / "manifest.json").read_text())["files"]
    assert manifest[hand_over.ARCHIVE]["sha256"] == hashlib.sha256((one / hand_over.ARCHIVE).read_bytes()).hexdigest()
    for path in manifest:
        assert (one / path).read_bytes() == (two / path).read_bytes(), path
    with zipfile.ZipFile(one / hand_over.ARCHIVE) as packed:
        names = packed.namelist()
        assert all(packed.read(name) == (one / name).read_bytes() for name in names)
    steps = {path for path in manifest if path.startswith("parts/") and path.endswith(".step")}
    assert names == sorted(steps | {path for path in manifest if path.startswith(("cut/", "drawings/"))})
    assert "cut/hand-over.svg" in names and steps
    assert hand_over.ARCHIVE in build(made, tmp_path / "2").removed
    assert not (two / hand_over.ARCHIVE).exists()
    after = json.loads((two / "manifest.json").read_text())
    assert hand_over.ARCHIVE not in after["files"] and "cut/rail-1_left-end.dxf" in after["kinds"]["rail-1"]["files"]


def test_the_files_of_a_part_are_read_once_in_a_warm_process(store: Store) -> None:
    """What did not change is not read back again."""
    from build123.exports.cut_read import read

    made = cut_of(board(name="kept", length=333.0), store=store)
    assert cut.verify(made.job, made.files) == []
    before = read.cache_info()
    assert cut.verify(made.job, made.files) == []
    after = read.cache_info()
    assert after.misses == before.misses and after.hits > before.hits
