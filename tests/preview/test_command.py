"""`build123 preview` as a person runs it: it says where, a line each time, and ends without a trace."""

from __future__ import annotations

import os
import queue
import re
import signal
import socket
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from live import PATIENCE_S, Listener, demo

from build123.exports.viewer_page import left_out

ROOT = Path(__file__).resolve().parents[2]
VIEWER = pytest.mark.skipif(bool(left_out()) and not os.environ.get("BUILD123_REQUIRE_BROWSER"), reason=f"no viewer: {left_out()}")


@contextmanager
def command(*arguments: str, temporary: Path) -> Iterator[tuple[subprocess.Popen[str], queue.Queue[str]]]:
    """The process and its lines."""
    environment = {**os.environ, "PYTHONPATH": str(ROOT), "TMPDIR": str(temporary), "TEMP": str(temporary), "TMP": str(temporary)}
    process = subprocess.Popen(
        [sys.executable, "-m", "build123", "preview", *arguments, "--no-open"], stdout=subprocess.PIPE, stderr=subprocess.STDOUT,
        text=True, env=environment, start_new_session=True,
    )  # fmt: skip
    lines: queue.Queue[str] = queue.Queue()

    def read() -> None:
        assert process.stdout is not None
        for line in process.stdout:
            lines.put(line.rstrip("\n"))

    threading.Thread(target=read, daemon=True).start()
    try:
        yield process, lines
    finally:
        process.kill()
        process.wait()


def run(*arguments: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "build123", "preview", *arguments, "--no-open"], check=False, capture_output=True, text=True, timeout=60
    )


def group(session: int) -> list[int]:
    """The processes of a session, after /proc (Linux)."""
    found = []
    for entry in Path("/proc").iterdir():
        try:
            fields = (entry / "stat").read_text().rpartition(")")[2].split() if entry.name.isdigit() else []
        except OSError:
            continue
        if fields and int(fields[3]) == session and fields[0] != "Z":
            found.append(int(entry.name))
    return found


@VIEWER
@pytest.mark.skipif(not Path("/proc/self/stat").exists(), reason="processes are looked up under /proc")
@pytest.mark.parametrize("everyone", [False, True], ids=["only the command", "everyone at the terminal"])
def test_ctrl_c_leaves_nothing_behind(tmp_path: Path, everyone: bool) -> None:
    spec, temporary = tmp_path / "cabinet.yaml", tmp_path / "temporary"
    spec.write_text(demo("34"), encoding="utf-8")
    temporary.mkdir()
    with command(str(spec), temporary=temporary) as (process, lines):
        first = lines.get(timeout=PATIENCE_S)
        address = re.search(r"http://127\.0\.0\.1:(\d+)/", first)
        assert address is not None and "cabinet.yaml" in first
        port = int(address[1])
        listener = Listener(port)
        if everyone:
            # The worker is still loading the kernel. Its model is told of only where it comes before the end.
            time.sleep(0.3)
        else:
            assert re.fullmatch(r"cabinet\.yaml: made in \d+\.\d\d s, no findings", lines.get(timeout=PATIENCE_S))
        children = group(process.pid)
        assert len(children) >= 2, "the worker is a process of its own"
        start = time.monotonic()
        if everyone:
            os.killpg(process.pid, signal.SIGINT)
        else:
            process.send_signal(signal.SIGINT)
        assert process.wait(timeout=5) == 0
        assert time.monotonic() - start < 5
        assert listener.ended.wait(5)
        while group(process.pid) and time.monotonic() - start < 5:
            time.sleep(0.02)
        assert not group(process.pid)
        assert lines.get(timeout=5) == "stopped" and lines.empty()
        assert not list(temporary.iterdir())
        with pytest.raises(OSError):
            socket.create_connection(("127.0.0.1", port), timeout=2)


@VIEWER
def test_a_port_that_is_taken_is_exit_code_2(tmp_path: Path) -> None:
    (tmp_path / "cabinet.yaml").write_text(demo("34"), encoding="utf-8")
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = taken.getsockname()[1]
        done = run(str(tmp_path / "cabinet.yaml"), "--port", str(port))
    assert done.returncode == 2 and f"port {port}" in done.stderr and "Traceback" not in done.stderr


def test_a_path_to_no_file_is_exit_code_2() -> None:
    done = run("no-such.yaml")
    assert done.returncode == 2 and "no-such.yaml" in done.stderr and "Traceback" not in done.stderr


def test_help_loads_no_server() -> None:
    code = (
        "import sys\nfrom build123.cli.run import run\nrun(['preview', '--help'], [])\n"
        "print('LOADED', sorted({m.split('.')[0] for m in sys.modules} & {'starlette', 'uvicorn', 'watchfiles', 'anyio', 'numpy', 'asyncio'}), file=sys.stderr)\n"
    )
    done = subprocess.run([sys.executable, "-c", code], check=False, capture_output=True, text=True, cwd=ROOT, timeout=60)
    assert "--no-open" in done.stdout and "LOADED []" in done.stderr
