"""What views say of pockets, profiles and trims: few dimensions where they do, else a table of corners."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Sequence

from build123.drawing.numbers import Numbers
from build123.drawing.plans import SAME_MM, Axis, Corners, SectionOf, Spot, ViewPlan
from build123.drawing.solid import Polyhedron, box_of
from build123.drawing.vocabulary import Cover
from build123.drawing.wording import (
    SURFACES,
    arris_words,
    from_side,
    listed,
    nearest_side,
    radii_note,
    radius_mm,
    side_name,
    towards,
    trimmed,
)
from build123.model.feature import Feature, Outline, Pocket, Profile, Surface, Trim
from build123.model.frame import Vec, Vec2, add, dot, scale
from build123.model.part import Part

_Corner = tuple[float, float, float]
"""(u, v, bulge) in view coordinates."""
FLAT = 1e-6
"""A direction's component smaller than this is none."""


def distinct(values: Iterable[float]) -> list[float]:
    """Sorted positions, each once."""
    found: list[float] = []
    for value in sorted(values):
        if not found or value - found[-1] > SAME_MM:
            found.append(value)
    return found


def plan_pocket(view: ViewPlan, part: Part, feature: Feature, pocket: Pocket, n: Numbers) -> None:
    """A rectangle by the positions of its sides that lie on the wood; any other outline by its corners."""
    id, frame, look = feature.about.id, pocket.datum.frame, view.viewing

    def on_view(outline: Outline) -> list[_Corner]:
        return [(*look.at(frame.point((v.x, v.y, 0.0)))[:2], v.bulge) for v in outline]

    loop = on_view(pocket.outline)
    if not pocket.far_outline:
        loop = _within(loop, view.seen.low, view.seen.high)
    low, high = (min(p[0] for p in loop), min(p[1] for p in loop)), (max(p[0] for p in loop), max(p[1] for p in loop))
    rectangle = len(loop) == 4 and not pocket.islands and not pocket.far_outline and not any(bulge for _, _, bulge in loop)
    rectangle = rectangle and all(min(abs(a[0] - b[0]), abs(a[1] - b[1])) < SAME_MM for a, b in zip(loop, loop[1:] + loop[:1], strict=True))
    deep = "through" if pocket.depth_mm is None else f"{n.length(pocket.depth_mm)} deep"
    text = f"{feature.about.label}, {deep}"
    corners = None
    if rectangle:
        is_open: list[str] = []
        axes: tuple[tuple[Axis, int, Vec], ...] = (("u", 0, look.right), ("v", 1, look.up))
        for axis, k, way in axes:
            told = 0
            for at, out in ((low[k], scale(way, -1.0)), (high[k], way)):
                if view.inside(axis, at):
                    told += 1
                    view.station(axis, at, (low[1 - k], high[1 - k]), Cover(id, f"{axis}{told}"))
                else:
                    is_open.append(towards(part, out))
        text += f", open at the {listed(is_open)}" if is_open else ""
    else:
        text += radii_note((pocket.outline, *pocket.islands), n)
        text += ", island left standing" if len(pocket.islands) == 1 else ", islands left standing" if pocket.islands else ""
        corners = _corners(view, part, pocket, [loop, *map(on_view, pocket.islands)], on_view(pocket.far_outline or ()), id, n)
    low, high = _clamped(view, low), _clamped(view, high)
    at_c = ((low[0] + high[0]) / 2, (low[1] + high[1]) / 2)
    view.spots.append(Spot(text, (id,), (Cover(id, "depth"),), feature.about.members, at_c, low, high, inside=True, corners=corners))


def _clamped(view: ViewPlan, p: Vec2) -> Vec2:
    low, high = view.seen.low, view.seen.high
    return (min(max(p[0], low[0]), high[0]), min(max(p[1], low[1]), high[1]))


def _within(loop: Sequence[_Corner], low: Vec2, high: Vec2) -> list[_Corner]:
    """A loop less what lies off the wood. One that crosses the rim in an arc stays as it is."""
    done = list(loop)
    for k, rim, way in ((0, low[0], 1.0), (0, high[0], -1.0), (1, low[1], 1.0), (1, high[1], -1.0)):
        clipped: list[_Corner] = []
        for a, b in zip(done, done[1:] + done[:1], strict=True):
            off_a, off_b = (a[k] - rim) * way, (b[k] - rim) * way
            if min(off_a, off_b) < -SAME_MM and a[2]:
                return list(loop)
            if off_a >= -SAME_MM:
                clipped.append(a)
            if (off_a < -SAME_MM and off_b > SAME_MM) or (off_a > SAME_MM and off_b < -SAME_MM):
                f = off_a / (off_a - off_b)
                clipped.append((a[0] + f * (b[0] - a[0]), a[1] + f * (b[1] - a[1]), 0.0))
        done = clipped
    return done


