"""A small piece made by hand for the model files: two equal sides, a shelf with a groove, a dowel, in nested assemblies."""

from __future__ import annotations

from pathlib import Path

from build123.exports.job import Job, name_files
from build123.kernel import Store
from build123.kernel.dryfit import dry_fit
from build123.model.design import Design
from build123.model.feature import About, Datum, Feature, Geometry, Hole, HoleStep, Purpose, Trench
from build123.model.frame import Frame
from build123.model.part import Hardware, Part, Rod, Stock

PLY = Stock("ply", "sheet", "birch plywood", 18.0, colour=(0.8, 0.65, 0.45))
TOP = Datum(Frame((0.0, 0.0, 18.0)), "+z")
DADO = Trench(TOP, (100, 0), (100, 200), 18, 6)
HOLES = tuple(Hole(TOP, (300 + 32.0 * n, 37), (HoleStep(5, 10),)) for n in range(3))
GROOVE = Trench(TOP, (0, 190), (264, 190), 6, 8)
NAMES = ("left side", 'right "side" <b>', "Böden, 日本 😀 'x' \\ 2", "dowel 1")


def _part(name: str, length: float, placement: Frame, path: tuple[str, ...], *geometry: Geometry) -> Part:
    features = tuple(Feature(g, About(f"feature {n}", "cut", Purpose.shape)) for n, g in enumerate(geometry))
    key = repr((length, geometry))
    return Part(name, PLY, placement, length, 200.0, 18.0, features, {"+z": "top"}, "+z", key, key, path=path)


def small_piece() -> Design:
    upright = ((0, 0, 1), (0, 1, 0), (-1, 0, 0))
    parts = (
        _part(NAMES[0], 500.0, Frame((18, 0, 0), *upright), ("case",), DADO, *HOLES),
        _part(NAMES[1], 500.0, Frame((300, 0, 0), *upright), ("case",), DADO, *HOLES),
        _part(NAMES[2], 264.0, Frame((12, 0, 91)), ("case", "inner"), GROOVE),
    )
    rod = Hardware(NAMES[3], "dowel 8 x 40", Rod(8, 40), Frame((100, 100, 300), (0, 1, 0), (0, 0, 1), (1, 0, 0)))
    return Design("Kästchen 'A'", "kaestchen-a", "mm", parts, (rod,), stocks=(PLY,))


def small_job(scratch: Path) -> Job:
    design, store = small_piece(), Store()
    meshes = {body.shape_key: store.mesh(body) for body in (*design.parts, *design.hardware)}
    return Job(design, dry_fit(design, store), store, (), name_files(design), scratch, meshes)
