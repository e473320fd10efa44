"""What comes out at the rim: faults of ours, nobody who reads, interrupts, near-misses, names of new specs."""

from __future__ import annotations

import ast
import json
import os
import pty
import re
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
import yaml

import build123
from build123.checks import docs
from build123.cli.new import gallery, named
from build123.cli.run import run
from build123.cli.why import derivations
from build123.pipeline import compile_file
from build123.problem.spec_errors import spec_errors

ROOT = Path(__file__).resolve().parents[2]
RACK = str(ROOT / "specs" / "wall-rack.yaml")
COMMAND = [sys.executable, "-m", "build123"]


def ids_in_source() -> set[str]:
    """Every id that a call of `error`, `at` or `Finding` is given as its first argument."""
    found = set()
    for path in Path(build123.__file__).parent.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and node.args and isinstance(node.args[0], ast.Constant):
                name = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
                value = node.args[0].value
                if (
                    name in ("error", "at", "Finding", "_several")
                    and isinstance(value, str)
                    and re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", value)
                ):
                    found.add(value)
    return found


def test_every_id_that_can_be_printed_can_be_explained() -> None:
    meant = ids_in_source()
    assert len(meant) > 50, "the source is read rightly"
    assert meant <= set(spec_errors()) | set(docs.ids())
    assert not set(spec_errors()) & set(docs.ids())
    assert all(said.what.endswith(".") and said.change.endswith(".") for said in spec_errors().values())


def test_explain_takes_an_id_as_it_is_printed_and_suggests_a_near_one(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["explain", "error[yaml-tab]"]) == 0
    assert "tab" in capsys.readouterr().out
    assert run(["explain", "unknown-pat"]) == 2
    assert "did you mean unknown-part" in capsys.readouterr().err


