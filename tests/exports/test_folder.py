"""The piece's folder: nothing half written, nothing stale, nothing outside."""

from __future__ import annotations

import json
import os
from pathlib import Path

import pytest

from build123.exports import folder as room
from build123.exports.folder import UNFINISHED, write_folder


def listing(files: dict[str, bytes]) -> bytes:
    """A manifest as far as a later run reads it."""
    return json.dumps({"files": {path: {} for path in sorted(files)}}).encode()


def write(folder: Path, files: dict[str, bytes]) -> room.Written:
    return write_folder(folder, files, listing(files))


def there(folder: Path) -> set[str]:
    return {path.relative_to(folder).as_posix() for path in folder.rglob("*") if not path.is_dir()}


def test_a_second_run_touches_only_what_differs(tmp_path: Path) -> None:
    assert write(tmp_path / "rack", {"a.txt": b"1", "parts/b.txt": b"2"}).written == ("a.txt", "parts/b.txt")
    old = 1_000_000_000
    for path in (tmp_path / "rack").rglob("*.txt"):
        os.utime(path, (old, old))
    done = write(tmp_path / "rack", {"a.txt": b"1", "parts/b.txt": b"3"})
    assert (done.written, done.unchanged) == (("parts/b.txt",), ("a.txt",))
    assert (tmp_path / "rack/a.txt").stat().st_mtime == old


def test_a_run_that_changes_nothing_touches_nothing(tmp_path: Path) -> None:
    files = {"a.txt": b"1"}
    write(tmp_path, files)
    before = {path: path.stat().st_mtime_ns for path in tmp_path.rglob("*")} | {tmp_path: tmp_path.stat().st_mtime_ns}
    assert write(tmp_path, files).written == ()
    assert {path: path.stat().st_mtime_ns for path in tmp_path.rglob("*")} | {tmp_path: tmp_path.stat().st_mtime_ns} == before


def test_stale_files_go_and_those_of_the_maker_stay(tmp_path: Path) -> None:
    write(tmp_path, {"a.txt": b"1", "parts/b.txt": b"2", "cut/c.txt": b"3"})
    (tmp_path / "parts/mine.txt").write_text("mine")
    done = write(tmp_path, {"a.txt": b"1"})
    assert done.removed == ("cut/c.txt", "parts/b.txt")
    assert there(tmp_path) == {"a.txt", "parts/mine.txt", "manifest.json"}
    assert not (tmp_path / "cut").exists(), "an empty folder of ours goes with its last file"


def stop_at(monkeypatch: pytest.MonkeyPatch, name: str) -> None:
    """Pull the plug when a file is about to be moved into place."""
    replace = os.replace

    def pulled(beside: Path, at: Path) -> None:
        if at.name == name:
            raise KeyboardInterrupt
        replace(beside, at)

    monkeypatch.setattr(room.os, "replace", pulled)


def test_an_interrupted_run_leaves_whole_files_and_no_manifest_and_the_next_one_tidies(tmp_path: Path) -> None:
    write(tmp_path, {"a.txt": b"old", "b.txt": b"old"})
    with pytest.MonkeyPatch.context() as patch, pytest.raises(KeyboardInterrupt):
        stop_at(patch, "b.txt")
        write(tmp_path, {"a.txt": b"new", "b.txt": b"new", "c.txt": b"new"})
    assert there(tmp_path) == {"a.txt", "b.txt", UNFINISHED}
    assert ((tmp_path / "a.txt").read_bytes(), (tmp_path / "b.txt").read_bytes()) == (b"new", b"old")
    killed = tmp_path / ".c.txt.4711.part"
    killed.write_bytes(b"ha")
    write(tmp_path, {"b.txt": b"new"})
    assert there(tmp_path) == {"b.txt", "manifest.json"}, "a.txt is known from before the interrupt"


