"""A dimensioned sheet for each distinct part, as SVG and as DXF from the same source."""

from __future__ import annotations

import math
import re
from collections.abc import Hashable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal
from weakref import WeakKeyDictionary
from xml.etree import ElementTree

from build123.drawing import dxf
from build123.drawing.numbers import Numbers
from build123.drawing.sheet import SheetPlan, hands, sheet_plans
from build123.drawing.standard import standard
from build123.drawing.svg import render
from build123.drawing.titleblock import FAILED
from build123.drawing.vocabulary import Item, Label, Sheet
from build123.exports import drawings_dxf
from build123.exports.job import Job, differs
from build123.model.part import Part
from build123.problem import Finding

if TYPE_CHECKING:
    from build123.kernel.store import Store

NAME = "drawings"

_SVG = "{http://www.w3.org/2000/svg}"
_FORBIDDEN = (b"<!DOCTYPE", b"<!ENTITY", b"<script", b"<foreignObject", b"xlink:href")
_MOVES = re.compile(r"([MLA])([^MLAZ]*)")
THIN_MM = 0.25
"""The thin line of the sheet; visible edges are drawn twice as thick (`drawing/vocabulary.py`)."""
MOST = 400
"""So many sheets are remembered with a store."""
SPEC_HERE = "\ue0f0" * 4
"""Stands for the short hash of the spec in what is remembered; private characters, which no name has."""
_KNOWN: WeakKeyDictionary[Store, dict[Hashable, _Drawn]] = WeakKeyDictionary()
DRAWN_MM = 0.01
"""Coordinates are written to a thousandth; an outline this much off scale is wrong."""


@dataclass(frozen=True, slots=True)
class _Drawn:
    """A sheet that was drawn, and its files where they were wanted; `SPEC_HERE` stands for the hash of the spec in all of them."""

    sheet: Sheet
    files: tuple[bytes, bytes] | None = None


def write(job: Job) -> dict[str, bytes]:
    """`drawings/<part>.svg` and `.dxf` for each distinct part; opposite hands share those of the first.

    A sheet that was drawn before with the same store is not drawn again: all but the spec's hash is remembered.
    """
    files: dict[str, bytes] = {}
    for plan, drawn in _all_drawn(job):
        made = drawn.files or (render(drawn.sheet), dxf.render(drawn.sheet, job.design.units))
        _KNOWN[job.store][plan.key] = _Drawn(drawn.sheet, made)
        for kind, data in zip(("svg", "dxf"), made, strict=True):
            files[_path(job, plan.parts[0].name, kind)] = data.replace(SPEC_HERE.encode(), job.made_from.encode())
    return files


def sheets(job: Job) -> dict[str, Sheet]:
    """The sheet of each distinct part, by the name of its first member."""
    return {plan.parts[0].name: _hashed(drawn.sheet, job.made_from) for plan, drawn in _all_drawn(job)}


def svgs(job: Job) -> dict[str, bytes]:
    """The sheets as SVG by path; only what was not drawn before is drawn."""
    found: dict[str, bytes] = {}
    for plan, drawn in _all_drawn(job):
        svg = drawn.files[0] if drawn.files is not None else render(drawn.sheet)
        found[_path(job, plan.parts[0].name, "svg")] = svg.replace(SPEC_HERE.encode(), job.made_from.encode())
    return found


def _all_drawn(job: Job) -> list[tuple[SheetPlan, _Drawn]]:
    known = _KNOWN.setdefault(job.store, {})
    plans = sheet_plans(job.design, job.failed, SPEC_HERE if job.made_from else "")
    found = [(plan, known.get(plan.key) or _Drawn(plan.draw())) for plan in plans]
    kept = {plan.key: drawn for plan, drawn in found}
    _KNOWN[job.store] = {**known, **kept} if len(known) < MOST else kept
    return found


def _hashed(sheet: Sheet, spec: str) -> Sheet:
    """The sheet with the hash of the spec where it stands."""

    def said(item: Item) -> Item:
        return replace(item, text=item.text.replace(SPEC_HERE, spec)) if isinstance(item, Label) and SPEC_HERE in item.text else item

    groups = tuple(replace(group, items=tuple(map(said, group.items))) for group in sheet.groups)
    return replace(sheet, groups=groups, fields=tuple((name, text.replace(SPEC_HERE, spec)) for name, text in sheet.fields))


