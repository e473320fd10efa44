"""File names of parts, and the manifest that maps them."""

from __future__ import annotations

import hashlib
import json

import pytest
from by_hand import board, job

from build123.exports.job import name_files
from build123.exports.manifest import listed, manifest, safe_path
from build123.model.slugs import LONGEST, slug, stems


def test_equal_parts_share_a_file_named_for_the_first() -> None:
    assert name_files(job(board("shelf 1"), board("top", length=500), board("shelf 2")).design) == {
        "shelf 1": "shelf-1",
        "top": "top",
        "shelf 2": "shelf-1",
    }


@pytest.mark.parametrize(
    ("name", "stem"),
    [
        ("left side", "left-side"),
        ("Étagère", "etagere"),
        ("E\u0301tage\u0300re", "etagere"),
        ("straße", "strasse"),
        ("\uff21\uff22", "ab"),
        ("../../etc/passwd", "etc-passwd"),
        ("C:\\side", "c-side"),
        ("side. . .", "side"),
        ("CON", "part-con"),
        ("nul", "part-nul"),
        ("COM\u00b9", "part-com1"),
        ("NUL.txt", "nul-txt"),
        ("<b>side</b>", "b-side-b"),
        ("木", "part"),
        ("", "part"),
        ("assembly", "part-assembly"),
    ],
)
def test_a_name_becomes_a_stem_that_every_file_system_takes(name: str, stem: str) -> None:
    """Reserved names: Microsoft, "Naming Files, Paths, and Namespaces"."""
    assert slug(name) == stem
    assert safe_path(f"parts/{stem}.step")


def test_stems_differ_after_folding_case_and_are_bounded() -> None:
    names = ["Side", "side", "SIDE", "side-2", "s" * 500, "s" * 501, "木", "火", "é", "e\u0301"]
    made = stems(names)
    assert len({stem.casefold() for stem in made}) == len(names)
    assert max(map(len, made)) <= LONGEST
    assert made[1] == "side" and made[3] == "side-2", "a name that is its own stem keeps it"
    assert stems(names) == made


def test_the_manifest_tells_files_parts_and_origin_and_no_time() -> None:
    given = job(board("shelf 1"), board("top", length=500), board("shelf 2"))
    files = {"parts/top.step": b"1", "cut/shelf-1_top.dxf": b"22", "drawings/shelf-1.svg": b"333", "report.json": b"{}"}
    data = json.loads(manifest(given, files))
    assert data["manifest"] == 1
    assert data["files"]["report.json"] == {"sha256": hashlib.sha256(b"{}").hexdigest(), "size": 2}
    assert list(data["files"]) == sorted(files)
    assert data["parts"] == {"shelf 1": "shelf-1", "top": "top", "shelf 2": "shelf-1"}
    assert data["kinds"]["shelf-1"] == {"parts": ["shelf 1", "shelf 2"], "files": ["cut/shelf-1_top.dxf", "drawings/shelf-1.svg"]}
    assert data["kinds"]["top"]["files"] == ["parts/top.step"]
    assert manifest(given, dict(reversed(files.items()))) == manifest(given, files)
    assert listed(manifest(given, files)) == tuple(sorted(files))


def test_paths_that_lead_elsewhere_are_not_listed() -> None:
    paths = ["../x", "/x", "a/../../x", "C:/x", "a\\x", "ok.txt", ".x", "con/../x"]
    assert listed(json.dumps({"files": paths}).encode()) == ("ok.txt",)
