"""`manifest.json`: what is in the folder, and what it was made from. Written last; it holds no time.

`manifest` is the version of this format. `files` gives sha256 and size by path; `parts` the stem of each part's files; `kinds`
by stem the parts that are alike and the files that are theirs alone; `spec` the texts that it was made from.
"""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Mapping
from pathlib import PurePosixPath
from typing import Any, Final

from build123 import __version__
from build123.exports.job import Job

PATH: Final = "manifest.json"
FORMAT: Final = 1
LARGEST: Final = 20_000_000
"""Bytes of a manifest that is read back; a piece of thousands of parts stays far below."""

_SAFE: Final = re.compile(r"(?:[a-z0-9][a-z0-9._-]{0,120}/){0,4}[a-z0-9][a-z0-9._-]{0,120}", re.ASCII)


def safe_path(path: str) -> bool:
    """Whether a path is one that an exporter may write: lower case, relative, without dots that lead out."""
    return bool(_SAFE.fullmatch(path)) and not path.endswith(".") and "./" not in path


def manifest(job: Job, files: Mapping[str, bytes]) -> bytes:
    """The manifest of all files of one piece."""
    data = {
        "manifest": FORMAT,
        "build123": __version__,
        "piece": job.design.piece,
        "spec": {"names": [PurePosixPath(name.replace("\\", "/")).name for name in job.spec_names], "sha256": job.spec_sha256,
                 "set": dict(sorted(job.set_sizes.items()))},
        "dry_fit": "failed" if job.failed else "passed",
        "parts": {part.name: job.file_names[part.name] for part in job.design.parts},
        "kinds": _kinds(job, files),
        "files": {path: {"sha256": hashlib.sha256(files[path]).hexdigest(), "size": len(files[path])} for path in sorted(files)},
    }  # fmt: skip
    return (json.dumps(data, indent=1, ensure_ascii=True) + "\n").encode()


def _kinds(job: Job, files: Mapping[str, bytes]) -> dict[str, Any]:
    """Parts and files by stem. A part's file is `folder/<stem>.<ending>` or `folder/<stem>_<face>.<ending>`."""
    kinds: dict[str, Any] = {stem: {"parts": [], "files": []} for stem in job.file_names.values()}
    for part in job.design.parts:
        kinds[job.file_names[part.name]]["parts"].append(part.name)
    for path in sorted(files):
        folder, _, name = path.rpartition("/")
        stem = name.partition(".")[0].partition("_")[0]
        if folder in ("parts", "cut", "drawings") and stem in kinds:
            kinds[stem]["files"].append(path)
    return kinds


def listed(content: bytes) -> tuple[str, ...]:
    """The paths that a manifest of any run lists; none where it cannot be read. Paths that lead elsewhere are left out."""
    try:
        files = json.loads(content)["files"]
    except (ValueError, KeyError, TypeError, RecursionError):
        return ()
    return tuple(sorted(path for path in files if isinstance(path, str) and safe_path(path))) if isinstance(files, dict | list) else ()