def test_a_fault_of_ours_is_one_message_and_a_traceback_only_when_asked(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def broken(*given: object, **more: object) -> None:
        raise RuntimeError("a pocket\nwith \x1b[31m holes")

    monkeypatch.setattr("build123.pipeline.compile_file", broken)
    monkeypatch.delenv("BUILD123_TRACEBACK", raising=False)
    assert run(["dryfit", RACK]) == 3
    said = capsys.readouterr().err
    assert "RuntimeError: a pocket with ␛[31m holes" in said and "report" in said and "Traceback" not in said and "\x1b" not in said
    monkeypatch.setenv("BUILD123_TRACEBACK", "1")
    assert run(["dryfit", RACK]) == 3
    assert "Traceback" in capsys.readouterr().err


def test_nobody_reads_to_the_end() -> None:
    shell = f"set -o pipefail; {' '.join(COMMAND)} schema | head -1"
    done = subprocess.run(["bash", "-c", shell], check=False, capture_output=True, text=True, timeout=60)
    assert (done.returncode, done.stdout, done.stderr) == (0, "{\n", "")


def test_an_interrupt_is_one_word() -> None:
    code = "import sys, time, build123.pipeline as p; p.compile_file = lambda *a: (print('up', flush=True), time.sleep(30)); from build123.cli import main; main()"
    with subprocess.Popen(
        [sys.executable, "-c", code, "dryfit", RACK], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    ) as running:
        assert running.stdout is not None and running.stdout.readline() == "up\n"
        time.sleep(0.1)
        running.send_signal(signal.SIGINT)
        _, said = running.communicate(timeout=20)
    assert (running.returncode, said) == (130, "stopped\n")


def on_a_terminal(*arguments: str, **environment: str) -> str:
    """What a terminal is sent."""
    ours, theirs = pty.openpty()
    with subprocess.Popen(
        [*COMMAND, *arguments], stdin=theirs, stdout=theirs, stderr=theirs, env={**os.environ, "TERM": "xterm", **environment}
    ):
        os.close(theirs)
        sent = b""
        while True:
            try:
                piece = os.read(ours, 65536)
            except OSError:
                break
            if not piece:
                break
            sent += piece
    os.close(ours)
    return sent.decode()


def test_colours_are_for_terminals_only_and_carry_nothing_alone(tmp_path: Path) -> None:
    spec = tmp_path / "bad.yaml"
    spec.write_text(Path(RACK).read_text().replace("in: side", "in: sid"))
    coloured = on_a_terminal("dryfit", str(spec))
    plain = on_a_terminal("dryfit", str(spec), NO_COLOR="1")
    piped = subprocess.run([*COMMAND, "dryfit", str(spec)], check=False, capture_output=True, text=True).stdout
    assert "\x1b[" in coloured and "\x1b[" not in plain and "\x1b" not in piped and "[####" not in piped
    bare = re.sub(r"\x1b\[[0-9;]*m", "", coloured).replace("\r\n", "\n")
    for line in piped.splitlines():
        assert line in bare


def test_a_terminal_that_cannot_show_a_sign_gets_its_number() -> None:
    done = subprocess.run(
        [*COMMAND, "why", RACK, "shelf 1.length"],
        check=False,
        capture_output=True,
        text=True,
        env={**os.environ, "PYTHONIOENCODING": "ascii"},
    )
    assert done.returncode == 0 and "\\xd7" in done.stdout


@pytest.mark.parametrize("given", ["width", "=3", "width=", "a=1 a=2"])
def test_set_wants_a_name_and_a_value_once(given: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["dryfit", RACK, *(word for one in given.split() for word in ("--set", one))]) == 2
    assert "--set" in capsys.readouterr().err


def test_set_points_at_itself_where_it_is_wrong(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["dryfit", RACK, "--set", "widht=3"]) == 2
    assert "--set:1:7: error[unknown-name]" in capsys.readouterr().out
    assert run(["dryfit", RACK, "--set", "width=3 inchs"]) == 2
    assert "| width=3 inchs" in capsys.readouterr().out


def test_two_pieces_for_one_folder_are_told_and_the_first_stands(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    again = tmp_path / "again.yaml"
    again.write_text(Path(RACK).read_text().replace("piece: Wall rack", "piece: WALL rack"))
    assert run(["build", RACK, str(again), "-o", str(tmp_path / "out")]) == 2
    assert "error[folder-taken]" in capsys.readouterr().out
    assert json.loads((tmp_path / "out/wall-rack/manifest.json").read_text())["piece"] == "Wall rack"


def test_json_is_nothing_but_the_findings(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["dryfit", RACK, "no-such.yaml", "--format", "json"]) == 2
    printed = capsys.readouterr()
    assert [finding["id"] for finding in json.loads(printed.out) if finding["severity"] == "error"] == ["file-missing"]
    assert "goes together" in printed.err


def test_why_tells_a_part_one_of_its_sizes_a_run_and_a_named_size() -> None:
    (piece,) = compile_file(Path(RACK), dry=False)
    assert piece.design is not None and piece.fit is None
    part = piece.design.parts[-1]
    whole = list(derivations(piece.design, part.name))
    assert whole[0] == part.name and any("thickness of" in line for line in whole)
    one = list(derivations(piece.design, f"{part.name}.length"))
    assert one and len(one) < len(whole) and "length of" in one[0]
    assert sum(line in piece.design.groups["side"] for line in derivations(piece.design, "side")) == 2
    assert next(iter(derivations(piece.design, "width"))).startswith("width = 600 mm")
    assert not list(derivations(piece.design, "widht")) and not list(derivations(piece.design, f"{part.name}.lenght"))


def test_why_says_what_there_is_where_nothing_is_near(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["why", RACK, "left side.lenght"]) == 2
    assert "did you mean 'length'" in capsys.readouterr().err
    assert run(["why", RACK, "left side.zzz"]) == 2
    assert "it has: length, width, thickness" in capsys.readouterr().err


@pytest.mark.parametrize("title", ["Boot shelf", "yes", "a: b", 'say "hi"', "木の棚", "# 3", "- x", "back\\slash"])
def test_a_new_spec_is_called_as_was_asked_and_keeps_all_else(title: str) -> None:
    assert len(gallery()) >= 4
    for path in gallery().values():
        text = path.read_text(encoding="utf-8")
        made = named(text, title)
        assert str(next(yaml.safe_load_all(made))["piece"]) == title or title == "yes"
        assert [a for a, b in zip(made.splitlines(), text.splitlines(), strict=True) if a != b] in (
            [f"piece: {title}"],
            [f"piece: {json.dumps(title)}"],
        )


def test_new_never_writes_over_a_file_and_never_leaves_the_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "shelf.yaml").write_text("mine")
    assert run(["new", "Shelf"]) == 2 and run(["new", "shelf.yaml"]) == 2
    assert (tmp_path / "shelf.yaml").read_text() == "mine"
    assert run(["new", "../../Up: there"]) == 0
    assert (tmp_path / "up-there.yaml").exists()
    assert run(["new", "Rack", "--from", "wal-rack"]) == 2


def test_a_solid_that_cannot_be_made_is_told_with_its_part_its_feature_and_the_line(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    from build123.kernel import KernelFault, dryfit

    def broken(design: object, store: object, **more: object) -> None:
        part = next(one for one in design.parts if one.name == "left side")  # type: ignore[attr-defined]
        raise KernelFault("left side", (part.features[0].about.id,), "cutting the blank", "command not done")

    monkeypatch.setattr(dryfit, "dry_fit", broken)
    assert run(["dryfit", RACK]) == 3
    said = capsys.readouterr().out
    joint_line = 1 + next(n for n, line in enumerate(Path(RACK).read_text().split("\n")) if "- dado" in line)
    assert f"wall-rack.yaml:{joint_line}:" in said and "error[kernel-fault]: left side: cutting the blank" in said
    assert "command not done" in said and "nothing was built" in said
