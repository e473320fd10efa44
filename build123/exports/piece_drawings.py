"""The whole piece drawn: views, sections, taken apart, parts list, as SVG."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from xml.etree import ElementTree

import numpy as np

from build123.drawing.numbers import Numbers
from build123.drawing.piece_list import parts_list
from build123.drawing.standard import standard
from build123.drawing.svg import render
from build123.drawing.titleblock import FAILED
from build123.exports.bodies import bodies
from build123.exports.drawings import DRAWN_MM, THIN_MM
from build123.exports.job import Job, differs
from build123.model.frame import Vec
from build123.model.part import Hardware, Part
from build123.problem import Finding

NAME = "piece drawings"
VIEWS, APART = "drawings/assembly.svg", "drawings/assembly_apart.svg"
ROUNDING_MM = 1e-6
"""Of double precision over a piece some metres long."""
_SVG = "{http://www.w3.org/2000/svg}"


def write(job: Job) -> dict[str, bytes]:
    """`drawings/assembly.svg` and `drawings/assembly_<what>.svg`; no part's file has such a name."""
    return {f"drawings/{stem}.svg": render(sheet) for stem, sheet in job.piece_sheets.items()}


def verify(job: Job, files: Mapping[str, bytes]) -> list[Finding]:
    """Reads each sheet back: plain XML, sheet size; the views to scale and with their sizes; a mark and a row for each part."""
    found = [differs(path, "the file is missing") for path in (VIEWS, APART) if path not in files]
    roots: dict[str, ElementTree.Element] = {}
    sizes = {f"0 0 {s.width:g} {s.height:g}": (f"{s.width:g}mm", f"{s.height:g}mm") for s in standard(job.design.units).sheets}
    for path, data in files.items():
        if b"<!DOCTYPE" in data or b"<script" in data:
            found.append(differs(path, "there is more in it than a drawing"))
            continue
        try:
            root = ElementTree.fromstring(data)
        except ElementTree.ParseError as error:
            found.append(differs(path, f"is not well-formed XML: {error}"))
            continue
        roots[path] = root
        if sizes.get(root.get("viewBox", "")) != (root.get("width"), root.get("height")):
            found.append(differs(path, "has no standard sheet size in millimetres"))
        if job.failed and not any(FAILED in text for text in _texts(root)):
            found.append(differs(path, "does not say that the dry fit failed"))
    if VIEWS in roots:
        found += [differs(VIEWS, what) for what in _views_wrong(job, roots[VIEWS])]
    if APART in roots:
        found += [differs(APART, what) for what in _apart_wrong(job, roots)]
    return found


def measured(job: Job, some: Sequence[Part | Hardware] = ()) -> Vec:
    """The piece over all solids, or over some, mm: width, depth, height."""
    points = []
    for body in some or bodies(job):
        frame = body.placement
        points.append(job.meshes[body.shape_key].vertices @ np.array([frame.x, frame.y, frame.z]) + np.array(frame.origin))
    whole = np.concatenate(points)
    width, depth, height = (whole.max(axis=0) - whole.min(axis=0)).tolist()
    return (width, depth, height)


def _texts(root: ElementTree.Element) -> list[str]:
    return [element.text or "" for element in root.iter(f"{_SVG}text")]


def _views_wrong(job: Job, root: ElementTree.Element) -> Iterator[str]:
    n = Numbers(standard(job.design.units).units)
    size = measured(job)
    texts = _texts(root)
    for what, mm in zip(("width", "depth", "height"), size, strict=True):
        if not {n.length(mm + off) for off in (-ROUNDING_MM, ROUNDING_MM)} & set(texts):
            yield f"does not give the overall {what} {n.length(mm)}"
    front = next((g for g in root.iter(f"{_SVG}g") if g.get("data-view") == "front"), None)
    if front is None:
        yield "has no front view"
        return
    scale = float(front.get("data-scale", "nan"))
    outline = [group for group in front.iter(f"{_SVG}g") if group.get("class") == "outline"]
    points = [p for group in outline for p in _points(group)]
    # Where the outline is round its ends do not reach as far as it bulges.
    bulges = any("A" in path.get("d", "") for group in outline for path in group) or any(
        True for g in outline for _ in g.iter(f"{_SVG}circle")
    )
    parts = measured(job, job.design.parts)  # a fitting that stands out may be too thin to be drawn
    for what, mm, least_mm, k in (("width", size[0], parts[0], 0), ("height", size[2], parts[2], 1)):
        drawn = max((p[k] for p in points), default=0.0) - min((p[k] for p in points), default=0.0)
        if drawn - mm * scale > DRAWN_MM or (least_mm * scale - drawn > DRAWN_MM and not bulges):
            yield f"draws the {what} as {drawn:.3f} mm where {mm * scale:.3f} mm are to scale"


def _points(group: ElementTree.Element) -> Iterator[tuple[float, float]]:
    """The ends of the straight lines of thick paths."""
    for path in group.iter(f"{_SVG}path"):
        if float(path.get("stroke-width", "0")) > THIN_MM:
            for run in path.get("d", "").replace("L", "M").split("M"):
                numbers = run.replace("A", " ").replace("Z", "").split()
                if len(numbers) >= 2:
                    yield float(numbers[-2]), float(numbers[-1])


def _apart_wrong(job: Job, roots: Mapping[str, ElementTree.Element]) -> Iterator[str]:
    listed = [text for path, root in roots.items() if path.startswith("drawings/assembly_") for text in _texts(root)]
    marks = [text.text for group in roots[APART].iter(f"{_SVG}g") if group.get("class") == "note" for text in group.iter(f"{_SVG}text")]
    for row in parts_list(job.design, standard(job.design.units)):
        if row.cells[4] != "–" and row.cells[4] not in listed:
            yield f"the parts list does not give {row.cells[4]} for {row.cells[1]}"
        if row.mark not in marks:
            yield f"has no mark {row.mark} for {row.cells[1]}"
