"""DXF to cut from: one file for each worked face of each distinct part, and a piece to try the fits on."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import replace

from typing_extensions import assert_never

from build123.cutting.figures import figure
from build123.cutting.fit_test import Trial, fit_test
from build123.cutting.info import About, info
from build123.cutting.layers import COLOURS, INFO, layer
from build123.cutting.operation import Cleared, CutFace, Drilled, Relieved
from build123.cutting.plan import cut_part
from build123.cutting.thickness import hangs_on
from build123.drawing.titleblock import FAILED
from build123.exports.cut_dxf import Lines, dxf
from build123.exports.cut_read import Read, read
from build123.exports.cut_solid import rebuilt_mm3
from build123.exports.job import Job, differs, slug
from build123.fields.quantity import Units
from build123.kernel.union import union_volume_mm3
from build123.model.design import Design
from build123.model.feature import Hole, Vertex
from build123.model.frame import Vec2, dot
from build123.model.part import Part
from build123.problem import Finding
from build123.problem.visible import visible
from build123.trade.cutters import Cutter, cutters

NAME = "cut"
FIT_TEST = "cut/fit-test.dxf"
TEXT_MM = (3.5, 10.0)
"""The smallest and the largest letters: a hundredth of the part, between these."""
LINE = 1.6
"""From line to line, in heights of letters."""
SMALL_MM = 3.5
SMALL_WIDE_MM = 16.0
"""Letters below a slot, and about how wide a figure of them is."""
CLEAR_MM = 12.0
"""From the lowest line to the first text."""
PLACE_MM = 1e-4
"""Coordinates are written to 1e-6 mm."""
SAME_SHARE = 2e-5
"""Of a part's volume: arcs are followed in chords on the way to it."""
SAME_MM3 = 5.0
"""Depths stand in layers' names to 0.001 mm: over a face of 1 m2 with a trench of 50 cm2 that is 5 mm3."""


def write(job: Job) -> dict[str, bytes]:
    """`cut/<part>_<face>.dxf` and `cut/fit-test.dxf`."""
    files: dict[str, bytes] = {}
    for parts in job.design.kinds.values():
        faces = faces_of(job, parts[0])
        about = _about(job, parts, faces)
        for face in faces:
            files[path_of(job, face)] = dxf(_lines(face, info(face, about)))
    trials = fit_test(job.design, _cutters(job.design))
    if trials:
        files[FIT_TEST] = dxf(_trial_lines(trials, job.failed))
    return files


def faces_of(job: Job, part: Part) -> tuple[CutFace, ...]:
    """The worked faces of a distinct part, in the order in which they are cut."""
    return cut_part(part, _cutters(job.design))


def path_of(job: Job, face: CutFace) -> str:
    """The file of a face."""
    return f"cut/{job.file_names[face.part.name]}_{slug(face.name, 'face')}.dxf"


def units_of(design: Design) -> Units:
    """The spec's units."""
    return "in" if design.units == "in" else "mm"


def _cutters(design: Design) -> tuple[Cutter, ...]:
    return cutters(units_of(design))


def _about(job: Job, parts: tuple[Part, ...], faces: tuple[CutFace, ...]) -> About:
    first = parts[0]
    other = first.hand_key
    opposite = () if other == first.shape_key else tuple(visible(p.name) for p in job.design.parts if p.shape_key == other)
    files = [path_of(job, face).rpartition("/")[2] for face in faces]
    return About(visible(job.design.piece), units_of(job.design), parts, opposite, hangs_on(job.design, parts), job.failed, files)


def _lines(face: CutFace, said: list[str]) -> Lines:
    made = Lines()
    for operation in face.operations:
        _draw(made, operation)
    made.layers.setdefault(INFO, COLOURS[INFO])
    if not face.outlined:
        (x0, y0), (x1, y1) = face.low, face.high
        made.rings.append((INFO, (Vertex(x0, y0), Vertex(x1, y0), Vertex(x1, y1), Vertex(x0, y1))))
    for remark in face.remarks:
        made.rings += [(INFO, ring) for ring in remark.rings]
        made.lines += [(INFO, a, b) for a, b in remark.lines]
    low, _ = made.box
    height = round(min(TEXT_MM[1], max(TEXT_MM[0], (face.high[0] - face.low[0]) / 100)), 1)
    left, below = face.low[0], min(low[1], face.low[1]) - CLEAR_MM - height
    made.texts = [(INFO, (left, below - LINE * height * n), height, visible(text)) for n, text in enumerate(said)]
    return made


def _draw(made: Lines, operation: Cleared | Drilled | Relieved) -> None:
    name = layer(operation)
    made.layers.setdefault(name, COLOURS[name.partition("_")[0]])
    match operation:
        case Cleared():
            made.rings += [(name, ring) for ring in operation.rings]
        case Drilled():
            made.circles.append((name, operation.at, operation.diameter_mm / 2))
        case Relieved():
            made.circles.append((name, operation.at, operation.radius_mm))
        case _:
            assert_never(operation)


