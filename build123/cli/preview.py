"""`preview`."""

from __future__ import annotations

import signal
import sys
import webbrowser
from pathlib import Path
from typing import Final

from build123.cli.output import print_findings
from build123.cli.run import FAULT, OK, USAGE
from build123.exports.viewer_page import left_out, viewer_page
from build123.preview.answer import Answer, Broken
from build123.preview.routes import LIVE
from build123.preview.serve import listen, previewing
from build123.problem.visible import visible
from build123.text.read import read_file

GLANCE_S: Final = 0.2
"""How often an interrupt is looked for: on Windows it does not wake a thread that waits."""


def preview_spec(spec: Path, port: int, *, open_browser: bool) -> int:
    """Serve the live page until Ctrl-C. A spec with errors is served too; only a path that leads to no file is refused."""
    missing = [finding for finding in read_file(spec)[1] if finding.id == "file-missing"]
    if missing:
        print_findings(missing, sys.stderr)
        return USAGE
    if reason := left_out():
        print(f"there is no viewer in this install: {reason}", file=sys.stderr)
        return FAULT
    page = viewer_page(None, LIVE)
    try:
        listening = listen(port)
    except OSError as problem:
        print(f"port {port} cannot be had: {problem.strerror or problem}", file=sys.stderr)
        return USAGE
    signal.signal(signal.SIGTERM, signal.getsignal(signal.SIGINT))
    try:
        with previewing(spec, page, listening, lambda answer, seconds: _tell(spec, answer, seconds)) as preview:
            print(f"{preview.address} shows {visible(str(spec))} as it is saved; Ctrl-C ends it", flush=True)
            if open_browser:
                webbrowser.open(preview.address)
            while True:
                preview.wait(GLANCE_S)
    except KeyboardInterrupt:
        print("stopped", file=sys.stderr)
        return OK


def _tell(spec: Path, answer: Answer, seconds: float) -> None:
    """One line for each time it was made."""
    made = "not made" if isinstance(answer, Broken) else "made"
    more = "" if isinstance(answer, Broken) or not answer.more else f"; the first of {answer.more + 1} pieces"
    print(f"{visible(spec.name)}: {made} in {seconds:.2f} s, {answer.counted}{more}", flush=True)
