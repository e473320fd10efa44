"""Features in the report: every number of the six kinds, in bench coordinates."""

from __future__ import annotations

from typing import Any

from typing_extensions import assert_never

from build123.exports.figures import direction, figure, figure_or_none, matrix, point
from build123.exports.report_reasons import Reasons
from build123.model.feature import Datum, Feature, Geometry, Hole, Mark, Outline, Pocket, Profile, Trench, TrenchEnd, Trim


def feature_data(feature: Feature, reasons: Reasons) -> dict[str, Any]:
    """One feature: what it is, its geometry under `geometry`, and the reasons of its numbers."""
    about = feature.about
    return {
        "id": about.id,
        "label": about.label,
        "purpose": about.purpose.value,
        "group": about.group,
        "joint": about.joint,
        "members": list(about.members),
        "reference": about.reference,
        "fit": about.fit,
        "stage": about.stage.value,
        "geometry": geometry_data(feature.geometry),
        "why": {name: reasons.index(why) for name, why in about.why.items()},
    }


def geometry_data(geometry: Geometry) -> dict[str, Any]:
    """The numbers of one feature; `kind` tells which they are."""
    match geometry:
        case Trim(plane=plane):
            return {"kind": "trim", "normal": direction(plane.normal), "offset_mm": figure(plane.offset)}
        case Trench():
            return {
                "kind": "trench",
                "datum": _datum(geometry.datum),
                "start": point(geometry.start),
                "end": point(geometry.end),
                "width_mm": figure(geometry.width_mm),
                "depth_mm": figure(geometry.depth_mm),
                "start_end": _end(geometry.start_end),
                "end_end": _end(geometry.end_end),
                "open_left": geometry.open_left,
                "open_right": geometry.open_right,
                "lean_deg": figure(geometry.lean_deg),
                "flare_deg": figure(geometry.flare_deg),
            }
        case Pocket():
            return {
                "kind": "pocket",
                "datum": _datum(geometry.datum),
                "outline": _outline(geometry.outline),
                "islands": [_outline(island) for island in geometry.islands],
                "depth_mm": figure_or_none(geometry.depth_mm),
                "far_outline": None if geometry.far_outline is None else _outline(geometry.far_outline),
            }
        case Hole():
            return {
                "kind": "hole",
                "datum": _datum(geometry.datum),
                "point": point(geometry.point),
                "axis": direction(geometry.axis),
                "steps": [
                    {"diameter_mm": figure(step.diameter_mm), "depth_mm": figure(step.depth_mm), "cone_deg": figure(step.cone_deg)}
                    for step in geometry.steps
                ],
                "through": geometry.through,
                "tip_deg": figure(geometry.tip_deg),
                "slot": point(geometry.slot),
            }
        case Profile():
            return {
                "kind": "profile",
                "start": point(geometry.start),
                "end": point(geometry.end),
                "u": direction(geometry.u),
                "v": direction(geometry.v),
                "section": _outline(geometry.section),
                "run_start_mm": figure(geometry.run_start_mm),
                "run_end_mm": figure(geometry.run_end_mm),
            }
        case Mark():
            return {
                "kind": "mark",
                "datum": _datum(geometry.datum),
                "lines": [[point(a), point(b)] for a, b in geometry.lines],
                "regions": [_outline(region) for region in geometry.regions],
                "points": [point(p) for p in geometry.points],
            }
        case _:
            assert_never(geometry)


def _datum(datum: Datum) -> dict[str, Any]:
    return {"surface": datum.surface, "frame": matrix(datum.frame)}


def _end(end: TrenchEnd) -> dict[str, Any]:
    return {"kind": end.kind.value, "radius_mm": figure(end.radius_mm)}


def _outline(outline: Outline) -> list[list[float]]:
    """Corners as x, y, bulge."""
    return [[figure(corner.x), figure(corner.y), figure(corner.bulge, 12)] for corner in outline]
