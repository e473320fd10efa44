"""The command line as other tools call it: exit codes, what goes where, how long it takes to say what is wrong."""

from __future__ import annotations

import json
import subprocess
import sys
import time
from pathlib import Path

import jsonschema
import pytest

ROOT = Path(__file__).resolve().parents[2]
SPECS = ROOT / "specs"


def run(*arguments: str, cwd: Path | None = None) -> subprocess.CompletedProcess[str]:
    return subprocess.run([sys.executable, "-m", "build123", *arguments], check=False, capture_output=True, text=True, cwd=cwd, timeout=120)


def test_build_writes_and_dryfit_does_not(tmp_path: Path) -> None:
    done = run("build", str(SPECS / "wall-rack.yaml"), "-o", str(tmp_path / "out"))
    assert done.returncode == 0, done.stdout + done.stderr
    assert "goes together" in done.stdout + done.stderr
    assert (tmp_path / "out" / "wall-rack" / "manifest.json").exists()
    done = run("dryfit", str(SPECS / "wall-rack.yaml"), cwd=tmp_path)
    assert done.returncode == 0
    assert sorted(p.name for p in tmp_path.iterdir()) == ["out"]


def test_exit_code_1_where_the_checks_find_errors(tmp_path: Path) -> None:
    spec = tmp_path / "bad.yaml"
    spec.write_text((SPECS / "wall-rack.yaml").read_text().replace("depth: 4,", "depth: 4, width: 11.7,"))
    done = run("build", str(spec), "-o", str(tmp_path / "out"))
    assert done.returncode == 1
    assert (tmp_path / "out" / "wall-rack" / "report.json").exists()


def test_exit_code_2_for_a_wrong_spec_with_place_and_caret(tmp_path: Path) -> None:
    spec = tmp_path / "bad.yaml"
    spec.write_text((SPECS / "wall-rack.yaml").read_text().replace("in: side", "in: sid"))
    done = run("dryfit", str(spec))
    said = done.stdout + done.stderr
    assert done.returncode == 2
    assert "bad.yaml:" in said and "^" in said and "did you mean 'side'" in said and "Traceback" not in said


def test_json_findings(tmp_path: Path) -> None:
    spec = tmp_path / "bad.yaml"
    spec.write_text((SPECS / "wall-rack.yaml").read_text().replace("depth: 4,", "depth: 4, width: 11.7,"))
    done = run("dryfit", str(spec), "--format", "json")
    assert done.returncode == 1
    said = json.loads(done.stdout)
    text = json.dumps(said)
    assert "housing-too-tight" in text and "bad.yaml" in text


@pytest.mark.parametrize(
    "arguments",
    [["build", "no-such.yaml"], ["build"], ["frobnicate"], ["why", str(SPECS / "wall-rack.yaml"), "shelv"], ["explain", "part-interfere"]],
)
def test_usage_is_exit_code_2_without_a_traceback(arguments: list[str]) -> None:
    done = run(*arguments)
    assert done.returncode == 2
    assert "Traceback" not in done.stderr + done.stdout


def test_why_goes_down_to_lines_of_the_spec() -> None:
    done = run("why", str(SPECS / "seed-cabinet.yaml"), "bottom.length")
    assert done.returncode == 0
    assert "33.07 in" in done.stdout and "32.57 in" in done.stdout and "1/4 in" in done.stdout and "seed-cabinet.yaml:" in done.stdout


def test_set_overrides_a_size() -> None:
    done = run("why", str(SPECS / "seed-cabinet.yaml"), "bottom.length", "--set", "width=30")
    assert done.returncode == 0
    assert "29.07 in" in done.stdout


def test_explain_and_schema() -> None:
    done = run("explain", "housing-too-tight")
    assert done.returncode == 0 and "build123: 1" in done.stdout
    done = run("schema")
    jsonschema.Draft202012Validator.check_schema(json.loads(done.stdout))
    done = run("schema", str(SPECS / "wall-rack.yaml"))
    assert "left side" in done.stdout and "width" in done.stdout


def test_new_starts_a_spec_and_never_overwrites(tmp_path: Path) -> None:
    done = run("new", "Boot shelf", "--from", "wall-rack", cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    (made,) = tmp_path.glob("*.yaml")
    assert "piece: Boot shelf" in made.read_text() and "# " in made.read_text()
    assert run("dryfit", str(made)).returncode == 0
    assert run("new", "Boot shelf", "--from", "wall-rack", cwd=tmp_path).returncode == 2


@pytest.mark.parametrize("arguments", [["--help"], ["schema"], ["explain", "seat-open"], ["dryfit", "bad.yaml"]])
def test_no_kernel_and_no_numpy_is_loaded_to_say_a_few_words(arguments: list[str], tmp_path: Path) -> None:
    (tmp_path / "bad.yaml").write_text("build123: 1\npiece: X\nparts: {a: {stock: b, x: from 0, y: 0 to 1, z: 0 to 1}}\n")
    code = (
        "import sys\nfrom build123.cli.run import run\n"
        f"code = run({arguments!r}, [])\n"
        "loaded = sorted({m.split('.')[0] for m in sys.modules} & {'cadquery', 'OCP', 'numpy', 'trimesh', 'shapely', 'manifold3d'})\n"
        "print('LOADED', loaded, file=sys.stderr)\n"
    )
    start = time.perf_counter()
    done = subprocess.run([sys.executable, "-c", code], check=False, capture_output=True, text=True, cwd=tmp_path, timeout=60)
    assert time.perf_counter() - start < 5  # the figure itself is in the benchmark; this only sees a hang
    assert "LOADED []" in done.stderr, done.stderr
