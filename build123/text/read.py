"""Read a spec file: bytes to trees with places, with every problem found on the way."""

from __future__ import annotations

import re
import stat
from pathlib import Path
from typing import Any

import yaml

from build123.problem import Finding, Findings, Place, Severity, Source, Span
from build123.text.bounds import DEPTH, FILE_BYTES, FINDINGS
from build123.text.build import UNSEEN, Builder, Stop
from build123.text.nodes import Table
from build123.text.words import plain_words

PARSER: type[Any] = getattr(yaml, "CLoader", yaml.Loader)
"""The C parser where PyYAML was built with it. Only its events are used; no value is ever constructed."""

_TAB = re.compile(r"^ *\t[ \t]*(?=[^\s#])", re.MULTILINE)
_NEXT_DOCUMENT = re.compile(r"^---(?=\s|$)", re.MULTILINE)
_GLUED = re.compile(r"\s*(?:- )?[A-Za-z][\w -]*:(?=[^\s/:])")
_MANY = 5


def read_file(path: Path) -> tuple[tuple[Table, ...], Findings]:
    """The documents of one file, in order, and what is wrong with it. Where the file cannot be read there are none."""
    findings = Findings()
    name = str(path)
    start = _at(Source(name, ""), 0, 0, 0)
    try:
        status = path.stat()
        if not stat.S_ISREG(status.st_mode):
            findings.error("file-missing", f"{name} is not a file", start)
            return (), findings
        if status.st_size > FILE_BYTES:
            _too_big(findings, name, status.st_size, start)
            return (), findings
        with path.open("rb") as stream:
            data = stream.read(FILE_BYTES + 1)
    except FileNotFoundError:
        findings.error("file-missing", f"there is no file {name}", start)
        return (), findings
    except (OSError, ValueError) as problem:
        findings.error("file-missing", f"{name} cannot be read: {getattr(problem, 'strerror', None) or problem}", start)
        return (), findings
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as problem:
        before = data[: problem.start].replace(b"\r\n", b"\n").decode("utf-8", "replace").removeprefix("\ufeff")
        source = Source(name, _one_line_end(data.decode("utf-8", "replace")))
        place = _at(source, before.count("\n"), len(before) - before.rfind("\n") - 1, 1)
        findings.error("not-utf-8", f"the file is not UTF-8 text: byte {data[problem.start]:#04x} on line {place.line + 1}", place,
                       change="save it as UTF-8 in the editor")  # fmt: skip
        return (), findings
    return read_text(Source(name, text))


def read_text(source: Source) -> tuple[tuple[Table, ...], Findings]:
    """The documents of one text, in order, and what is wrong with it.

    A document with a syntax error is left out; those after it are still read. Spans count lines as any of LF, CRLF or CR
    ends them, and columns in characters.
    """
    if "\r" in source.text or source.text.startswith("\ufeff"):
        source = Source(source.name, _one_line_end(source.text.removeprefix("\ufeff")))
    early = _before_parsing(source)
    if early.failed:
        return (), early
    builder = Builder(source)
    offset = 0
    while True:
        builder.line = source.text.count("\n", 0, offset)
        try:
            builder.read(yaml.parse(source.text[offset:], Loader=PARSER))
        except Stop:
            break
        except yaml.MarkedYAMLError as problem:
            error_line = _syntax(builder, problem)
            following = _NEXT_DOCUMENT.search(source.text, max(_start_of(source, error_line), offset + 1))
            if following and len(builder.findings) < FINDINGS:
                offset = following.start()
                continue
        except (yaml.YAMLError, RecursionError) as problem:
            builder.error("yaml-syntax", f"the YAML cannot be read: {problem}", _at(source, builder.line, 0, 0))
        break
    builder.close()
    if not builder.tables and not builder.findings.failed:
        builder.error("empty-file", f"{source.name} says nothing", _at(source, 0, 0, 0),
                      change="start with `build123: 1` and `piece: NAME`; `build123 new NAME` writes a first spec")  # fmt: skip
    return tuple(builder.tables), builder.findings


def _before_parsing(source: Source) -> Findings:
    """What the parser would report badly or slowly."""
    findings = Findings()
    text = source.text
    if len(text) > FILE_BYTES:
        _too_big(findings, source.name, len(text), _at(source, 0, 0, 0))
        return findings
    places, count = _hits(source, UNSEEN)
    if count:
        first = places[0].span
        message = f"the character U+{ord(source.lines[first.line][first.column]):04X} on line {first.line + 1} cannot be seen{_more(count)}"
        findings.add(Finding("control-character", Severity.error, message, places, change="delete it"))
    places, count = _hits(source, _TAB)
    if count:
        message = f"line {places[0].span.line + 1} is indented with a tab{_more(count)}; YAML counts spaces only"
        findings.add(Finding("yaml-tab", Severity.error, message, places, change="indent with spaces, two for each level"))
    return findings


def _syntax(builder: Builder, problem: yaml.MarkedYAMLError) -> int:
    """Keep a syntax error; gives the line it stands on."""
    mark = problem.problem_mark or problem.context_mark
    line = mark.line + builder.line if mark else builder.line
    column = mark.column if mark else 0
    lines = builder.source.lines
    if line >= len(lines) or (line == len(lines) - 1 and not lines[line]):
        line = max((n for n, content in enumerate(lines) if content.strip()), default=0)
        column = len(lines[line])
    if "maximum nesting depth" in (problem.problem or ""):
        place = _at(builder.source, line, column, 1)
        builder.error("too-deep", f"values are nested more than {DEPTH} deep", place, change="close a bracket, or take a level out")
        return line
    for near in (line, line - 1):
        glued = _GLUED.match(lines[near]) if 0 <= near < len(lines) else None
        if glued:
            place = _at(builder.source, near, glued.end() - 1, 1)
            builder.error("yaml-syntax", "a space is missing after this colon", place, label="here", change="write `key: value`")
            return line
    words, change = plain_words(problem.problem or "", problem.context or "", lines[line][column : column + 1])
    spans = [_at(builder.source, line, column, 1)]
    opened = problem.context_mark
    if opened and opened.line + builder.line < line:
        spans.append(_at(builder.source, opened.line + builder.line, opened.column, 1))
    builder.error("yaml-syntax", words, *spans, label="here", change=change)
    return line


def _too_big(findings: Findings, name: str, size: int, place: Span) -> None:
    findings.error("file-too-big", f"{name} has {size / 1e6:.1f} MB; {FILE_BYTES / 1e6:g} MB are read", place,
                   change="write equal parts as runs, pairs or assemblies, or make two files of it")  # fmt: skip


def _more(count: int) -> str:
    return "" if count == 1 else f", and {count - 1} more" if count > 2 else ", and one more"


def _one_line_end(text: str) -> str:
    return text.replace("\r\n", "\n").replace("\r", "\n")


def _start_of(source: Source, line: int) -> int:
    return sum(len(content) + 1 for content in source.lines[:line])


def _at(source: Source, line: int, column: int, length: int) -> Span:
    return Span(source, line, column, line, column + length)


def _hits(source: Source, pattern: re.Pattern[str]) -> tuple[tuple[Place, ...], int]:
    """The first few places where the pattern is found, and how many there are."""
    places: list[Place] = []
    count = 0
    for count, found in enumerate(pattern.finditer(source.text), 1):
        if count <= _MANY:
            line = source.text.count("\n", 0, found.start())
            column = found.start() - source.text.rfind("\n", 0, found.start()) - 1
            places.append(Place(_at(source, line, column, found.end() - found.start())))
    return tuple(places), count
