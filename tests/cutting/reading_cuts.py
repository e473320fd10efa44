"""Cut files read by two libraries that are not ours, into one plain form; and the wood that such lines leave.

Nothing of the project is used here: layers are taken apart by what the README says of them.
"""

from __future__ import annotations

import io
import json
import math
import os
import re
import shutil
import subprocess
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import ezdxf
import manifold3d
import numpy as np
import pytest
import shapely

SCRIPT = """
const Parser = require(process.argv[1] + '/dxf-parser'), texts = JSON.parse(require('fs').readFileSync(0, 'utf8'));
const found = texts.map(text => { const d = new Parser().parseSync(text); return {header: d.header, entities: d.entities}; });
console.log(JSON.stringify(found));
"""
STEP = math.radians(1.0)


@dataclass(frozen=True)
class Entity:
    """`points` are (x, y, bulge) of a closed line, (x, y) and a radius of a circle, the two ends of a line, the place of a text."""

    kind: str
    layer: str
    points: tuple[tuple[float, float, float], ...]
    text: str = ""


@dataclass(frozen=True)
class Dxf:
    units: int
    measurement: int
    entities: tuple[Entity, ...]

    @property
    def cut(self) -> tuple[Entity, ...]:
        return tuple(one for one in self.entities if one.layer != "INFO")

    @property
    def said(self) -> list[str]:
        return [one.text for one in self.entities if one.text]

    def on(self, start: str) -> list[Entity]:
        return [one for one in self.entities if one.layer.startswith(start)]


def _n(value: float) -> float:
    return round(value, 6) + 0.0


@lru_cache(256)
def by_ezdxf(data: bytes) -> Dxf:
    document = ezdxf.read(io.StringIO(data.decode("cp1252")))
    audit = document.audit()
    assert not audit.errors and not audit.fixes, [e.message for e in (*audit.errors, *audit.fixes)]
    assert document.dxfversion == "AC1015"
    found = []
    for one in document.modelspace():
        kind, layer = one.dxftype(), one.dxf.layer
        if kind == "LWPOLYLINE":
            assert one.closed, f"an open line on {layer}"
            points: Any = [(_n(x), _n(y), _n(b)) for x, y, b in one.get_points("xyb")]
        elif kind == "CIRCLE":
            points = [(_n(one.dxf.center.x), _n(one.dxf.center.y), _n(one.dxf.radius))]
        elif kind == "LINE":
            points = [(_n(p.x), _n(p.y), 0.0) for p in (one.dxf.start, one.dxf.end)]
        else:
            assert kind == "TEXT", kind
            points = [(_n(one.dxf.insert.x), _n(one.dxf.insert.y), _n(one.dxf.height))]
        found.append(Entity(kind, layer, tuple(points), one.dxf.text if kind == "TEXT" else ""))
    return Dxf(document.header["$INSUNITS"], document.header["$MEASUREMENT"], tuple(found))


def by_parser(files: Sequence[bytes]) -> list[Dxf]:
    """Through dxf-parser of npm, all in one process; skipped where that is not installed."""
    modules, node = os.environ.get("BUILD123_NODE_MODULES"), shutil.which("node")
    if not modules or not node:
        assert not os.environ.get("BUILD123_REQUIRE_VALIDATORS"), "CI must install dxf-parser"
        pytest.skip("needs node, and dxf-parser from npm in $BUILD123_NODE_MODULES")
    texts = json.dumps([data.decode("cp1252") for data in files])
    done = subprocess.run([node, "-e", SCRIPT, modules], input=texts, capture_output=True, text=True, check=True, timeout=120)
    return [_parsed(one) for one in json.loads(done.stdout)]


def _parsed(document: Mapping[str, Any]) -> Dxf:
    found = []
    for one in document["entities"]:
        kind, layer, text = one["type"], one["layer"], ""
        if kind == "LWPOLYLINE":
            assert one["shape"] is True, f"an open line on {layer}"
            points: Any = [(_n(v["x"]), _n(v["y"]), _n(v.get("bulge", 0.0))) for v in one["vertices"]]
        elif kind == "CIRCLE":
            points = [(_n(one["center"]["x"]), _n(one["center"]["y"]), _n(one["radius"]))]
        elif kind == "LINE":
            points = [(_n(v["x"]), _n(v["y"]), 0.0) for v in one["vertices"]]
        else:
            assert kind == "TEXT", kind
            points, text = [(_n(one["startPoint"]["x"]), _n(one["startPoint"]["y"]), _n(one["textHeight"]))], one["text"]
        found.append(Entity(kind, layer, tuple(points), text))
    return Dxf(document["header"]["$INSUNITS"], document["header"]["$MEASUREMENT"], tuple(found))


CLEARED = re.compile(r"(OUTLINE|TRENCH|POCKET|RELIEF)_(THROUGH_)?(\d+\.\d+)")
HOLE = re.compile(r"HOLE_D(\d+\.\d+)_(?:Z(\d+\.\d+)|THROUGH)(?:_CONE(\d+\.\d+))?(?:_TIP(\d+\.\d+))?")