def _trial_lines(trials: tuple[Trial, ...], failed: bool) -> Lines:
    made = Lines()
    texts: list[tuple[str, Vec2, float, str]] = []
    for trial in trials:
        for operation in trial.operations:
            _draw(made, operation)
        below = min(v.y for one in trial.operations for ring in one.rings for v in ring) - SMALL_MM - 2.0
        for slot in trial.slots:
            x = slot.at[0] - SMALL_WIDE_MM / 2
            texts.append((INFO, (x, below), SMALL_MM, figure(slot.width_mm)))
            texts.append((INFO, (x, below - 1.6 * SMALL_MM), SMALL_MM, f"{slot.clearance_mm:+.2f}"))
        said = f"Offcut of {visible(trial.receiver.name)}, slots for {visible(trial.member.name)} of {figure(trial.member.thickness_mm)} mm"
        said += f": width, and play about it; the middle one is as drawn ({trial.fit} fit). mm."
        texts.append((INFO, (trial.low[0], below - 4.0 * SMALL_MM), SMALL_MM, said))
    if failed:
        texts.append((INFO, (trials[-1].low[0], texts[-1][1][1] - 2.0 * SMALL_MM), SMALL_MM, FAILED))
    made.layers.setdefault(INFO, COLOURS[INFO])
    made.texts = texts
    return made


def verify(job: Job, files: Mapping[str, bytes]) -> list[Finding]:
    """Reads every file back: sound, in mm, saying what it must; and the solid that the files of a part leave is the part's."""
    found: list[Finding] = []
    for parts in job.design.kinds.values():
        faces = faces_of(job, parts[0])
        paths = [path_of(job, face) for face in faces]
        missing = [path for path in paths if path not in files]
        found += [differs(path, "the file is missing", parts[0].name) for path in missing]
        if missing:
            continue
        known = {path: read(files[path]) for path in paths}
        wrong = [(path, what) for path in paths for what in _unsound(job, parts, known[path])]
        # What does not add up to the part may be wrong in any of its files, so none of them is kept.
        wrong = wrong or [(path, what) for what in _other_part(job, faces, known) for path in paths]
        found += [differs(path, what, parts[0].name) for path, what in wrong]
    trials = fit_test(job.design, _cutters(job.design))
    if bool(trials) != (FIT_TEST in files):
        found.append(differs(FIT_TEST, "the file is missing" if trials else "no fit asks for it"))
    elif trials:
        found += [differs(FIT_TEST, what) for what in _unfit(trials, read(files[FIT_TEST]))]
    return found


def _unsound(job: Job, parts: tuple[Part, ...], one: Read) -> Iterator[str]:
    yield from one.problems
    if not any(f"Make {len(parts)}." in text for text in one.texts):
        yield f"does not say that {len(parts)} are to be made"
    if job.failed and not any(FAILED in text for text in one.texts):
        yield "does not say that the dry fit failed"


def _other_part(job: Job, faces: tuple[CutFace, ...], known: Mapping[str, Read]) -> Iterator[str]:
    """What differs between the part and what its files leave of a blank."""
    part = faces[0].part
    told = [remark for face in faces for remark in face.remarks if remark.missing]
    left_out = {remark.feature for remark in told}
    for feature in part.features:
        shape = feature.geometry
        if not isinstance(shape, Hole) or math.hypot(*shape.slot) > 0 or told:
            continue
        if not any(_holds(known[path_of(job, face)], face, shape) for face in faces):
            yield f"has no hole for {feature.about.id}"
    read_back = tuple((face.side, known[path_of(job, face)]) for face in faces)
    left = rebuilt_mm3(read_back, (part.length_mm, part.width_mm, part.thickness_mm))
    meant = job.fit.shapes[job.fit.shape_of[part.name]].volume_mm3
    if told:
        # No solid was measured without what is told and not cut; its volume is worked out from the other features.
        meant = union_volume_mm3(replace(part, features=tuple(f for f in part.features if f.about.id not in left_out)))
    off = left - meant
    if off < -_room(meant) or (off > _room(meant) and "" not in left_out):
        yield f"what its lines leave has {left:.1f} mm3 and not {meant:.1f}"


def _room(volume_mm3: float) -> float:
    return SAME_MM3 + SAME_SHARE * volume_mm3


def _holds(one: Read, face: CutFace, hole: Hole) -> bool:
    """Whether a file has a circle for every plain step of a hole that is square to its face."""
    frame = hole.datum.frame
    if dot(frame.vector(hole.axis), face.side.towards) > -1 + 1e-9:
        return False
    p = frame.point((*hole.point, 0.0))
    at = (dot(face.side.right, p), dot(face.side.up, p))
    here = [c for c in one.circles if c.meaning.kind == "HOLE" and math.dist(c.at, at) < PLACE_MM]
    return all(any(abs(2 * c.radius_mm - step.diameter_mm) < PLACE_MM for c in here) for step in hole.steps if not step.cone_deg)


def _unfit(trials: tuple[Trial, ...], one: Read) -> Iterator[str]:
    yield from one.problems
    meant = sorted(slot.width_mm for trial in trials for slot in trial.slots)
    slots = [ring.outline for ring in one.rings if ring.meaning.kind == "TRENCH"]
    drawn = sorted(max(v.x for v in ring) - min(v.x for v in ring) for ring in slots)
    if len(drawn) != len(meant) or any(abs(a - b) > PLACE_MM for a, b in zip(drawn, meant, strict=True)):
        yield "its slots are not as wide as they should be"
