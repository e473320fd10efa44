"""Parts and a job written by hand, for what no spec would say."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from build123.exports.job import Job, name_files
from build123.kernel import Store
from build123.model.design import Design
from build123.model.frame import Box, Frame
from build123.model.measured import DryFit, ShapeFacts
from build123.model.part import Part, Stock
from build123.problem import Finding

PLY = Stock("ply", "sheet", "birch plywood", 18.0, density_kg_m3=680.0)


def board(name: str, length: float = 300.0, key: str = "", hand: str = "", stock: Stock = PLY) -> Part:
    """A board 200 wide; `key` and `hand` are the shape keys of it and of its mirror image."""
    key = key or f"board {length}"
    return Part(name, stock, Frame(), length, 200.0, stock.thickness_mm, (), {"+z": "top"}, "+z", key, hand or key)


def job(*parts: Part, units: str = "mm", findings: tuple[Finding, ...] = ()) -> Job:
    """The parts as a piece of their own, measured to be as large as they say."""
    stocks = tuple({part.stock.name: part.stock for part in parts}.values())
    design = Design("Tray", "tray", units, parts, stocks=stocks)
    shapes = {}
    for part in parts:
        size = (part.length_mm, part.width_mm, part.thickness_mm)
        volume = size[0] * size[1] * size[2]
        shapes[part.shape_key] = ShapeFacts(part.shape_key, volume, 0.0, Box((0.0, 0.0, 0.0), size), 1, True, volume)
    fit = DryFit(shapes, {part.name: part.shape_key for part in parts}, (), (), ())
    return Job(design, fit, Store(), findings, name_files(design), Path("nowhere"), {})


def measured_as(given: Job, key: str, *size: float) -> Job:
    """The same with another measured box for one shape."""
    facts = replace(given.fit.shapes[key], box=Box((0.0, 0.0, 0.0), (size[0], size[1], size[2])))
    return replace(given, fit=replace(given.fit, shapes={**given.fit.shapes, key: facts}))