def _path(job: Job, name: str, kind: str) -> str:
    return f"drawings/{job.file_names[name]}.{kind}"


def sheet_path(job: Job, part: Part, kind: Literal["svg", "dxf"]) -> str:
    """The sheet that a part is on."""
    key = (part.shape_key, part.stock.name)
    for parts, others in hands(job.design):
        if any((p.shape_key, p.stock.name) == key for p in (parts[0], *others[:1])):
            return _path(job, parts[0].name, kind)
    return _path(job, part.name, kind)


def verify(job: Job, files: Mapping[str, bytes]) -> list[Finding]:
    """Reads each sheet back: sheet size and units, outline to scale, every feature, the overall sizes, what it says."""
    found: list[Finding] = []
    for parts, others in hands(job.design):
        name = parts[0].name
        for kind in ("svg", "dxf"):
            path = _path(job, name, kind)
            data = files.get(path)
            if data is None:
                found.append(differs(path, "the file is missing", name))
                continue
            wrong = _wrong(job, parts, data) if kind == "svg" else drawings_dxf.wrong(parts, job.failed, data)
            found.extend(differs(path, what, name) for what in wrong)
            if others and b"opposite hand" not in data:
                found.append(differs(path, f"does not show the opposite hand, {others[0].name}", name))
    return found


def _wrong(job: Job, parts: tuple[Part, ...], data: bytes) -> Iterator[str]:
    if any(word in data for word in _FORBIDDEN):
        yield "there is more in it than a drawing"
        return
    try:
        root = ElementTree.fromstring(data)
    except ElementTree.ParseError as error:
        yield f"is not well-formed XML: {error}"
        return
    sheets = {f"0 0 {s.width:g} {s.height:g}": (f"{s.width:g}mm", f"{s.height:g}mm") for s in standard(job.design.units).sheets}
    if sheets.get(root.get("viewBox", "")) != (root.get("width"), root.get("height")):
        yield "has no standard sheet size in millimetres"
    part = parts[0]
    shown = {element.get("data-feature") for element in root.iter()}
    for feature in part.features:
        if _safe(feature.about.id) not in {_safe(id) for id in shown if id is not None}:
            yield f"does not show {feature.about.id}"
    texts = [element.text or "" for element in root.iter(f"{_SVG}text")]
    n = Numbers(standard(job.design.units).units)
    for what, size in (("length", part.length_mm), ("width", part.width_mm), ("thickness", part.thickness_mm)):
        if n.length(size) not in texts:
            yield f"does not give the {what} {n.length(size)}"
    if str(len(parts)) not in texts:
        yield f"does not say that {len(parts)} are to be made"
    if job.failed and not any(FAILED in text for text in texts):
        yield "does not say that the dry fit failed"
    yield from _off_scale(part, root)


def _safe(id: str) -> str:
    """An id without what XML cannot hold or does not keep."""
    return re.sub(r"[\s\ufffd]|[^\x20-\ud7ff\ue000-\uffef\U00010000-\U0010ffff]", "", id)


def _off_scale(part: Part, root: ElementTree.Element) -> Iterator[str]:
    face = next((g for g in root.iter(f"{_SVG}g") if g.get("data-view") == "face"), None)
    if face is None:
        yield "has no view of the worked face"
        return
    scale = float(face.get("data-scale", "nan"))
    points: list[tuple[float, float]] = []
    for group in face.iter(f"{_SVG}g"):
        if group.get("class") in ("outline", "feature"):
            points += [p for path in group.iter(f"{_SVG}path") if _thick(path) for p in _corners(path.get("d", ""))]
    if not points:
        yield "has no outline"
        return
    for what, size, k in (("length", part.length_mm, 0), ("width", part.width_mm, 1)):
        drawn = max(p[k] for p in points) - min(p[k] for p in points)
        if not math.isclose(drawn, size * scale, abs_tol=DRAWN_MM):
            yield f"draws the {what} as {drawn:.3f} mm where {size * scale:.3f} mm are to scale"


def _thick(path: ElementTree.Element) -> bool:
    """Visible edges are thick and not dashed; centre lines run past the wood."""
    return float(path.get("stroke-width", "0")) > THIN_MM and path.get("stroke-dasharray") is None


def _corners(path: str) -> Iterator[tuple[float, float]]:
    for _, numbers in _MOVES.findall(path):
        values = [float(v) for v in numbers.split()]
        yield values[-2], values[-1]
