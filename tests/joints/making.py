"""Small cases for the tests of joints: a panel between two uprights, compiled and measured."""

from __future__ import annotations

from math import pi

from build123.kernel.store import Store
from build123.model.part import Part
from build123.pipeline import Compiled, compile_text

STORE = Store()


def case(
    joints: str,
    *,
    shelf: str = "z: from 100",
    parts: str = "",
    units: str = "mm",
    more: str = "",
    thickness: str = "18",
    depth: str = "200",
) -> Compiled:
    """Two 18 mm sides 300 high and 200 deep, 500 over all, with a shelf between them."""
    return compile_text(
        f"""\
build123: 1
piece: Case
units: {units}
sizes: {{width: 500 mm, depth: {depth} mm, height: 300 mm}}
stock:
  ply: {{sheet: birch plywood, thickness: {thickness} mm}}
  thin: {{sheet: birch plywood, thickness: 6 mm}}
parts:
  side: {{pair: left and right, stock: ply, x: from 0, y: 0 to depth, z: 0 to height}}
  shelf: {{stock: ply, x: left side to right side, y: 0 to depth, {shelf}}}
{parts}
joints:
{joints}
{more}
""",
        STORE,
    )


def part(made: Compiled, name: str) -> Part:
    assert made.design is not None, [(f.id, f.message) for f in made.findings]
    return made.design.by_name[name]


def volume(made: Compiled, name: str) -> float:
    """Volume of the solid, mm3, as the kernel measures it."""
    assert made.fit is not None, [(f.id, f.message) for f in made.findings]
    return made.fit.shapes[made.fit.shape_of[name]].volume_mm3


def cylinder(diameter: float, depth: float) -> float:
    return pi / 4 * diameter**2 * depth
