"""The report, the cut list and the manifest."""

from __future__ import annotations

import csv
import hashlib
import json
from importlib.resources import files
from pathlib import Path

import jsonschema
import pytest

from build123.pipeline import Compiled, build, compile_text

Built = tuple[Compiled, Path]


def test_the_report_keeps_to_its_schema(built: Built, wall: Built) -> None:
    schema = json.loads((files("build123.exports") / "report.schema.json").read_text())
    jsonschema.Draft202012Validator.check_schema(schema)
    for _, folder in (built, wall):
        jsonschema.validate(json.loads((folder / "report.json").read_text()), schema)


def test_a_broken_report_does_not(built: Built) -> None:
    schema = json.loads((files("build123.exports") / "report.schema.json").read_text())
    report = json.loads((built[1] / "report.json").read_text())
    report["parts"][0].pop("name")
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate(report, schema)


def test_the_report_tells_parts_joints_and_measured_fits(built: Built) -> None:
    compiled, folder = built
    assert compiled.design is not None
    report = json.loads((folder / "report.json").read_text())
    assert [p["name"] for p in report["parts"]] == [p.name for p in compiled.design.parts]
    assert len(report["joints"]) == len(compiled.design.joints)
    assert report["report"] == 1


def test_a_finding_brings_its_overlap_as_a_mesh(tmp_path: Path) -> None:
    compiled = compile_text(
        "build123: 1\npiece: Clash\nstock: {ply: {sheet: birch plywood, thickness: 18}}\nparts:\n"
        "  one: {stock: ply, x: 0 to 300, y: 0 to 200, z: from 0}\n  two: {stock: ply, x: 100 to 400, y: 0 to 200, z: from 10}\n"
    )
    assert "parts-interfere" in [f.id for f in compiled.findings]
    build(compiled, tmp_path)
    text = (tmp_path / "clash" / "report.json").read_text()
    report = json.loads(text)
    overlap = next(f for f in report["findings"] if f["id"] == "parts-interfere")
    assert overlap["numbers"]["volume_mm3"] == pytest.approx(200 * 200 * 8, rel=1e-6)
    (lap,) = report["overlaps"]
    heights = {round(v[2], 6) for v in lap["mesh"]["vertices"]}
    assert heights == {10.0, 18.0}  # from the underside of the one to the top of the other
    drawing = (tmp_path / "clash" / "drawings" / "one.svg").read_text()
    assert "DRY FIT FAILED" in drawing.upper()


def test_the_cut_list_has_each_distinct_part_once(built: Built) -> None:
    compiled, folder = built
    assert compiled.design is not None
    with (folder / "cutlist.csv").open(encoding="utf-8-sig", newline="") as file:
        rows = list(csv.DictReader(file))
    assert sum(int(r["count"]) for r in rows) == len(compiled.design.parts)
    bottom = next(r for r in rows if r["part"] == "bottom")
    assert float(bottom["length_mm"]) == pytest.approx(33.07 * 25.4, abs=1e-3)
    right = next(r for r in rows if r["part"] == "right side")
    assert right["opposite hand of"] == "opposite hand of left side"


def test_the_manifest_has_every_file_with_its_hash(built: Built) -> None:
    folder = built[1]
    manifest = json.loads((folder / "manifest.json").read_text())
    listed = manifest["files"]
    entries = {e["path"]: e["sha256"] for e in listed} if isinstance(listed, list) else {k: v["sha256"] for k, v in listed.items()}
    there = {p.relative_to(folder).as_posix() for p in folder.rglob("*") if p.is_file()} - {"manifest.json"}
    assert set(entries) == there
    for path, digest in entries.items():
        assert hashlib.sha256((folder / path).read_bytes()).hexdigest() == digest


def test_what_an_earlier_run_wrote_and_this_one_does_not_is_taken_away(tmp_path: Path) -> None:
    text = (
        "build123: 1\npiece: Two\nstock: {ply: {sheet: birch plywood, thickness: 18}}\nparts:\n"
        "  one: {stock: ply, x: 0 to 300, y: 0 to 200, z: from 0}\n  two: {stock: ply, x: 0 to 100, y: 0 to 200, z: from 50, loose: yes}\n"
    )
    build(compile_text(text), tmp_path)
    kept = tmp_path / "two" / "notes.txt"
    kept.write_text("mine")
    build(compile_text(text.replace("two: {", "three: {")), tmp_path)
    names = {p.name for p in (tmp_path / "two" / "parts").iterdir()}
    assert names == {"one.step", "one.stl", "three.step", "three.stl"}
    assert kept.read_text() == "mine"
