"""From a saved spec to what the page shows: no file is written, and nothing is made that the page does not need."""

from __future__ import annotations

import gzip
import json
import os
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from build123.exports.viewer_payload import payload
from build123.pipeline import compile_file, viewer_job
from build123.preview.answer import Answer, Built, Drawn, broken, failed
from build123.problem.render_text import count

if TYPE_CHECKING:
    from build123.kernel import Store

QUICK: Final = 1
"""Gzip level: on loopback time counts, not bytes."""


def make(spec: Path, store: Store, scratch: Path) -> Iterator[Answer | Drawn]:
    """The first piece of the file: the model as soon as it is there, then with its sheets, which take as long again.

    A fault of ours comes back as a finding, so that the worker stays warm.
    """
    try:
        yield from _make(spec, store, scratch)
    except Exception as fault:
        if os.environ.get("BUILD123_TRACEBACK") == "1":
            sys.excepthook(type(fault), fault, fault.__traceback__)
        said = " ".join(str(fault).split())[:400]
        yield broken([failed(f"the page could not be made: {type(fault).__name__}{f': {said}' if said else ''}")], (str(spec),))


def _make(spec: Path, store: Store, scratch: Path) -> Iterator[Answer | Drawn]:
    pieces = compile_file(spec, store=store)
    first = pieces[0]
    texts = first.origin.names
    job = viewer_job(first, scratch)
    if job is None:
        yield broken(first.findings, texts)
        return
    yield Built(_packed(payload(job, sheets=False)), texts, count(first.findings), len(pieces) - 1)
    yield Drawn(_packed(payload(job)))


def _packed(data: dict[str, Any]) -> bytes:
    return gzip.compress(json.dumps(data, allow_nan=False, separators=(",", ":")).encode(), QUICK, mtime=0)