def _corners(
    view: ViewPlan, part: Part, pocket: Pocket, loops: Sequence[list[_Corner]], far: list[_Corner], id: str, n: Numbers
) -> Corners:
    look = view.viewing
    heads = ["corner", from_side(part, look, look.right), from_side(part, look, look.up)]
    if far:
        heads += [f"{head}, far side" for head in heads[1:]]
    rows: list[tuple[str, ...]] = [(*heads, "to the next corner")]
    for number, loop in enumerate(loops):
        for k, corner in enumerate(loop):
            name = f"{k + 1}" if number == 0 else f"island {k + 1}" if len(loops) == 2 else f"island {number} {k + 1}"
            points = [corner, *([far[k]] if far else [])]
            places = [n.length(view.distance(axis, p[j])) for p in points for j, axis in ((0, "u"), (1, "v"))]  # type: ignore[arg-type]
            rows.append((name, *places, _run(corner, loop[(k + 1) % len(loop)], n)))
    return Corners("corners", tuple(rows), (Cover(id, "outline"),))


def _run(a: _Corner, b: _Corner, n: Numbers) -> str:
    """The line to the next corner, going round counter-clockwise. The rise of an arc is over the middle of its chord."""
    if not a[2]:
        return "straight"
    rise = math.hypot(b[0] - a[0], b[1] - a[1]) / 2 * abs(a[2])
    return f"{'round' if a[2] > 0 else 'hollow'}, rise {n.length(rise)} (R{n.length(radius_mm(a[:2], b[:2], a[2]))})"


def profile_view(profile: Profile, plans: Sequence[ViewPlan]) -> ViewPlan:
    """The view that looks on the arris; the worked face where it can."""
    return max(plans, key=lambda p: max(dot(profile.u, p.viewing.towards), dot(profile.v, p.viewing.towards)))


def plan_profile(view: ViewPlan, part: Part, feature: Feature, profile: Profile, n: Numbers) -> None:
    """Which arris, from where to where; the section is drawn apart."""
    at = view.viewing.at(scale(add(profile.start, profile.end), 0.5))[:2]
    a, b = view.viewing.at(profile.start)[:2], view.viewing.at(profile.end)[:2]
    low, high = (min(a[0], b[0]), min(a[1], b[1])), (max(a[0], b[0]), max(a[1], b[1]))
    id = feature.about.id
    axis: Axis = "u" if abs(a[0] - b[0]) > abs(a[1] - b[1]) else "v"
    k = 0 if axis == "u" else 1
    for name, end in (("start", a), ("end", b)):
        if view.inside(axis, end[k]):
            view.station(axis, end[k], (end[1 - k], end[1 - k]), Cover(id, name))
    caption = f"{feature.about.label} {arris_words(part, profile)}{radii_note((profile.section,), n)}"
    reach = [max(-p.x for p in profile.section), max(-p.y for p in profile.section)]
    corners = None
    if len(profile.section) > 3 or any(p.bulge for p in profile.section):
        rows: list[tuple[str, ...]] = [
            ("corner", f"from {towards(part, profile.u)}", f"from {towards(part, profile.v)}", "to the next corner")
        ]
        loop = [(p.x, p.y, p.bulge) for p in profile.section]
        for number, (p, q) in enumerate(zip(loop, loop[1:] + loop[:1], strict=True), 1):
            rows.append((str(number), n.length(-p[0]), n.length(-p[1]), _run(p, q, n)))
        corners = Corners("corners of the section", tuple(rows), (Cover(id, "outline"),))
    deep = max(reach) * 2.0
    note = f"{caption} {n.length(reach[0])} × {n.length(reach[1])}"
    section = SectionOf(caption, profile, deep)
    view.spots.append(Spot(note, (id,), (Cover(id, "section"),), feature.about.members, at, low, high, section=section, corners=corners))


def trim_view(trim: Trim, plans: Sequence[ViewPlan]) -> ViewPlan:
    """The view that sees the cut on edge; the worked face where none does."""
    return min(plans, key=lambda p: round(abs(dot(trim.plane.normal, p.viewing.towards)), 6) > FLAT)


