"""Which sizes a part's views must give: planned from the features, each size once. No paper yet.

Along each axis of a view positions run from the datum corner. Widths and depths are given by enlarged sections and notes.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from typing_extensions import assert_never

from build123.drawing.holes import hole_rows
from build123.drawing.linework import Seen
from build123.drawing.numbers import Numbers
from build123.drawing.outlines import distinct, plan_pocket, plan_profile, plan_trim, profile_view, trim_view
from build123.drawing.plans import SAME_MM, Axis, Corners, SectionOf, Spot, Station, ViewPlan
from build123.drawing.viewing import Viewing
from build123.drawing.vocabulary import Cover
from build123.drawing.wording import fit_note, from_side, hole_note, hole_words, step_words, towards, trench_note
from build123.model.feature import EndKind, Feature, Hole, Mark, Pocket, Profile, Trench, TrenchEnd, Trim
from build123.model.frame import Vec, Vec2
from build123.model.part import Part

HOLES_BY_LINES = 6
"""So many different positions of holes along an axis are dimensioned; more go into a table (common practice)."""
MANY_TIPS = 6
"""So many holes of a group are tried for its leader."""


def plan(part: Part, views: Sequence[tuple[Viewing, Seen]], n: Numbers) -> list[ViewPlan]:
    """One plan for each view."""
    plans = [ViewPlan(viewing, seen) for viewing, seen in views]
    for view in plans:
        holes: list[tuple[Feature, Hole, Vec2]] = []
        for feature in part.features:
            shape = feature.geometry
            match shape:
                case Trench():
                    if view.viewing.sees(feature):
                        _trench(view, part, feature, shape, n)
                case Pocket():
                    if view.viewing.sees(feature):
                        plan_pocket(view, part, feature, shape, n)
                case Hole():
                    if view.viewing.sees(feature):
                        p = view.viewing.at(shape.datum.frame.point((*shape.point, 0.0)))
                        holes.append((feature, shape, p[:2]))
                case Profile():
                    if profile_view(shape, plans) is view:
                        plan_profile(view, part, feature, shape, n)
                case Trim():
                    if trim_view(shape, plans) is view:
                        plan_trim(view, part, feature, shape, n)
                case Mark():
                    if view.viewing.sees(feature):
                        _mark(view, feature, shape, n)
                case _:
                    assert_never(shape)
        _holes(view, part, holes, n)
    return plans


def _ordered(a: float, b: float) -> Vec2:
    return (min(a, b), max(a, b))


def wood_under(part: Part, normal: Vec) -> float:
    """Thickness of the blank along a direction."""
    return abs(normal[0]) * part.length_mm + abs(normal[1]) * part.width_mm + abs(normal[2]) * part.thickness_mm


def _trench(view: ViewPlan, part: Part, feature: Feature, trench: Trench, n: Numbers) -> None:
    id = feature.about.id
    look, frame = view.viewing, trench.datum.frame
    s = look.at(frame.point((*trench.start, 0.0)))[:2]
    e = look.at(frame.point((*trench.end, 0.0)))[:2]
    length = math.hypot(e[0] - s[0], e[1] - s[1])
    d = ((e[0] - s[0]) / length, (e[1] - s[1]) / length)
    left = (-d[1], d[0])
    half = trench.width_mm / 2 / math.cos(math.radians(trench.lean_deg))
    k = 0 if abs(d[1]) >= abs(d[0]) else 1
    square = min(abs(d[0]), abs(d[1])) < 1e-6
    corner = look.at(look.corner)[k]
    walls = [(half, trench.open_left), (-half, trench.open_right)]
    middle = (s[k] + e[k]) / 2
    closed = [w for w, is_open in walls if not is_open]
    on_rim = [not view.inside("uv"[k], middle + left[k] * w) for w, is_open in walls if is_open]  # type: ignore[arg-type]
    corners = None
    if closed and not (on_rim and all(on_rim)):
        near = min(closed, key=lambda w: abs(middle + left[k] * w - corner))
        if square:
            _wall_stations(view, trench, id, s, e, k, left[k] * near, half)
        else:
            corners = _oblique(view, part, trench, id, s, d, left, near, length, n)
    elif square:
        _wall_stations(view, trench, id, s, e, k, None, half)
    low = (min(s[0], e[0]) - half * abs(left[0]), min(s[1], e[1]) - half * abs(left[1]))
    high = (max(s[0], e[0]) + half * abs(left[0]), max(s[1], e[1]) + half * abs(left[1]))
    sizes = ["width", "depth"] + (["lean"] if trench.lean_deg else []) + (["flare"] if trench.flare_deg else [])
    at = ((s[0] + e[0]) / 2, (s[1] + e[1]) / 2)
    covers = tuple(Cover(id, size) for size in sizes)
    stopped = (_stops(view, trench.start_end, s, k), _stops(view, trench.end_end, e, k))
    name, said = trench_note(part, feature, trench, stopped, n)
    caption = name + (f" {n.length(trench.width_mm)} wide square to its walls" if trench.lean_deg else "") + said
    note = f"{name} {n.length(trench.width_mm)} wide × {n.length(trench.depth_mm)} deep{said}"
    section = SectionOf(caption, trench, wood_under(part, frame.z), math.copysign(1.0, left[k]))
    view.spots.append(
        Spot(note, (id,), covers, feature.about.members, at, low, high, inside=True, square=square, section=section, corners=corners)
    )


def _stops(view: ViewPlan, end: TrenchEnd, p: Vec2, k: int) -> bool:
    """Whether a trench across axis `k` ends in the wood, and not where the wood does."""
    run: Axis = "v" if k == 0 else "u"
    return end.kind is not EndKind.open and view.inside(run, p[1 - k])


def _wall_stations(view: ViewPlan, trench: Trench, id: str, s: Vec2, e: Vec2, k: int, near: float | None, half: float) -> None:
    """Where the near wall runs, and where the trench stops."""
    axis, across = ("u", "v") if k == 0 else ("v", "u")
    if near is not None:
        view.station(axis, (s[k] + e[k]) / 2 + near, _ordered(s[1 - k], e[1 - k]), Cover(id, "position"))  # type: ignore[arg-type]
    for name, end, p in (("start", trench.start_end, s), ("end", trench.end_end, e)):
        if _stops(view, end, p, k):
            view.station(across, p[1 - k], _ordered(p[k] - half, p[k] + half), Cover(id, name))  # type: ignore[arg-type]


def _oblique(
    view: ViewPlan, part: Part, trench: Trench, id: str, s: Vec2, d: Vec2, left: Vec2, near: float, length: float, n: Numbers
) -> Corners:
    """The two ends of the wall nearer to the datum, an open one carried on to the rim of the blank."""
    p = (s[0] + left[0] * near, s[1] + left[1] * near)
    inwards = math.copysign(1.0, -near)
    look = view.viewing
    side = tuple(inwards * (left[0] * look.right[j] + left[1] * look.up[j]) for j in range(3))
    rows = [("end", from_side(part, look, look.right), from_side(part, look, look.up), "how it ends")]
    for number, (end, along, way) in enumerate(((trench.start_end, 0.0, -1.0), (trench.end_end, length, 1.0)), 1):
        stops = end.kind is not EndKind.open
        t = along if stops else _to_rim(view, p, d, way)
        at = (p[0] + d[0] * t, p[1] + d[1] * t)
        how = "stopped" if stops else "open"
        rows.append((str(number), n.length(view.distance("u", at[0])), n.length(view.distance("v", at[1])), how))
    names = ("position at the start", "position at the end")
    stops_at = [name for name, end in (("start", trench.start_end), ("end", trench.end_end)) if end.kind is not EndKind.open]
    covers = tuple(Cover(id, name) for name in (*names, *stops_at))
    return Corners(f"wall, cut on its {towards(part, (side[0], side[1], side[2]))} side", tuple(rows), covers)


def _to_rim(view: ViewPlan, p: Vec2, d: Vec2, way: float) -> float:
    """How far along a line the blank ends."""
    ends = []
    for k in (0, 1):
        if abs(d[k]) > 1e-9:
            ends.append(max(((rim - p[k]) / d[k] for rim in (view.seen.low[k], view.seen.high[k])), key=lambda t: t * way))
    return min(ends, key=lambda t: t * way)


def _mark(view: ViewPlan, feature: Feature, mark: Mark, n: Numbers) -> None:
    if mark.points:
        points = [view.viewing.at(mark.datum.frame.point((x, y, 0.0)))[:2] for x, y in mark.points]
        note = f"{feature.about.label.removesuffix(' marks')}, nothing drilled"
        rows = hole_rows(view.viewing, note, [(feature, p) for p in points], n)
        view.rows.extend(
            replace(row, features=(feature.about.id,), covers=(Cover(feature.about.id, f"row {k}"),)) for k, row in enumerate(rows)
        )
        return
    ends = [*(p for line in mark.lines for p in line), *((v.x, v.y) for loop in mark.regions for v in loop)]
    if not ends:
        return
    on_view = [view.viewing.at(mark.datum.frame.point((x, y, 0.0))) for x, y in ends]
    low, high = (min(p[0] for p in on_view), min(p[1] for p in on_view)), (max(p[0] for p in on_view), max(p[1] for p in on_view))
    text = f"{feature.about.label}: {', '.join(feature.about.members)}" if feature.about.members else feature.about.label
    at = ((low[0] + high[0]) / 2, (low[1] + high[1]) / 2)
    view.spots.append(Spot("", (feature.about.id,), (), (text,), at, low, high, inside=True, square=bool(mark.lines or mark.regions)))


def _holes(view: ViewPlan, part: Part, holes: Sequence[tuple[Feature, Hole, Vec2]], n: Numbers) -> None:
    by_note: dict[str, list[tuple[Feature, Hole, Vec2]]] = {}
    for feature, hole, at in holes:
        by_note.setdefault(hole_note(part, feature, hole, n), []).append((feature, hole, at))
    columns, lines = distinct(at[0] for _, _, at in holes), distinct(at[1] for _, _, at in holes)
    if len(columns) > HOLES_BY_LINES or len(lines) > HOLES_BY_LINES:
        for note, group in by_note.items():
            view.rows.extend(hole_rows(view.viewing, note, [(feature, at) for feature, _, at in group], n))
        return
    for feature, hole, at in holes:
        radius = hole.steps[0].diameter_mm / 2
        view.station("u", at[0], (at[1] - radius, at[1] + radius), Cover(feature.about.id, "across u"))
        view.station("v", at[1], (at[0] - radius, at[0] + radius), Cover(feature.about.id, "across v"))
    for note, group in by_note.items():
        by_members: dict[tuple[str, ...], list[tuple[Feature, Hole, Vec2]]] = {}
        for entry in group:
            by_members.setdefault(entry[0].about.members, []).append(entry)
        for members, mine in by_members.items():
            ids = tuple(feature.about.id for feature, _, _ in mine)
            covers = tuple(Cover(id, size) for id in ids for size in ("diameter", "depth"))
            _, hole, at = mine[-1]
            r = hole.steps[0].diameter_mm / 2
            low, high = (at[0] - r, at[1] - r), (at[0] + r, at[1] + r)
            others = tuple(place for _, _, place in mine[:-1][:MANY_TIPS])
            section = None
            if len(hole.steps) > 1 or hole.steps[0].cone_deg:
                caption = mine[-1][0].about.label + step_words(hole, n) + hole_words(part, hole, n) + fit_note(mine[-1][0])
                section = SectionOf(caption, hole, wood_under(part, hole.datum.frame.z))
            view.spots.append(Spot(note, ids, covers, members, at, low, high, count=len(mine), others=others, section=section))


__all__ = ["SAME_MM", "Spot", "Station", "ViewPlan", "plan"]