def polygon(points: Sequence[tuple[float, float, float]]) -> shapely.Polygon:
    """A closed line with its bulges in chords (bulge: tangent of a quarter of the arc's angle, DXF Reference)."""
    corners: list[tuple[float, float]] = []
    for (ax, ay, bulge), (bx, by, _) in zip(points, (*points[1:], points[0]), strict=True):
        corners.append((ax, ay))
        if bulge:
            off = (1 - bulge * bulge) / (4 * bulge)
            cx, cy = (ax + bx) / 2 - off * (by - ay), (ay + by) / 2 + off * (bx - ax)
            first, sweep, radius = math.atan2(ay - cy, ax - cx), 4 * math.atan(bulge), math.hypot(ax - cx, ay - cy)
            steps = max(2, math.ceil(abs(sweep) / STEP))
            angles = [first + sweep * n / steps for n in range(1, steps)]
            corners += [(cx + radius * math.cos(a), cy + radius * math.sin(a)) for a in angles]
    return shapely.Polygon(corners)


def even_odd(lines: Sequence[Entity]) -> Any:
    """The region that an odd number of a layer's lines goes round."""
    region: Any = shapely.Polygon()
    for line in lines:
        shape = polygon(line.points)
        assert shape.is_valid and shape.area > 0, line.layer
        region = region.symmetric_difference(shape)
    return region


VIEWS = {
    "+z": ((1, 0, 0), (0, 1, 0), (0, 0, 1)),
    "-z": ((-1, 0, 0), (0, 1, 0), (0, 0, -1)),
    "-x": ((0, -1, 0), (0, 0, 1), (-1, 0, 0)),
    "+x": ((0, 1, 0), (0, 0, 1), (1, 0, 0)),
    "-y": ((1, 0, 0), (0, 0, 1), (0, -1, 0)),
    "+y": ((-1, 0, 0), (0, 0, 1), (0, 1, 0)),
}
"""Right, up and towards the eye, on the bench: the part turned over end for end; on edge with the worked face on top."""


def left_mm3(faces: Mapping[str, Dxf], size: tuple[float, float, float]) -> float:
    """The volume of what the files leave of a blank, RELIEF not cut; faces by where they look to on the bench."""
    wood = manifold3d.Manifold.cube(list(size))
    cutters: list[Any] = []
    for surface, file in faces.items():
        towards = np.array(VIEWS[surface][2])
        deep = abs(float(towards @ np.array(size)))
        place = np.column_stack([*np.array(VIEWS[surface], dtype=float), towards * max(0.0, float(towards @ np.array(size)))])

        def extruded(region: Any, floor: float, place: Any = place) -> Any:
            rings = [np.array(ring.coords[:-1]) for part in shapely.get_parts(region) for ring in (part.exterior, *part.interiors)]
            body = manifold3d.CrossSection(rings, manifold3d.FillRule.EvenOdd).extrude(0.5 - floor)
            return body.translate([0.0, 0.0, floor]).transform(place)

        layers: dict[str, list[Entity]] = {}
        for one in file.cut:
            layers.setdefault(one.layer, []).append(one)
        for name, lines in layers.items():
            if found := CLEARED.fullmatch(name):
                if found[1] == "RELIEF":
                    continue
                floor = -deep - 0.5 if found[2] else -float(found[3])
                if found[1] == "OUTLINE":
                    wood = wood ^ extruded(even_odd(lines), floor)
                else:
                    cutters.append(extruded(even_odd(lines), floor))
                continue
            hole = HOLE.fullmatch(name)
            assert hole, f"nobody knows what {name} means"
            floor = -float(hole[2]) if hole[2] else -deep - 0.5
            for line in lines:
                (x, y, r), cone, tip = line.points[0], float(hole[3] or 0), float(hole[4] or 0)
                assert abs(2 * r - float(hole[1])) < 6e-4
                cutters += [body.translate([x, y, 0.0]).transform(place) for body in _hole(r, floor, cone, tip)]
    for taken in cutters:
        wood = wood - taken
    return float(wood.volume())


SIDES = 120
GROWN = math.sqrt((2 * math.pi / SIDES) / math.sin(2 * math.pi / SIDES))
"""A polygon of so many sides has the circle's area when its corners lie this much further out."""


def _hole(r: float, floor: float, cone_deg: float, tip_deg: float) -> list[Any]:
    r *= GROWN
    if cone_deg:
        deep = min(-floor, r / GROWN / math.tan(math.radians(cone_deg / 2)))
        least = max(1e-6, r - deep * math.tan(math.radians(cone_deg / 2)) * GROWN)
        return [manifold3d.Manifold.cylinder(deep, least, r, SIDES).translate([0.0, 0.0, -deep])]
    found = [manifold3d.Manifold.cylinder(-floor, r, r, SIDES).translate([0.0, 0.0, floor])]
    if tip_deg:
        high = r / GROWN / math.tan(math.radians(tip_deg / 2))
        found.append(manifold3d.Manifold.cylinder(high, 1e-6, r, SIDES).translate([0.0, 0.0, floor - high]))
    return found
