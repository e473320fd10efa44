"""Findings and progress on a terminal. Colour only there, and never the only carrier."""

from __future__ import annotations

import os
import shutil
import sys
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, Final, TextIO

from build123.problem import Finding
from build123.problem.excerpt import Line
from build123.problem.render_text import COLUMNS, render_lines, show_mm

if TYPE_CHECKING:
    from build123.model.design import Design

BAR: Final = 20
"""Columns of the progress bar."""

STYLES: Final = {
    "error": "bold red",
    "warning": "bold yellow",
    "note": "bold cyan",
    "place": "bold",
    "gutter": "dim",
    "mark": "cyan",
    "key": "dim",
}


def terminal(stream: TextIO) -> bool:
    """Whether a person looks at the stream and signs may move and colour (https://no-color.org is heeded by `coloured`)."""
    return stream.isatty() and os.environ.get("TERM") != "dumb"


def coloured(stream: TextIO) -> bool:
    """Whether colours may be used."""
    return terminal(stream) and not os.environ.get("NO_COLOR")


def print_findings(findings: Iterable[Finding], stream: TextIO, show: Callable[[float], str] = show_mm, total: bool = True) -> None:
    """Findings for a person, as wide as the terminal."""
    columns = min(shutil.get_terminal_size((COLUMNS, 24)).columns, COLUMNS) if terminal(stream) else COLUMNS
    print_lines(render_lines(findings, columns, show, total), stream)


def print_lines(lines: Iterable[Line], stream: TextIO) -> None:
    """Styled lines; plain where colours are not wanted."""
    if not coloured(stream):
        for line in lines:
            print("".join(piece.text for piece in line).rstrip(), file=stream)
        return
    from rich.console import Console
    from rich.text import Text

    console = Console(file=stream, highlight=False, markup=False, emoji=False)
    for line in lines:
        text = Text()
        for piece in line:
            text.append(piece.text, STYLES.get(piece.style, ""))
        console.print(text, soft_wrap=True)


def shower(design: Design | None) -> Callable[[float], str]:
    """How lengths of a piece are shown."""
    if design is None:
        return show_mm
    from build123.fields.quantity import Units
    from build123.fields.show import show_length

    units: Units = "in" if design.units == "in" else "mm"
    return lambda mm: show_length(round(mm, 3), units)


@contextmanager
def progress(steps: int) -> Iterator[Callable[[str], None]]:
    """A bar on a terminal's error stream; call what comes back as each step begins. Nothing elsewhere.

    Drawn by hand: loading rich would cost a spec error more than all the rest of its printing.
    """
    if not terminal(sys.stderr):
        yield lambda step: None
        return
    done, shown = -1, 0

    def draw(words: str) -> None:
        nonlocal shown
        sys.stderr.write("\r" + words.ljust(shown) + "\r" * (not words))
        sys.stderr.flush()
        shown = len(words)

    def begin(step: str) -> None:
        nonlocal done
        done += 1
        filled = BAR * done // steps
        draw(f"[{'#' * filled}{'.' * (BAR - filled)}] {step}"[: shutil.get_terminal_size().columns - 1])

    try:
        yield begin
    finally:
        draw("")
