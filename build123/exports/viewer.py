"""`viewer.html`: the piece to turn over, take apart and look into, in one file that needs no network."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from html.parser import HTMLParser
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from build123.checks.seen import MEASURED_MM
from build123.exports.bodies import bodies, box_differs, told
from build123.exports.job import Job, differs
from build123.exports.viewer_page import left_out, piece_of, policy, viewer_page
from build123.exports.viewer_payload import PER_MM, payload, unpacked
from build123.model.frame import Box
from build123.problem import Finding

NAME: Final = "viewer"
PATH: Final = "viewer.html"
LAST: Final = True
_LOADS: Final = {"src", "href", "srcset", "action", "data", "poster"}


def write(job: Job) -> dict[str, bytes]:
    """The page; nothing where the viewer was left out of the install."""
    return {} if left_out() else {PATH: viewer_page(payload(job), None).encode("utf-8")}


def verify(job: Job, files: Mapping[str, bytes]) -> list[Finding]:
    """Read the page back: its policy fits its content, it loads nothing, and every body has its mesh, findings and sheet."""
    if left_out() and PATH not in files:
        return []
    data = files.get(PATH)
    if data is None:
        return [differs(PATH, "the file is missing")]
    text = data.decode("utf-8")
    return [differs(PATH, what) for what in (*_wrong_page(text), *_wrong_piece(job, piece_of(text)))]


def _wrong_page(text: str) -> Iterator[str]:
    page = _Page()
    page.feed(text)
    page.close()
    if page.policies != [policy("".join(page.scripts), "".join(page.styles), live=False)]:
        yield "its policy does not allow just its own program and style"
    if page.loads:
        yield f"it would load {page.loads[0]}"


class _Page(HTMLParser):
    """What a browser would find: policies, programs, styles, and whatever is fetched from elsewhere."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.policies: list[str] = []
        self.scripts: list[str] = []
        self.styles: list[str] = []
        self.loads: list[str] = []
        self._into: list[str] | None = None

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        self.loads += [f"{tag} {name}={value}" for name, value in attrs if name in _LOADS and not re.match(r"#|data:", value or "#")]
        if tag == "meta" and given.get("http-equiv") == "Content-Security-Policy":
            self.policies.append(given.get("content") or "")
        self._into = self.styles if tag == "style" else self.scripts if tag == "script" and "type" not in given else None

    def handle_endtag(self, tag: str) -> None:
        self._into = None

    def handle_data(self, data: str) -> None:
        if self._into is not None:
            self._into.append(data)


def _wrong_piece(job: Job, piece: Mapping[str, Any] | None) -> Iterator[str]:
    if piece is None:
        yield "there is no piece in it"
        return
    meant = bodies(job)
    if [body["name"] for body in piece["bodies"]] != [body.name for body in meant]:
        yield "its bodies are not those of the piece"
        return
    for entry, body in zip(piece["bodies"], meant, strict=True):
        mesh = piece["meshes"][entry["mesh"]]
        corners = unpacked(mesh["vertices"]).reshape(-1, 3) / PER_MM
        there, should = _box(corners), _box(job.meshes[body.shape_key].vertices)
        if box_differs(there, should, MEASURED_MM):
            yield f"{body.name} measures {told(there)} and not {told(should)}"
        if unpacked(mesh["faces"]).max() >= len(corners) or unpacked(mesh["lines"]).max(initial=0) >= len(corners):
            yield f"the mesh of {body.name} refers to corners that are not there"
    report = piece["report"]
    if [one["message"] for one in report["findings"]] != [one.message for one in job.findings]:
        yield "its findings are not those of the piece"
    if any(part["files"]["drawing"] not in piece["drawings"] for part in report["parts"]):
        yield "the sheet of a part is missing"


def _box(corners: NDArray[np.float64]) -> Box:
    low, high = corners.min(axis=0).tolist(), corners.max(axis=0).tolist()
    return Box((low[0], low[1], low[2]), (high[0], high[1], high[2]))
