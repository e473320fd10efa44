"""The rim: every way out of the program has an exit code, and none shows a traceback unasked."""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence
from typing import Final

from build123 import __version__

OK: Final = 0
FOUND: Final = 1
"""The checks found errors."""
USAGE: Final = 2
"""The spec or the command line is wrong."""
FAULT: Final = 3
"""Ours."""
INTERRUPTED: Final = 130
"""As a shell says it: 128 + SIGINT."""

TRACEBACK: Final = "BUILD123_TRACEBACK"


def main() -> None:
    """Run `build123` with the arguments of the process, and exit."""
    for stream in (sys.stdout, sys.stderr):
        # A terminal that cannot show a sign gets its number; output must not fail for it.
        getattr(stream, "reconfigure", lambda **_: None)(errors="backslashreplace")
    code = run(sys.argv[1:], _watch_interrupts())
    try:
        sys.stdout.flush()
    except BrokenPipeError:
        _quiet()
    sys.exit(code)


def _watch_interrupts() -> list[int]:
    """The interrupts so far, as a list that grows."""
    import signal

    seen: list[int] = []

    def note(number: int, frame: object) -> None:
        seen.append(number)
        raise KeyboardInterrupt

    signal.signal(signal.SIGINT, note)
    return seen


def run(arguments: Sequence[str], interrupts: Sequence[int] = ()) -> int:
    """Run with some arguments; gives the exit code. `interrupts` is a list that grows with each interrupt."""
    try:
        from typer import Abort
        from typer.main import get_command

        from build123.cli.app import app

        try:
            code = get_command(app).main(list(arguments), "build123", standalone_mode=False)
        except Abort as stop:
            raise KeyboardInterrupt from stop
        if code == INTERRUPTED:
            # Newer releases of typer catch an interrupt themselves.
            raise KeyboardInterrupt
        return code if isinstance(code, int) else OK
    except KeyboardInterrupt:
        _say("stopped")
        return INTERRUPTED
    except (BrokenPipeError, SystemExit):
        # Without standalone mode, typer exits by itself only where nobody reads the output any more.
        _quiet()
        return OK
    except Exception as problem:
        if interrupts:
            # A library that was loading has turned the interrupt into an error of its own.
            _say("stopped")
            return INTERRUPTED
        if any(kind.__name__ == "ClickException" for kind in type(problem).__mro__):
            # Which package that class comes from differs between releases of typer.
            problem.show()  # type: ignore[attr-defined]
            return USAGE
        return _ours(problem)


def _ours(fault: Exception) -> int:
    if os.environ.get(TRACEBACK) == "1":
        import traceback

        traceback.print_exc()
    from build123.problem.visible import visible

    said = visible(" ".join(str(fault).split()))[:400]
    _say(f"build123 {__version__} failed: {type(fault).__name__}{f': {said}' if said else ''}")
    _say(f"This is a fault of ours. Please report it with the spec and the output of the same command under {TRACEBACK}=1.")
    return FAULT


def _say(words: str) -> None:
    try:
        print(words, file=sys.stderr)
    except OSError:
        _quiet()


def _quiet() -> None:
    """Nobody reads any more: let nothing that is still buffered complain at the end."""
    nowhere = os.open(os.devnull, os.O_WRONLY)
    for stream in (sys.stdout, sys.stderr):
        try:
            stream.flush()
        except (OSError, ValueError):
            os.dup2(nowhere, stream.fileno())
