"""STEP files say what was meant, in every alphabet, in the same bytes, and a spoiled one is found."""

from __future__ import annotations

import hashlib
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest
from OCP.STEPCAFControl import STEPCAFControl_Reader
from OCP.TCollection import TCollection_ExtendedString
from OCP.TDataStd import TDataStd_Name
from OCP.TDF import TDF_LabelSequence
from OCP.TDocStd import TDocStd_Document
from OCP.XCAFDoc import XCAFDoc_DocumentTool
from small_piece import NAMES, small_job

from build123.exports import step
from build123.exports.job import Job
from build123.exports.part21 import decoded, read
from build123.kernel.part21 import encoded
from build123.kernel.step import read_step

HERE = Path(__file__).parent


@pytest.fixture(scope="module")
def job(tmp_path_factory: pytest.TempPathFactory) -> Job:
    return small_job(tmp_path_factory.mktemp("scratch"))


@pytest.fixture(scope="module")
def files(job: Job) -> dict[str, bytes]:
    return step.write(job)


@pytest.mark.parametrize(
    ("text", "written"),
    [
        ("left side", "left side"),
        ("Ann's \\ side", "Ann''s \\\\ side"),
        ("Ä", r"\X2\00C4\X0" + "\\"),  # ISO 10303-21: 6.4.3.3
        ("日本", r"\X2\65E5672C\X0" + "\\"),
        ("😀", r"\X4\0001F600\X0" + "\\"),
        ("a\nb", r"a\X2\000A\X0\b"),
    ],
)
def test_a_name_is_written_in_plain_ascii(text: str, written: str) -> None:
    assert encoded(text) == written
    assert decoded(written) == text


def test_what_is_written_is_sound_and_as_meant(job: Job, files: dict[str, bytes]) -> None:
    assert sorted(files) == sorted(["model/piece.step", *(f"parts/{stem}.step" for stem in set(job.file_names.values()))])
    assert step.verify(job, files) == []


def test_one_definition_for_equal_parts_and_a_tree_of_uses(files: dict[str, bytes]) -> None:
    text = read(files["model/piece.step"])
    assert text.solids == (NAMES[0], NAMES[2], NAMES[3])
    assert sorted(text.uses) == sorted([*NAMES, "case", "inner"])
    assert sorted(text.products) == sorted(["Kästchen 'A'", NAMES[0], NAMES[2], NAMES[3], "case", "case / inner"])


def test_another_reader_s_tree_has_the_same_names(files: dict[str, bytes], tmp_path: Path) -> None:
    path = tmp_path / "piece.step"
    path.write_bytes(files["model/piece.step"])
    document = TDocStd_Document(TCollection_ExtendedString("names"))
    reader = STEPCAFControl_Reader()
    reader.SetNameMode(True)
    reader.ReadFile(str(path))
    reader.Transfer(document)
    shapes = XCAFDoc_DocumentTool.ShapeTool_s(document.Main())

    def name(label: object) -> str:
        found = TDataStd_Name()
        assert label.FindAttribute(TDataStd_Name.GetID_s(), found)  # type: ignore[attr-defined]
        return str(found.Get().ToExtString())

    free, inner = TDF_LabelSequence(), TDF_LabelSequence()
    shapes.GetFreeShapes(free)
    assert free.Length() == 1 and name(free.Value(1)) == "Kästchen 'A'"
    shapes.GetComponents_s(free.Value(1), inner, True)
    assert sorted(name(inner.Value(k)) for k in range(1, inner.Length() + 1)) == sorted([*NAMES, "case", "inner"])


def test_volumes_by_hand(files: dict[str, bytes], tmp_path: Path) -> None:
    side = 500 * 200 * 18 - 18 * 6 * 200 - 3 * 3.14159265358979 * 6.25 * 10
    shelf, rod = 264 * 200 * 18 - 264 * 6 * 8, 3.14159265358979 * 16 * 40
    found = sorted(extent.volume_mm3 for extent in read_step(files["model/piece.step"], tmp_path))
    assert found == pytest.approx(sorted([side, side, shelf, rod]), rel=1e-9)