def plan_trim(view: ViewPlan, part: Part, feature: Feature, trim: Trim, n: Numbers) -> None:
    """The line of the cut on the blank: where it leaves two sides, or its corners where it slants both ways."""
    id, look, normal = feature.about.id, view.viewing, trim.plane.normal
    box = box_of(part)
    cut = box.clipped(trim.plane)
    face = next((f for f, way in zip(cut.faces, cut.normals, strict=True) if dot(way, normal) > 1 - 1e-12), ())
    if len(face) < 3:
        return
    points = [look.at(p) for p in face]
    low = (min(p[0] for p in points), min(p[1] for p in points))
    high = (max(p[0] for p in points), max(p[1] for p in points))
    corners = None
    words = _line_words(view, part, box, trim) if abs(dot(normal, look.towards)) < FLAT else ""
    if not words:
        text = f"{trimmed(feature)} {towards(part, normal)}, to its corners"
        heads = ("corner", from_side(part, look, (1.0, 0.0, 0.0)), from_side(part, look, (0.0, 1.0, 0.0)), "from worked face")
        rows = [heads, *((str(k), n.length(p[0]), n.length(p[1]), n.length(part.thickness_mm - p[2])) for k, p in enumerate(face, 1))]
        corners = Corners("corners of the cut", tuple(rows), (Cover(id, "outline"),))
    else:
        text = f"{trimmed(feature)} {words}"
        axes: tuple[tuple[Axis, int], ...] = (("u", 0), ("v", 1))
        for axis, k in axes:
            for told, at in enumerate([at for at in distinct(p[k] for p in points) if view.inside(axis, at)], 1):
                across = [p[1 - k] for p in points if abs(p[k] - at) < SAME_MM]
                view.station(axis, at, (min(across), max(across)), Cover(id, f"{axis}{told}"))
        text += f" ({n.angle(_slant_deg(view, trim))})"
    middle = ((low[0] + high[0]) / 2, (low[1] + high[1]) / 2)
    others = _along([(q[0], q[1]) for q in points]) if words else ()
    covers = (Cover(id, "angle"),)
    view.spots.append(Spot(text, (id,), covers, feature.about.members, middle, low, high, corners=corners, others=others))


def _along(points: Sequence[Vec2]) -> tuple[Vec2, ...]:
    """Where else on the line of a cut that is seen on edge a leader may point."""
    p, q = max(itertools.combinations(points, 2), key=lambda pair: round(math.dist(*pair), 6))
    return tuple((p[0] + (q[0] - p[0]) * f, p[1] + (q[1] - p[1]) * f) for f in (0.3, 0.7, 0.15, 0.85))


def _slant_deg(view: ViewPlan, trim: Trim) -> float:
    """The smaller angle of the cut with the sides of the blank in a view that sees it on edge; for reading, in brackets."""
    a, b = abs(dot(trim.plane.normal, view.viewing.right)), abs(dot(trim.plane.normal, view.viewing.up))
    return math.degrees(math.atan2(min(a, b), max(a, b)))


def _line_words(view: ViewPlan, part: Part, box: Polyhedron, trim: Trim) -> str:
    """Which side of the blank a cut seen on edge takes off, and at which side it leaves less; nothing where words do not tell it."""
    look, normal = view.viewing, trim.plane.normal
    u, v = dot(normal, look.right), dot(normal, look.up)
    outer: list[Surface] = [nearest_side(scale(look.right, u)), nearest_side(scale(look.up, v))]
    if min(abs(u), abs(v)) < FLAT:
        return f"{side_name(part, outer[0] if abs(u) > abs(v) else outer[1])}, square"
    gone = {s for s, way in SURFACES.items() if all(trim.plane.distance(p) > -SAME_MM for p in _side(box, way))}
    if all(s in gone for s in outer):
        return ""
    if not any(s in gone for s in outer):
        return f"off the arris of the {side_name(part, outer[0])} and the {side_name(part, outer[1])}"
    end, other = (outer[0], outer[1]) if outer[0] in gone else (outer[1], outer[0])
    return f"{side_name(part, end)}, short point at the {side_name(part, other)}"


def _side(box: Polyhedron, way: Vec) -> tuple[Vec, ...]:
    return next(face for face, normal in zip(box.faces, box.normals, strict=True) if dot(normal, way) > 1 - 1e-9)


__all__ = ["distinct", "plan_pocket", "plan_profile", "plan_trim", "profile_view", "trim_view"]
