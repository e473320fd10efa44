"""The page as a file: what it may do, what it holds, and that reading it back notices when it is not as meant."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from pieces import FIGHTS, TRAY

from build123.cli.run import run
from build123.exports import viewer, viewer_page
from build123.exports.job import Job, name_files
from build123.exports.viewer_payload import mesh_data, payload, unpacked
from build123.kernel import Store
from build123.model.measured import Mesh
from build123.pipeline import compile_text
from build123.problem import Severity


@pytest.fixture(scope="module")
def job(store: Store, bundled: None, tmp_path_factory: pytest.TempPathFactory) -> Job:
    made = compile_text(FIGHTS, store)
    assert made.design is not None and made.fit is not None
    meshes = {part.shape_key: store.mesh(part) for part in made.design.parts}
    scratch = tmp_path_factory.mktemp("scratch")
    return Job(made.design, made.fit, store, made.findings, name_files(made.design), scratch, meshes, spec_names=("spec.yaml",))


def test_the_page_reads_back_as_meant_and_is_the_same_every_time(job: Job) -> None:
    files = viewer.write(job)
    assert list(files) == ["viewer.html"]
    assert viewer.verify(job, files) == []
    assert viewer.write(job) == files


def test_the_policy_allows_only_what_lies_in_the_page(job: Job) -> None:
    text = viewer.write(job)["viewer.html"].decode()
    [told] = re.findall(r'http-equiv="Content-Security-Policy" content="([^"]*)"', text)
    rules = dict(rule.split(" ", 1) for rule in told.split("; "))
    assert rules["default-src"] == "'none'" and rules["img-src"] == "data: blob:" and "connect-src" not in rules
    assert all(re.fullmatch(r"'sha256-[A-Za-z0-9+/=]{44}'", rules[key]) for key in ("script-src", "style-src"))
    assert "connect-src 'self'" in viewer_page.viewer_page(None, "/live")
    # nothing is named that a browser would fetch: what is left are names of XML spaces
    assert set(re.findall(r"https?://[^\"'`\s)]+", text)) <= {"http://www.w3.org/1999/xhtml", "http://www.w3.org/2000/svg"}


def test_the_piece_in_the_page_is_the_report_and_each_shape_once(job: Job) -> None:
    piece = viewer_page.piece_of(viewer.write(job)["viewer.html"].decode())
    assert piece == json.loads(json.dumps(payload(job)))
    assert len(piece["meshes"]) == len({part.shape_key for part in job.design.parts})
    assert [one["id"] for one in piece["report"]["findings"]] == [one.id for one in job.findings]


def test_corners_are_kept_to_a_thousandth() -> None:
    corners = np.array([[0.0, 0.0, 0.0], [100.00049, 0.0, 0.0], [0.0, 33.3333, 0.0], [0.0, 0.0, 7.00004]])
    faces = np.array([[0, 2, 1], [0, 1, 3], [1, 2, 3], [2, 0, 3]])
    data = mesh_data(Mesh(corners, faces, (corners[[0, 1]], corners[[1, 2, 3]])))
    kept = unpacked(data["vertices"]).reshape(-1, 3) / 1000
    again = kept[unpacked(data["faces"]).reshape(-1, 3)]
    assert np.abs(again - corners[faces]).max() <= 0.0005
    lines = unpacked(data["lines"]).tolist()
    assert lines.count(-1) == 2 and np.abs(kept[lines[3:6]] - corners[[1, 2, 3]]).max() <= 0.0005


def test_what_was_changed_is_noticed(job: Job) -> None:
    text = viewer.write(job)["viewer.html"].decode()
    piece = viewer_page.piece_of(text)
    assert piece is not None

    def other(change: Callable[[], object]) -> str:
        change()
        return viewer_page.viewer_page(piece, None)

    spoiled = {
        "does not allow": text.replace("<script>", "<script>void 0;", 1),
        "would load": text.replace("<main", '<img src="http://example.org/x.png"><main', 1),
        "no piece": text.replace('id="piece"', 'id="peace"'),
        "sheet of a part": other(piece["drawings"].popitem),
        "findings": other(piece["report"]["findings"].pop),
        "measures": other(lambda: piece["meshes"][0].update(vertices=piece["meshes"][1]["vertices"])),
        "bodies": other(piece["bodies"].pop),
    }
    for words, changed in spoiled.items():
        found = viewer.verify(job, {"viewer.html": changed.encode()})
        assert any(words in one.message for one in found), words
        assert all(one.severity is Severity.error and one.message.startswith("viewer.html: ") for one in found)
    assert viewer.verify(job, {})[0].message == "viewer.html: the file is missing"


def test_without_a_bundle_the_rest_is_written_and_the_reason_told(job: Job, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setattr(viewer_page, "BUNDLE", tmp_path)
    assert "not bundled" in viewer_page.left_out()
    (tmp_path / "left-out.txt").write_text("npm failed: no network\n")
    assert viewer_page.left_out() == "npm failed: no network"
    assert viewer.write(job) == {} and viewer.verify(job, {}) == []


def test_build_says_that_the_viewer_was_left_out_and_why(
    bundled: None, monkeypatch: pytest.MonkeyPatch, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "bundle").mkdir()
    (tmp_path / "bundle" / "left-out.txt").write_text("npm failed: no network\n")
    (tmp_path / "tray.yaml").write_text(TRAY)
    monkeypatch.setattr(viewer_page, "BUNDLE", tmp_path / "bundle")
    assert run(["build", str(tmp_path / "tray.yaml"), "-o", str(tmp_path / "out")]) == 0
    assert capsys.readouterr().out.endswith("\nviewer.html was left out: npm failed: no network\n")
    folder = tmp_path / "out" / "seed-tray"
    assert not (folder / "viewer.html").exists() and (folder / "report.json").exists()


def test_a_name_that_utf8_cannot_hold_does_not_stop_the_page(job: Job) -> None:
    odd = replace(job, design=replace(job.design, piece="cabinet \ud800 <b>"))
    text = viewer.write(odd)["viewer.html"].decode()
    assert "<title>cabinet ? &lt;b&gt;</title>" in text
