"""What one would write without this program: plain CadQuery, feature by feature, every pair intersected, then exported.

Run by `compare.py` in a process of its own: python tests/bench/plain.py SPEC OUT
"""

from __future__ import annotations

import itertools
import json
import math
import sys
import time
from pathlib import Path

import cadquery as cq

from build123.model.feature import Hole, Pocket, Trench, Trim
from build123.model.frame import Frame
from build123.model.part import Part
from build123.pipeline import compile_file


def location(frame: Frame) -> cq.Location:
    return cq.Location(cq.Plane(origin=frame.origin, xDir=frame.x, normal=frame.z))


def solid(part: Part) -> cq.Workplane:
    """One boolean for each feature, as a script grows when it is written by hand."""
    past = 2.0
    made = cq.Workplane().box(part.length_mm, part.width_mm, part.thickness_mm, centered=False)
    for feature in part.features:
        g = feature.geometry
        if isinstance(g, Trench):
            (x0, y0), (x1, y1) = g.start, g.end
            length, turn = math.dist(g.start, g.end), math.degrees(math.atan2(y1 - y0, x1 - x0))
            low = past if g.start_end.kind.value == "open" else 0.0
            high = past if g.end_end.kind.value == "open" else 0.0
            right, left = (past if g.open_right else 0.0), (past if g.open_left else 0.0)
            tool = cq.Workplane().box(length + low + high, g.width_mm + left + right, g.depth_mm + past, centered=False)
            tool = tool.translate((-low, -g.width_mm / 2 - right, -g.depth_mm)).rotate((0, 0, 0), (0, 0, 1), turn).translate((x0, y0, 0))
        elif isinstance(g, Hole):
            step = g.steps[0]
            tool = cq.Workplane().circle(step.diameter_mm / 2).extrude(-step.depth_mm).translate((*g.point, 0))
        elif isinstance(g, Pocket):
            deep = g.depth_mm if g.depth_mm is not None else part.thickness_mm + past
            tool = cq.Workplane().polyline([(v.x, v.y) for v in g.outline]).close().extrude(-deep - past).translate((0, 0, past))
        elif isinstance(g, Trim):
            raise SystemExit("the plain script knows no trims")
        else:
            continue
        made = made.cut(cq.Workplane(obj=tool.val().moved(location(g.datum.frame))))
    return made


def main(spec: Path, out: Path) -> None:
    laps: dict[str, float] = {}
    design = compile_file(spec, dry=False)[0].design
    assert design is not None
    start = time.perf_counter()
    made = [(part, solid(part).val()) for part in design.parts]
    laps["solids"] = time.perf_counter() - start
    start = time.perf_counter()
    placed = [(part.name, shape.moved(location(part.placement))) for part, shape in made]
    worst = 0.0
    for (_, a), (_, b) in itertools.combinations(placed, 2):
        worst = max(worst, a.intersect(b).Volume())
    laps["all pairs"] = time.perf_counter() - start
    start = time.perf_counter()
    assembly = cq.Assembly(name="piece")
    for name, shape in placed:
        assembly.add(shape, name=name)
    assembly.export(str(out / "plain.step"))
    assembly.export(str(out / "plain.glb"))
    for part, shape in made:
        stem = part.name.replace(" ", "-")
        cq.exporters.export(cq.Workplane(obj=shape), str(out / f"{stem}.step"))
        cq.exporters.export(cq.Workplane(obj=shape), str(out / f"{stem}.stl"))
    laps["files"] = time.perf_counter() - start
    print(json.dumps({"parts": len(placed), "worst overlap": worst, **laps}))


if __name__ == "__main__":
    main(Path(sys.argv[1]), Path(sys.argv[2]))
