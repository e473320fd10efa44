"""A seed tray made by hand (two sides, a shelf in dados), and measurements written by hand."""

from __future__ import annotations

from dataclasses import replace

from build123.checks.run import run
from build123.checks.seen import Seen
from build123.model.design import Design, Expect, ExpectKind, Joint
from build123.model.feature import About, Datum, Feature, Geometry, Hole, HoleStep, Purpose, Trench
from build123.model.frame import Box, Frame, Vec
from build123.model.measured import Bore, BoreGap, BoreWall, DryFit, FaceGap, Overlap, ShapeFacts, Web
from build123.model.part import Part, Stock
from build123.problem import Finding

PLY = Stock("ply", "sheet", "birch plywood", 18.0)
SHOP_PLY = Stock("ply", "sheet", "birch plywood", 23 / 32 * 25.4, nominal_mm=19.05)
"""Sold as 3/4 in, measures 23/32 in."""
DEPTH_MM, HIGH_MM, WIDE_MM = 200.0, 300.0, 400.0


def cut(geometry: Geometry, joint: str = "", label: str = "dado", id: str = "") -> Feature:
    return Feature(geometry, About(id or f"{joint}/{label}", label, Purpose.housing, joint=joint))


def across(part_mm: float, at: float, width: float, depth: float, board_mm: float = DEPTH_MM, below: bool = False, **more: bool) -> Trench:
    """A dado from edge to edge, on the worked face or on the one below."""
    if below:
        return Trench(Datum(Frame((0, 0, 0), (1, 0, 0), (0, -1, 0), (0, 0, -1)), "-z"), (at, 0), (at, -board_mm), width, depth, **more)
    return Trench(Datum(Frame((0, 0, part_mm)), "+z"), (at, 0), (at, board_mm), width, depth, **more)


def drilled(x: float, y: float, diameter: float, depth: float, thick: float = 18.0, through: bool = False) -> Hole:
    return Hole(Datum(Frame((0, 0, thick)), "+z"), (x, y), (HoleStep(diameter, depth),), through=through)


def part(name: str, placement: Frame, size: Vec, *features: Feature, stock: Stock = PLY, **more: object) -> Part:
    looks = {"+z": "top", "-z": "bottom", "+x": "right", "-x": "left", "+y": "back", "-y": "front"}
    key = f"{size} {[f.geometry for f in features]}"
    return Part(name, stock, placement, *size, tuple(features), looks, "+z", key, key, **more)  # type: ignore[arg-type]


LEFT = Frame((0, DEPTH_MM, 0), (0, 0, 1), (0, -1, 0), (1, 0, 0))
RIGHT = Frame((WIDE_MM, 0, 0), (0, 0, 1), (0, 1, 0), (-1, 0, 0))
FLAT = Frame((12, 0, 100))


def tray(width: float = 18.1, depth: float = 6.0, low: float = 0.05, high: float = 0.25, fit: str = "slip") -> Design:
    """Sides 18 thick with dados about a shelf at z = 100..118 that goes `depth` into each."""
    dado = across(18.0, 109.0, width, depth)
    sides = [
        part(f"{word} side", frame, (HIGH_MM, DEPTH_MM, 18.0), cut(dado, f"dado: shelf in {word} side"))
        for word, frame in (("left", LEFT), ("right", RIGHT))
    ]
    shelf = part("shelf", replace(FLAT, origin=(18 - depth, 0, 100)), (WIDE_MM - 36 + 2 * depth, DEPTH_MM, 18.0))
    joints = tuple(dado_joint("shelf", f"{word} side", out, depth, low, high, fit) for word, out in (("left", -1.0), ("right", 1.0)))
    return Design(
        "Seed tray", "seed-tray", "mm", (*sides, shelf), joints=joints, stocks=(PLY,), groups={"side": ("left side", "right side")}
    )


def dado_joint(member: str, receiver: str, out: float, depth: float, low: float, high: float, fit: str) -> Joint:
    face, floor = (18.0, 18.0 - depth) if out < 0 else (WIDE_MM - 18.0, WIDE_MM - 18.0 + depth)
    near = Box((min(face, floor), 0, 100), (max(face, floor), DEPTH_MM, 118)).grown(0.5)
    walls = Expect(
        ExpectKind.clearance, member, receiver, (0, 0, 1), near, low, high, (low + high) / 2, "between the walls of the dado", fit
    )
    seat = Expect(ExpectKind.seat, member, receiver, (out, 0, 0), near, -0.01, 0.01, 0.0, "on the floor of the dado", glued=True)
    return Joint(f"dado: {member} in {receiver}", "dado", member, receiver, (-out, 0, 0), (walls, seat))


def face(a: str, b: str, normal: Vec, gap: float, low: Vec, high: Vec, area: float | None = None) -> FaceGap:
    box = Box(low, high)
    x, y, z = box.size
    return FaceGap(a, b, normal, gap, max(x * y, y * z, z * x) if area is None else area, box.middle, box)


def fitted(below: float = 0.05, above: float = 0.05, floor: float = 0.0, side: str = "left side") -> list[FaceGap]:
    """The three contacts of the shelf in one side's dado."""
    out = -1.0 if side == "left side" else 1.0
    near, far = (12.0, 18.0) if out < 0 else (WIDE_MM - 18.0, WIDE_MM - 12.0)
    end = near if out < 0 else far
    return [
        face("shelf", side, (0, 0, -1), below, (near, 0, 100), (far, DEPTH_MM, 100)),
        face("shelf", side, (0, 0, 1), above, (near, 0, 118), (far, DEPTH_MM, 118)),
        face("shelf", side, (out, 0, 0), floor, (end, 0, 100), (end, DEPTH_MM, 118)),
    ]


def facts_of(one: Part, **more: object) -> ShapeFacts:
    size = (one.length_mm, one.width_mm, one.thickness_mm)
    volume = one.length_mm * one.width_mm * one.thickness_mm
    plain = ShapeFacts(one.shape_key, volume, 1.0, Box((0, 0, 0), size), 1, True, volume)
    return replace(plain, **more)  # type: ignore[arg-type]


def measured(
    design: Design,
    gaps: list[FaceGap] | None = None,
    bores: list[BoreGap] | None = None,
    overlaps: list[Overlap] | None = None,
    facts: dict[str, ShapeFacts] | None = None,
) -> Seen:
    """What a dry fit would say; a part whose facts are not given is whole and unspoilt."""
    given = facts or {}
    shapes = {one.name: given.get(one.name, facts_of(one)) for one in design.parts}
    shapes = {name: replace(found, key=found.key if name not in given else f"{found.key} of {name}") for name, found in shapes.items()}
    return Seen(
        design,
        DryFit(
            {found.key: found for found in shapes.values()},
            {name: found.key for name, found in shapes.items()},
            tuple([*fitted(), *fitted(side="right side")] if gaps is None else gaps),
            tuple(bores or ()),
            tuple(overlaps or ()),
        ),
    )


def found(seen: Seen, id: str = "") -> list[Finding]:
    """Findings of all checks, or of one."""
    return [one for one in run(seen) if not id or one.id == id]


__all__ = ["Bore", "BoreGap", "BoreWall", "Box", "Overlap", "Web"]
