"""A seed tray of which something is cut already, and what is found in it."""

from __future__ import annotations

from compiling import trenches

from build123.kernel.store import Store
from build123.model.design import Design
from build123.pipeline import Compiled, compile_text

HEAD = """\
build123: 1
piece: Seed tray
units: mm
sizes: {width: 600, depth: 300, height: 400}
stock:
  ply: {sheet: birch plywood, thickness: 18}
  thin: {sheet: birch plywood, thickness: 6}
parts:
  side: {pair: left and right, stock: ply, x: from 0, y: 0 to depth, z: 0 to height}
"""
SHELF = "  shelf: {stock: ply, x: left side to right side, y: 0 to depth, z: [from 100, from 250]}\n"
SHORT = "  shelf: {stock: ply, x: left side to right side, y: 0 to depth - 20, z: [from 100, from 250]}\n"
RAIL = "  rail: {stock: ply, x: left side to right side, y: from 0, z: up to height for 80}\n"
DADO = "joints:\n  - dado: {of: shelf, in: side, depth: 6}\n"
STOPPED = "joints:\n  - dado: {of: shelf, in: side, depth: 6, stop: 10 from front}\n"
TONGUE = "joints:\n  - tongue: {of: shelf, in: side, depth: 6}\n"
DOWELS = "  - dowels: {of: rail, to: side, count: 2}\n"


def tray(as_cut: str, parts: str = SHELF, joints: str = DADO) -> str:
    lines = "".join(f"  {line.strip()}\n" for line in as_cut.split(";") if line)
    return HEAD + parts + joints + ("as cut:\n" + lines if lines else "")


def found(text: str, store: Store) -> tuple[Compiled, list[str]]:
    made = compile_text(text, store)
    return made, sorted(f"{f.id} {'/'.join(f.parts)}" for f in made.findings)


def message(made: Compiled, id: str) -> str:
    one = next(f for f in made.findings if f.id == id)
    return f"{one.message} | {one.change}"


def depths(made: Compiled | Design, name: str) -> list[float]:
    return sorted(t.depth_mm for t in trenches(made, name))
