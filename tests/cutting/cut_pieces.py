"""The gallery's pieces with their cut files, and parts by hand."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from build123.cutting.operation import CutFace
from build123.exports import cut
from build123.exports.job import Job, name_files
from build123.kernel import Store
from build123.model.design import Design
from build123.model.feature import About, Datum, Feature, Geometry, Purpose
from build123.model.frame import Box, Frame
from build123.model.measured import DryFit, ShapeFacts
from build123.model.part import Part, Stock
from build123.pipeline import compile_file
from build123.problem import Finding

SPECS = Path(__file__).resolve().parents[2] / "specs"
GALLERY = ("wall-rack", "seed-cabinet", "cubby-bench", "wall-unit", "potting-bench", "cupboard-door", "tool-cupboard")


@dataclass(frozen=True)
class Cut:
    """A piece, its job, and its files by path."""

    job: Job
    files: Mapping[str, bytes]

    def faces(self, part: Part) -> dict[str, tuple[CutFace, bytes]]:
        """A part's faces with their files, by where they look to on the bench."""
        return {face.side.surface: (face, self.files[cut.path_of(self.job, face)]) for face in cut.faces_of(self.job, part)}

    def volume(self, part: Part) -> float:
        """As the kernel measures it on the solid."""
        return self.job.fit.shapes[self.job.fit.shape_of[part.name]].volume_mm3


@cache
def gallery_piece(name: str, store: Store) -> Cut:
    (made,) = compile_file(SPECS / f"{name}.yaml", store=store)
    assert made.design is not None and made.fit is not None and not made.failed
    job = Job(made.design, made.fit, store, made.findings, name_files(made.design), Path("nowhere"), {})
    return Cut(job, cut.write(job))


PLY = Stock("ply", "sheet", "birch plywood", 18.0)
LOOKS = {"+x": "right", "-x": "left", "-y": "front", "+y": "back", "+z": "top", "-z": "bottom"}
TOP = Datum(Frame((0.0, 0.0, 18.0)), "+z")
UNDER = Datum(Frame((0, 0, 0), (1, 0, 0), (0, -1, 0), (0, 0, -1)), "-z")
LEFT_END = Datum(Frame((0, 0, 0), (0, -1, 0), (0, 0, 1), (-1, 0, 0)), "-x")
FRONT_EDGE = Datum(Frame((0, 0, 0), (1, 0, 0), (0, 0, 1), (0, -1, 0)), "-y")


def right_end(length: float) -> Datum:
    return Datum(Frame((length, 0, 0), (0, 1, 0), (0, 0, 1), (1, 0, 0)), "+x")


def back_edge(width: float) -> Datum:
    return Datum(Frame((0, width, 0), (-1, 0, 0), (0, 0, 1), (0, 1, 0)), "+y")


def board(
    *geometry: Geometry, length: float = 400.0, width: float = 200.0, name: str = "board", purpose: Purpose = Purpose.housing
) -> Part:
    """18 mm thick."""
    features = tuple(Feature(g, About(f"{type(g).__name__.lower()} {n}", "cut", purpose)) for n, g in enumerate(geometry))
    key = repr((length, width, geometry))
    return Part(name, PLY, Frame(), length, width, 18.0, features, LOOKS, "-z", key, key)


def job_of(*parts: Part, units: str = "mm", findings: tuple[Finding, ...] = (), store: Store | None = None) -> Job:
    """Parts as a piece; their solids are measured where a store is given, else their blanks are taken."""
    design = Design("Tray", "tray", units, parts, stocks=(PLY,))
    shapes = {}
    for part in parts:
        size = (part.length_mm, part.width_mm, part.thickness_mm)
        volume = size[0] * size[1] * size[2] if store is None else float(store.shape(part).Volume())
        shapes[part.shape_key] = ShapeFacts(part.shape_key, volume, 0.0, Box((0.0, 0.0, 0.0), size), 1, True, volume)
    fit = DryFit(shapes, {part.name: part.shape_key for part in parts}, (), (), ())
    return Job(design, fit, store or Store(), findings, name_files(design), Path("nowhere"), {})


def cut_of(*parts: Part, **more) -> Cut:
    job = job_of(*parts, **more)
    return Cut(job, cut.write(job))