def test_a_manifest_that_lists_what_lies_elsewhere_removes_nothing_there(tmp_path: Path) -> None:
    outside = tmp_path / "mine.txt"
    outside.write_text("mine")
    piece = tmp_path / "out" / "rack"
    piece.mkdir(parents=True)
    for listed in ("../../mine.txt", str(outside), "..\\..\\mine.txt", "a/../../../mine.txt", "./../../mine.txt"):
        (piece / "manifest.json").write_text(json.dumps({"files": {listed: {}}}))
        write(piece, {"a.txt": b"1"})
        assert outside.read_text() == "mine", listed


@pytest.mark.parametrize("broken", [b"", b"{", b"[]", b'{"files": 3}', b'{"files": [1, null]}', b"\xff\xfe", b"[" * 100_000])
def test_a_broken_manifest_of_before_is_replaced(tmp_path: Path, broken: bytes) -> None:
    (tmp_path / "manifest.json").write_bytes(broken)
    assert not write(tmp_path, {"a.txt": b"1"}).findings
    assert (tmp_path / "manifest.json").read_bytes() == listing({"a.txt": b"1"})


def test_links_that_lead_out_are_not_followed(tmp_path: Path) -> None:
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    (elsewhere / "a.txt").write_text("mine")
    piece = tmp_path / "rack"
    piece.mkdir()
    (piece / "parts").symlink_to(elsewhere, target_is_directory=True)
    (piece / "a.txt").symlink_to(elsewhere / "a.txt")
    done = write(piece, {"a.txt": b"ours"})
    assert not done.findings and not (piece / "a.txt").is_symlink(), "a link in a file's place is replaced, not written through"
    done = write(piece, {"a.txt": b"ours", "parts/a.txt": b"ours"})
    assert [finding.id for finding in done.findings] == ["cannot-write"]
    assert (elsewhere / "a.txt").read_text() == "mine"
    (tmp_path / "linked").symlink_to(elsewhere, target_is_directory=True)
    assert [finding.id for finding in write(tmp_path / "linked", {"a.txt": b"ours"}).findings] == ["cannot-write"]
    assert (elsewhere / "a.txt").read_text() == "mine"


class SharingViolationError(PermissionError):
    winerror = 32


def test_a_file_that_another_program_has_open_is_tried_again(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    replace, refusals = os.replace, [SharingViolationError(13, "in use")] * 3

    def busy(beside: Path, at: Path) -> None:
        if at.name == "a.txt" and refusals:
            raise refusals.pop()
        replace(beside, at)

    monkeypatch.setattr(room.os, "replace", busy)
    monkeypatch.setattr(room, "WAITS_S", (0.0,) * 4)
    assert not write(tmp_path, {"a.txt": b"1"}).findings
    assert (tmp_path / "a.txt").read_bytes() == b"1"


def test_a_file_that_stays_open_is_told_and_the_rest_is_written(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    replace = os.replace

    def busy(beside: Path, at: Path) -> None:
        if at.name == "a.txt":
            raise SharingViolationError(13, "in use")
        replace(beside, at)

    monkeypatch.setattr(room.os, "replace", busy)
    monkeypatch.setattr(room, "WAITS_S", (0.0,))
    done = write(tmp_path, {"a.txt": b"1", "b.txt": b"2"})
    assert [(finding.id, "a.txt" in finding.message) for finding in done.findings] == [("cannot-write", True)]
    assert there(tmp_path) == {"b.txt", UNFINISHED}, "no manifest says that all is there"


@pytest.mark.parametrize(
    "path",
    ["../a", "/a", "a/../b", "C:/a", "a\\b", "A.txt", "", "a/", ".a", "a/.b", "a.", "manifest.json", "a\n", "a/./b"],
)
def test_an_exporter_cannot_write_to_an_unsafe_path(tmp_path: Path, path: str) -> None:
    with pytest.raises(ValueError, match="paths"):
        write(tmp_path / "rack", {path: b"1"})
    assert not (tmp_path / "rack").exists()


def test_a_place_that_cannot_be_written_is_a_finding(tmp_path: Path) -> None:
    (tmp_path / "rack").write_text("a file where the folder should be")
    assert [finding.id for finding in write(tmp_path / "rack", {"a.txt": b"1"}).findings] == ["cannot-write"]