def test_the_header_tells_units_and_frame_and_nothing_of_the_machine(files: dict[str, bytes]) -> None:
    for path, data in files.items():
        header = data.decode("ascii").split("DATA;")[0]
        assert "'2000-01-01T00:00:00',(''),('')" in header
        assert "Millimetres" in header and ("Z0 at the underside" in header) == path.startswith("parts/")
        assert "AUTOMOTIVE_DESIGN" in header
        assert not re.search(r"/tmp|/home|root|Open CASCADE", header)


def test_colours_are_as_given(files: dict[str, bytes]) -> None:
    colours = re.findall(rb"COLOUR_RGB\('',([\d.E+-]+),([\d.E+-]+),([\d.E+-]+)\)", files["model/piece.step"])
    assert (0.8, 0.65, 0.45) in [tuple(round(float(c), 6) for c in colour) for colour in colours]


def test_another_process_writes_the_same_bytes(files: dict[str, bytes], tmp_path: Path) -> None:
    code = (
        "import hashlib,pathlib,sys;from small_piece import small_job;from build123.exports import step;"
        "files=step.write(small_job(pathlib.Path(sys.argv[1])));step.write(small_job(pathlib.Path(sys.argv[1])));"
        "print(*(hashlib.sha256(files[p]).hexdigest() for p in sorted(files)))"
    )
    done = subprocess.run(
        [sys.executable, "-c", code, str(tmp_path)],
        capture_output=True, text=True, check=True, cwd=HERE, env={**os.environ, "PYTHONHASHSEED": "7"},
    )  # fmt: skip
    assert done.stdout.split() == [hashlib.sha256(files[path]).hexdigest() for path in sorted(files)]


def test_what_was_written_before_leaves_no_trace(files: dict[str, bytes], tmp_path: Path) -> None:
    """The kernel counts uses over the whole process, and breaks lines by how long the count is."""
    for n in range(12):
        (tmp_path / str(n)).mkdir()
        again = step.write(small_job(tmp_path / str(n)))
        assert again == files


@pytest.mark.parametrize(
    ("what", "path", "old", "new", "said"),
    [
        ("inches", "parts/left-side.step", rb"SI_UNIT\(\.MILLI\.,", rb"SI_UNIT(.CENTI.,", "not the millimetre"),
        ("another name", "model/piece.step", rb"'left side'", rb"'left slide'", "no product is called left side"),
        ("a lost use", "model/piece.step", rb"\('\d+','inner'", rb"('1','other'", "missing: inner"),
        ("a moved corner", "parts/left-side.step", rb"(CARTESIAN_POINT\('',\()500\.", rb"\g<1>501.", "corners lie"),
        ("a moved part", "model/piece.step", rb"(CARTESIAN_POINT\('',\(12\.,0\.,)91\.", rb"\g<1>92.", "away from its place"),
        ("a cut-off file", "model/piece.step", rb"(?s)#900=.*", b"", ""),
        ("no STEP at all", "parts/left-side.step", rb"(?s).*", "Ä".encode(), "not a part 21 file"),
    ],
)
def test_a_spoiled_file_is_found(job: Job, files: dict[str, bytes], what: str, path: str, old: bytes, new: bytes, said: str) -> None:
    spoiled = {**files, path: re.sub(old, new, files[path], count=0 if what == "a moved corner" else 1)}
    assert spoiled[path] != files[path], what
    found = step.verify(job, spoiled)
    assert found and all(f.id == "export-differs" and path in f.message for f in found)
    assert any(said in f.message for f in found), [f.message for f in found]


def test_a_missing_file_is_found(job: Job, files: dict[str, bytes]) -> None:
    fewer = {path: data for path, data in files.items() if path != "parts/left-side.step"}
    assert ["parts/left-side.step" in f.message for f in step.verify(job, fewer)] == [True]
