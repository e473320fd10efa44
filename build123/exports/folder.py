"""The piece's folder: only what differs is written, what is stale goes, the manifest comes last.

While files change there is no manifest, only a list of what the folder may hold (`.unfinished.json`): an interrupted run leaves
whole files, says that they are not current by having no manifest, and the next run still knows what to tidy. A run that changes
nothing touches nothing. No path that is written or removed lies outside the folder, whatever links the folder holds.
"""

from __future__ import annotations

import json
import os
import re
import stat
import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import partial
from pathlib import Path, PurePosixPath
from typing import Final, TypeVar

from build123.exports import manifest
from build123.problem import Finding, Findings

UNFINISHED: Final = ".unfinished.json"
WAITS_S: Final = (0.02, 0.05, 0.1, 0.2, 0.4, 0.8)
"""A virus scanner or a viewer that reloads lets go of a file within a second or so."""
SHARING: Final = (5, 32, 33)
"""Windows: access denied, sharing violation, lock violation (Microsoft, "System Error Codes")."""

_BESIDE: Final = re.compile(r"\.(.+)\.[0-9]+\.part")

T = TypeVar("T")


class Outside(OSError):
    """A link in the folder leads out of it."""


@dataclass(frozen=True, slots=True)
class Written:
    """What a run did to a folder; paths are POSIX, below it, sorted. `findings` say what could not be written, or differs."""

    folder: Path
    written: tuple[str, ...] = ()
    unchanged: tuple[str, ...] = ()
    removed: tuple[str, ...] = ()
    findings: tuple[Finding, ...] = ()


def write_folder(folder: Path, files: Mapping[str, bytes], manifest_bytes: bytes) -> Written:
    """Bring a folder to hold `files` and the manifest. Findings: cannot-write, with what the system said.

    ValueError for a path that is not safe, or for two that differ only in case: a fault of the exporter.
    """
    _refuse(files)
    findings = Findings()
    changed: list[str] = []
    same: list[str] = []
    removed: list[str] = []
    try:
        folder.mkdir(parents=True, exist_ok=True)
        if folder.is_symlink():
            raise Outside(f"{folder} is a link")
        before = _earlier(folder)
        for path in sorted(files):
            (same if _holds(_place(folder, path), files[path]) else changed).append(path)
        stale = sorted(before - set(files))
        if not changed and not stale and _holds(folder / manifest.PATH, manifest_bytes) and not (folder / UNFINISHED).exists():
            return Written(folder, (), tuple(same))
        _sweep(folder, before)
        _put(folder / UNFINISHED, json.dumps({"files": sorted(before | set(files))}).encode())
        _gone(folder / manifest.PATH)
    except OSError as problem:
        findings.error("cannot-write", _said(folder, problem), change=_CHANGE)
        return Written(folder, findings=tuple(findings))
    for path in changed:
        _try(findings, folder, path, partial(_put, content=files[path]))
    for path in stale:
        if _try(findings, folder, path, _gone):
            removed.append(path)
            _prune(folder, path)
    if not findings.failed and _try(findings, folder, manifest.PATH, partial(_put, content=manifest_bytes)):
        _try(findings, folder, UNFINISHED, _gone)
    return Written(folder, tuple(changed), tuple(same), tuple(removed), tuple(findings))


_CHANGE: Final = "close the programs that have files of this folder open, see that it may be written to, or give another with -o"


def _refuse(files: Mapping[str, bytes]) -> None:
    unsafe = [path for path in files if not manifest.safe_path(path) or path == manifest.PATH]
    folded = {path.casefold() for path in files}
    if unsafe or len(folded) != len(files):
        raise ValueError(f"paths that cannot be written: {unsafe or 'two differ only in case'}")


def _earlier(folder: Path) -> set[str]:
    """What runs before this one may have left here."""
    found: set[str] = set()
    for name in (manifest.PATH, UNFINISHED):
        at = folder / name
        if _is_file(at) and at.stat().st_size <= manifest.LARGEST:
            found.update(manifest.listed(at.read_bytes()))
    return found


def _sweep(folder: Path, before: set[str]) -> None:
    """Remove what a run that was killed left beside the files that it was about to write."""
    if not (folder / UNFINISHED).exists():
        return
    for parent in {PurePosixPath(path).parent for path in before}:
        for at in folder.joinpath(*parent.parts).glob(".*.part"):
            beside = _BESIDE.fullmatch(at.name)
            if beside and str(parent / beside[1]) in before | {manifest.PATH, UNFINISHED}:
                _gone(at)


def _place(folder: Path, path: str) -> Path:
    """Where a path of ours lies. Outside when a folder on the way is a link or a junction that leads elsewhere."""
    at = folder.joinpath(*PurePosixPath(path).parts)
    root = folder.resolve()
    if at.parent.resolve() != root.joinpath(*PurePosixPath(path).parts[:-1]):
        raise Outside(f"{at.parent} is a link")
    return at


def _is_file(at: Path) -> bool:
    try:
        return stat.S_ISREG(at.lstat().st_mode)
    except OSError:
        return False


def _holds(at: Path, content: bytes) -> bool:
    return _is_file(at) and at.stat().st_size == len(content) and at.read_bytes() == content


def _put(at: Path, content: bytes) -> None:
    """Write beside, then move into place. A link at the place is replaced, never written through."""
    at.parent.mkdir(parents=True, exist_ok=True)
    beside = at.with_name(f".{at.name}.{os.getpid()}.part")
    _gone(beside)
    handle = os.open(beside, os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0), 0o666)
    try:
        with os.fdopen(handle, "wb") as stream:
            stream.write(content)
        _patiently(lambda: os.replace(beside, at))
    except BaseException:
        _gone(beside)
        raise


def _gone(at: Path) -> None:
    """Remove one file or link; none is fine."""
    _patiently(lambda: at.unlink(missing_ok=True))


def _prune(folder: Path, path: str) -> None:
    """Remove the folders of a stale file that are empty now."""
    for parent in PurePosixPath(path).parents:
        if parent == PurePosixPath("."):
            return
        try:
            folder.joinpath(*parent.parts).rmdir()
        except OSError:
            return


def _patiently(act: Callable[[], T]) -> T:
    """Do it, again after a while as long as Windows says that another program has the file."""
    for wait_s in WAITS_S:
        try:
            return act()
        except PermissionError as problem:
            if getattr(problem, "winerror", None) not in SHARING:
                raise
            time.sleep(wait_s)
    return act()


def _try(findings: Findings, folder: Path, path: str, act: Callable[[Path], None]) -> bool:
    try:
        act(_place(folder, path))
    except OSError as problem:
        findings.error("cannot-write", _said(folder / path, problem), change=_CHANGE)
        return False
    return True


def _said(at: Path, problem: OSError) -> str:
    return f"{at} cannot be written: {problem.strerror or problem}"
