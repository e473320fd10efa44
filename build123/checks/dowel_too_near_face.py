"""Too little wood between a dowel's hole and the face beside it or beyond its bottom.

Why
    A dowel swells with the glue. With less wood beside it than about its own radius, or less than 3/16 in beyond the
    bottom, the face bulges, splits or shows the point of the bit.
    Source: DOWEL-EDGE (machine maker author), HOLE-FLOOR (common practice, from memory)

Change
    Take a thinner dowel (a third to a half of the thickness), move the row to the centre line, or drill less deep.

Bad
    build123: 1
    piece: Plinth
    units: mm
    sizes: {width: 400, depth: 200, height: 80}
    stock:
      pine: {board: ponderosa pine, thickness: 15}
    parts:
      cheek: {pair: left and right, stock: pine, x: from 0, y: 0 to depth, z: 0 to height}
      front: {stock: pine, x: left cheek to right cheek, y: from 0, z: 0 to height}
    joints:
      - dowels: {of: front, to: cheek, count: 2, diameter: 10, length: 35}

Good
    build123: 1
    piece: Plinth
    units: in
    sizes: {width: 16, depth: 8, height: 4}
    stock:
      ply: {sheet: birch plywood, thickness: 23/32}
    parts:
      cheek: {pair: left and right, stock: ply, x: from 0, y: 0 to depth, z: 0 to height}
      front: {stock: ply, x: left cheek to right cheek, y: from 0, z: 0 to height}
    joints:
      - dowels: {of: front, to: cheek, count: 2, diameter: 3/8, length: 1 1/2}
"""

from __future__ import annotations

from collections.abc import Iterator

from typing_extensions import assert_never

from build123.checks.bores import axis_of, expected_bores
from build123.checks.registry import check
from build123.checks.seen import MEASURED_MM, Seen
from build123.checks.wording import all_alike, face_towards, finding
from build123.model.frame import Vec, dot, scale, sub
from build123.model.measured import Bore, BoreWall
from build123.model.part import Part
from build123.problem import Finding, Severity
from build123.trade.tables import rules


@check(severity=Severity.warning)
def find(seen: Seen) -> Iterator[Finding]:
    """The worst dowel hole of each distinct shape, beside and beyond: a note, or a warning where it is bound to show."""
    for facts, parts in seen.shapes:
        part = parts[0]
        holes = expected_bores(seen, part, facts)
        for kind in ("beside", "beyond"):
            walls = [wall for wall in facts.bore_walls if wall.bore in holes and wall.kind == kind and wall.wall_mm > 0]
            judged = [(wall.wall_mm - _limits(part, facts.bores[wall.bore], wall)[0], n) for n, wall in enumerate(walls)]
            if not judged or min(judged)[0] >= -MEASURED_MM:
                continue
            wall = walls[min(judged)[1]]
            bore = facts.bores[wall.bore]
            usual, least, source = _limits(part, bore, wall)
            hole = ("" if kind == "beside" else "the bottom of ") + f"a hole of {seen.show(2 * bore.radius_mm)}"
            yield finding(
                __name__,
                Severity.warning if wall.wall_mm < least - MEASURED_MM else Severity.note,
                f"{seen.show(wall.wall_mm)} of wood is left between {hole} and the "
                f"{face_towards(part, _towards(bore, wall))} of {all_alike(parts)}; {seen.show(usual)} is usual",
                seen,
                parts=[one.name for one in parts],
                at=part.placement.point(wall.at),
                numbers={"wall_mm": wall.wall_mm, "usual_mm": usual, "diameter_mm": 2 * bore.radius_mm},
                source=source,
            )


def _towards(bore: Bore, wall: BoreWall) -> Vec:
    """From the axis of a bore square to the wall beside it, or along the axis to the one beyond."""
    axis = axis_of(bore)
    if wall.kind == "beyond":
        return axis
    out = sub(wall.at, bore.base)
    return sub(out, scale(axis, dot(out, axis)))


def _limits(part: Part, bore: Bore, wall: BoreWall) -> tuple[float, float, str]:
    """What is usually left, what makes less a warning (mm), and the source. Judged on the stock's nominal thickness."""
    missing = max(0.0, part.stock.judged_mm - part.thickness_mm)
    through_face = abs(axis_of(bore)[2]) > 0.5
    match wall.kind:
        case "beside":
            rule, thin = rules()["DOWEL-EDGE"], rules()["DOWEL-EDGE-THIN"]
            hair = 0.0 if through_face else missing / 2
            return rule.least * 2 * bore.radius_mm - hair, thin.least * 2 * bore.radius_mm - hair, rule.cited
        case "beyond":
            rule = rules()["HOLE-FLOOR"]
            return rule.least - (missing if through_face else 0.0), rules()["WEB-LEAST"].least, rule.cited
        case _:
            assert_never(wall.kind)
