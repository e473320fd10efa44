"""What no operation takes, told for the bench: leaning cuts, profiles, marks, work on other sides."""

from __future__ import annotations

import math
from dataclasses import replace

from typing_extensions import assert_never

from build123.cutting.figures import MM
from build123.cutting.operation import Remark, Side
from build123.cutting.sides import flat, seen, side_of
from build123.cutting.words import pocket_note, profile_note, trench_note, trim_note
from build123.drawing.wording import hole_note, towards
from build123.model.feature import Feature, Hole, Mark, Outline, Pocket, Profile, Trench, Trim, Vertex
from build123.model.frame import EXACT_MM, Plane, Vec2, dot
from build123.model.part import Part

NOT_CUT = "not cut here: "

FLAT = 0.7
"""A trim whose normal has more than this along the thickness takes from a face, not from an edge or end (45 degrees)."""


def remark(part: Part, side: Side, feature: Feature) -> Remark | None:
    """What the file of a face says of a feature that it does not cut; None for a mark elsewhere."""
    shape = feature.geometry
    match shape:
        case Trim():
            text = f"{NOT_CUT}{trim_note(part, feature, shape, MM)}"
            if abs(shape.plane.normal[2]) < FLAT:
                text += "; the outline goes to its outermost line"
            return Remark(text, True, feature.about.id, lines=_across(part, side, shape.plane))
        case Trench():
            text = f"{NOT_CUT}{trench_note(part, feature, shape, MM)}, {_from(part, shape)}"
            return Remark(text, True, feature.about.id, _where(part, side, feature, _strip(shape)))
        case Pocket():
            text = f"{NOT_CUT}{pocket_note(feature, shape, MM)}, walls not square to the face, {_from(part, shape)}"
            return Remark(text, True, feature.about.id, _where(part, side, feature, shape.outline))
        case Hole():
            text = f"{NOT_CUT}{hole_note(part, feature, shape, MM)}, {_from(part, shape)}"
            r = shape.steps[0].diameter_mm / 2
            ring = (Vertex(shape.point[0] - r, shape.point[1], 1.0), Vertex(shape.point[0] + r, shape.point[1], 1.0))
            return Remark(text, True, feature.about.id, _where(part, side, feature, ring))
        case Profile():
            text = f"{NOT_CUT}{profile_note(feature, shape, MM)}{_slope(shape)}, along the {_edge(part, shape)}"
            return Remark(text, True, feature.about.id, lines=((flat(side, shape.start), flat(side, shape.end)),))
        case Mark():
            return _mark(part, side, feature, shape)
        case _:
            assert_never(shape)


def cone_remark(part: Part, feature: Feature, hole: Hole) -> Remark:
    """A hole whose plain steps are cut but whose cone starts below the face."""
    return Remark(f"{NOT_CUT}the cone of {hole_note(part, feature, hole, MM)}", True)


def several(one: Remark, times: int) -> Remark:
    """What is said of so many features alike, once."""
    return one if times == 1 else replace(one, text=f"{NOT_CUT}{times} x {one.text.removeprefix(NOT_CUT)}")


def elsewhere(part: Part, feature: Feature) -> str:
    """What is cut from another side, in short."""
    shape = feature.geometry
    match shape:
        case Trench():
            return trench_note(part, feature, shape, MM)
        case Pocket():
            return pocket_note(feature, shape, MM)
        case Hole():
            return hole_note(part, feature, shape, MM)
        case Trim() | Profile() | Mark():
            return feature.about.label
        case _:
            assert_never(shape)


def _from(part: Part, shape: Trench | Pocket | Hole) -> str:
    return f"from the {towards(part, shape.datum.frame.z)}"


def _where(part: Part, side: Side, feature: Feature, ring: Outline) -> tuple[Outline, ...]:
    shape = feature.geometry
    assert isinstance(shape, Trench | Pocket | Hole)
    return (seen(side, shape.datum, ring),) if side_of(part, shape.datum) is side else ()


def _strip(trench: Trench) -> Outline:
    (sx, sy), (ex, ey) = trench.start, trench.end
    length = math.hypot(ex - sx, ey - sy)
    half = trench.width_mm / 2 / math.cos(math.radians(trench.lean_deg))
    x, y = -(ey - sy) / length * half, (ex - sx) / length * half
    return (Vertex(sx - x, sy - y), Vertex(ex - x, ey - y), Vertex(ex + x, ey + y), Vertex(sx + x, sy + y))


def _slope(profile: Profile) -> str:
    """The angle of a chamfer: a section of three straight sides."""
    if len(profile.section) != 3 or any(v.bulge for v in profile.section):
        return ""
    u, v = max(-p.x for p in profile.section), max(-p.y for p in profile.section)
    if min(u, v) <= EXACT_MM:
        return ""
    face_v = abs(profile.v[2]) > abs(profile.u[2])
    return f" at {MM.angle(math.degrees(math.atan2(v, u) if face_v else math.atan2(u, v)))} to the face"


def _edge(part: Part, profile: Profile) -> str:
    return f"arris of {towards(part, profile.u)} and {towards(part, profile.v)}"


def _across(part: Part, side: Side, plane: Plane) -> tuple[tuple[Vec2, Vec2], ...]:
    """Where a leaning cut meets the face that is seen."""
    size = (part.length_mm, part.width_mm, part.thickness_mm)
    level = max(0.0, dot(side.towards, size))
    a, b, c = dot(plane.normal, side.right), dot(plane.normal, side.up), dot(plane.normal, side.towards)
    rest = plane.offset - c * level
    corners = [flat(side, (x, y, z)) for x in (0.0, size[0]) for y in (0.0, size[1]) for z in (0.0, size[2])]
    low_x, high_x = min(p[0] for p in corners), max(p[0] for p in corners)
    low_y, high_y = min(p[1] for p in corners), max(p[1] for p in corners)
    found = []
    if abs(b) > EXACT_MM:
        found += [(x, (rest - a * x) / b) for x in (low_x, high_x) if low_y - EXACT_MM <= (rest - a * x) / b <= high_y + EXACT_MM]
    if abs(a) > EXACT_MM:
        found += [((rest - b * y) / a, y) for y in (low_y, high_y) if low_x - EXACT_MM <= (rest - b * y) / a <= high_x + EXACT_MM]
    found = sorted(set(found))
    return ((found[0], found[-1]),) if len(found) > 1 and math.dist(found[0], found[-1]) > 1e-3 else ()


def _mark(part: Part, side: Side, feature: Feature, mark: Mark) -> Remark | None:
    if side_of(part, mark.datum) is not side:
        return None
    point = mark.datum.frame.point
    lines = tuple((flat(side, point((*a, 0.0))), flat(side, point((*b, 0.0)))) for a, b in mark.lines)
    spots = tuple((Vertex(x - 1.0, y, 1.0), Vertex(x + 1.0, y, 1.0)) for x, y in mark.points)
    rings = tuple(seen(side, mark.datum, ring) for ring in (*mark.regions, *spots))
    members = ", ".join(feature.about.members)
    return Remark(f"mark: {feature.about.label}" + (f" for {members}" if members else ""), rings=rings, lines=lines)
