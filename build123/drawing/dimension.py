"""Which sizes a part's views must give: planned from the features, each size once. No paper yet.

Along each axis of a view positions run from the datum corner. Widths and depths are said in notes.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import Literal

from typing_extensions import assert_never

from build123.drawing.holes import HoleRow, hole_rows
from build123.drawing.linework import Seen
from build123.drawing.numbers import Numbers
from build123.drawing.solid import Polyhedron
from build123.drawing.viewing import Viewing
from build123.drawing.vocabulary import Cover
from build123.drawing.wording import hole_note, pocket_note, profile_note, trench_note, trim_note
from build123.model.feature import EndKind, Feature, Hole, Mark, Pocket, Profile, Trench, Trim
from build123.model.frame import Vec, Vec2, add, dot, scale
from build123.model.part import Part

SAME_MM = 0.005
"""Positions nearer than this are one position; half of the last figure shown."""
HOLES_BY_LINES = 6
"""So many different positions of holes along an axis are dimensioned; more go into a table (common practice)."""
MANY_TIPS = 6
"""So many holes of a group are tried for its leader."""

Axis = Literal["u", "v"]


@dataclass(frozen=True, slots=True)
class Station:
    """A position along an axis of a view. `root` is the stretch across the axis that the feature takes up there."""

    axis: Axis
    at: float
    value_mm: float
    root: Vec2
    covers: tuple[Cover, ...]


@dataclass(frozen=True, slots=True)
class Spot:
    """Where a note belongs: `at` for a leader, `low`..`high` the room that its feature takes, all in view coordinates.

    `note` is empty for a mark, which is only named. `square` tells that the feature fills that room. `others` are
    more places, of equal size, that a leader may point to.
    """

    note: str
    features: tuple[str, ...]
    covers: tuple[Cover, ...]
    members: tuple[str, ...]
    at: Vec2
    low: Vec2
    high: Vec2
    count: int = 1
    inside: bool = False
    square: bool = True
    others: tuple[Vec2, ...] = ()


@dataclass
class ViewPlan:
    """All that one view has to say."""

    viewing: Viewing
    seen: Seen
    u: list[Station] = field(default_factory=list)
    v: list[Station] = field(default_factory=list)
    spots: list[Spot] = field(default_factory=list)
    rows: list[HoleRow] = field(default_factory=list)

    def station(self, axis: Axis, at: float, root: Vec2, cover: Cover) -> None:
        """Keep a position; equal ones become one."""
        corner = self.viewing.at(self.viewing.corner)[0 if axis == "u" else 1]
        kept = self.u if axis == "u" else self.v
        for k, known in enumerate(kept):
            if abs(known.at - at) < SAME_MM:
                low, high = min(known.root[0], root[0]), max(known.root[1], root[1])
                kept[k] = Station(axis, known.at, known.value_mm, (low, high), (*known.covers, cover))
                return
        kept.append(Station(axis, at, abs(at - corner), root, (cover,)))

    def inside(self, axis: Axis, at: float) -> bool:
        """Whether a position is within the view's outline and not on its rim."""
        k = 0 if axis == "u" else 1
        return self.seen.low[k] + SAME_MM < at < self.seen.high[k] - SAME_MM


def plan(part: Part, body: Polyhedron, views: Sequence[tuple[Viewing, Seen]], n: Numbers) -> list[ViewPlan]:
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
                        _pocket(view, feature, shape, n)
                case Hole():
                    if view.viewing.sees(feature):
                        p = view.viewing.at(shape.datum.frame.point((*shape.point, 0.0)))
                        holes.append((feature, shape, p[:2]))
                case Profile():
                    if _profile_view(shape, plans) is view:
                        _profile(view, feature, shape, n)
                case Trim():
                    if _trim_view(shape, plans) is view:
                        _trim(view, part, body, feature, shape, n)
                case Mark():
                    if view.viewing.sees(feature):
                        _mark(view, feature, shape)
                case _:
                    assert_never(shape)
        _holes(view, part, holes, n)
    return plans


def _ordered(a: float, b: float) -> Vec2:
    return (min(a, b), max(a, b))


def _trench(view: ViewPlan, part: Part, feature: Feature, trench: Trench, n: Numbers) -> None:
    id = feature.about.id
    look, frame = view.viewing, trench.datum.frame
    s = look.at(frame.point((*trench.start, 0.0)))[:2]
    e = look.at(frame.point((*trench.end, 0.0)))[:2]
    length = math.hypot(e[0] - s[0], e[1] - s[1])
    d = ((e[0] - s[0]) / length, (e[1] - s[1]) / length)
    left = (-d[1], d[0])
    half = trench.width_mm / 2 / math.cos(math.radians(trench.lean_deg))
    upright = abs(d[1]) >= abs(d[0])
    axis: Axis = "u" if upright else "v"
    k = 0 if upright else 1
    corner = look.at(look.corner)[k]
    walls = [(half, trench.open_left), (-half, trench.open_right)]
    middle = (s[k] + e[k]) / 2
    closed = [w for w, is_open in walls if not is_open]
    on_rim = [not view.inside(axis, middle + left[k] * w) for w, is_open in walls if is_open]
    if closed and not (on_rim and all(on_rim)):
        near = min(closed, key=lambda w: abs(middle + left[k] * w - corner))
        first, last = _wall(view, s, d, left, near, 0.0, trench), _wall(view, s, d, left, near, length, trench)
        if abs(first[k] - last[k]) < SAME_MM:
            view.station(axis, first[k], _ordered(first[1 - k], last[1 - k]), Cover(id, "position"))
        else:
            for name, p in (("position at the start", first), ("position at the end", last)):
                if view.inside(axis, p[k]):
                    view.station(axis, p[k], (p[1 - k], p[1 - k]), Cover(id, name))
    for name, end, p in (("start", trench.start_end, s), ("end", trench.end_end, e)):
        across: Axis = "v" if upright else "u"
        if end.kind is not EndKind.open and view.inside(across, p[1 - k]):
            view.station(across, p[1 - k], _ordered(p[k] - half, p[k] + half), Cover(id, name))
    low = (min(s[0], e[0]) - half * abs(left[0]), min(s[1], e[1]) - half * abs(left[1]))
    high = (max(s[0], e[0]) + half * abs(left[0]), max(s[1], e[1]) + half * abs(left[1]))
    sizes = ["width", "depth"] + (["lean"] if trench.lean_deg else []) + (["flare"] if trench.flare_deg else [])
    at = ((s[0] + e[0]) / 2, (s[1] + e[1]) / 2)
    covers = tuple(Cover(id, size) for size in sizes)
    square = min(abs(d[0]), abs(d[1])) < 1e-6
    note = trench_note(part, feature, trench, n)
    view.spots.append(Spot(note, (id,), covers, feature.about.members, at, low, high, inside=True, square=square))


def _wall(view: ViewPlan, s: Vec2, d: Vec2, left: Vec2, off: float, along: float, trench: Trench) -> Vec2:
    """A point of a wall at one end of the trench, carried on to the rim where it is open there."""
    p = (s[0] + left[0] * off + d[0] * along, s[1] + left[1] * off + d[1] * along)
    end = trench.start_end if along == 0.0 else trench.end_end
    k = 1 if abs(d[1]) >= abs(d[0]) else 0
    if end.kind is not EndKind.open:
        return p
    rim = min(view.seen.low[k], view.seen.high[k], key=lambda r: abs(r - p[k]))
    if abs(rim - p[k]) > trench.width_mm:
        return p
    step = (rim - p[k]) / d[k]
    return (p[0] + d[0] * step, p[1] + d[1] * step)


def _pocket(view: ViewPlan, feature: Feature, pocket: Pocket, n: Numbers) -> None:
    id, frame = feature.about.id, pocket.datum.frame
    loops = [[view.viewing.at(frame.point((v.x, v.y, 0.0))) for v in loop] for loop in (pocket.outline, *pocket.islands)]
    for axis, k in (("u", 0), ("v", 1)):
        told = 0
        for at in _distinct(p[k] for loop in loops for p in loop):
            if view.inside("u" if axis == "u" else "v", at):
                told += 1
                across = [p[1 - k] for loop in loops for p in loop if abs(p[k] - at) < SAME_MM]
                low, high = view.seen.low[1 - k], view.seen.high[1 - k]
                root = (max(low, min(across)), min(high, max(across)))
                view.station("u" if axis == "u" else "v", at, root, Cover(id, f"{axis}{told}"))
    flat = list(loops[0])
    low_c = (max(view.seen.low[0], min(p[0] for p in flat)), max(view.seen.low[1], min(p[1] for p in flat)))
    high_c = (min(view.seen.high[0], max(p[0] for p in flat)), min(view.seen.high[1], max(p[1] for p in flat)))
    at_c = ((low_c[0] + high_c[0]) / 2, (low_c[1] + high_c[1]) / 2)
    cover = (Cover(id, "depth"),)
    view.spots.append(Spot(pocket_note(feature, pocket, n), (id,), cover, feature.about.members, at_c, low_c, high_c, inside=True))


def _mark(view: ViewPlan, feature: Feature, mark: Mark) -> None:
    ends = [*(p for line in mark.lines for p in line), *((v.x, v.y) for loop in mark.regions for v in loop), *mark.points]
    if not ends:
        return
    on_view = [view.viewing.at(mark.datum.frame.point((x, y, 0.0))) for x, y in ends]
    low, high = (min(p[0] for p in on_view), min(p[1] for p in on_view)), (max(p[0] for p in on_view), max(p[1] for p in on_view))
    text = f"{feature.about.label}: {', '.join(feature.about.members)}" if feature.about.members else feature.about.label
    at = ((low[0] + high[0]) / 2, (low[1] + high[1]) / 2)
    view.spots.append(Spot("", (feature.about.id,), (), (text,), at, low, high, inside=True, square=bool(mark.lines or mark.regions)))


def _distinct(values: Iterable[float]) -> list[float]:
    found: list[float] = []
    for value in sorted(values):
        if not found or value - found[-1] > SAME_MM:
            found.append(value)
    return found


def _holes(view: ViewPlan, part: Part, holes: Sequence[tuple[Feature, Hole, Vec2]], n: Numbers) -> None:
    by_note: dict[str, list[tuple[Feature, Hole, Vec2]]] = {}
    for feature, hole, at in holes:
        by_note.setdefault(hole_note(part, feature, hole, n), []).append((feature, hole, at))
    columns, lines = _distinct(at[0] for _, _, at in holes), _distinct(at[1] for _, _, at in holes)
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
            view.spots.append(Spot(note, ids, covers, members, at, low, high, count=len(mine), others=others))


def _profile_view(profile: Profile, plans: Sequence[ViewPlan]) -> ViewPlan:
    """The view that looks on the arris; the worked face where it can."""
    return max(plans, key=lambda p: max(dot(profile.u, p.viewing.towards), dot(profile.v, p.viewing.towards)))


def _profile(view: ViewPlan, feature: Feature, profile: Profile, n: Numbers) -> None:
    middle = scale(add(profile.start, profile.end), 0.5)
    at = view.viewing.at(middle)[:2]
    a, b = view.viewing.at(profile.start)[:2], view.viewing.at(profile.end)[:2]
    low, high = (min(a[0], b[0]), min(a[1], b[1])), (max(a[0], b[0]), max(a[1], b[1]))
    id = feature.about.id
    k = 0 if abs(a[0] - b[0]) > abs(a[1] - b[1]) else 1
    for name, end in (("start", a), ("end", b)):
        axis: Axis = "u" if k == 0 else "v"
        if view.inside(axis, end[k]):
            view.station(axis, end[k], (end[1 - k], end[1 - k]), Cover(id, name))
    covers = (Cover(id, "section"),)
    view.spots.append(Spot(profile_note(feature, profile, n), (id,), covers, feature.about.members, at, low, high))


def _trim_view(trim: Trim, plans: Sequence[ViewPlan]) -> ViewPlan:
    """The view that sees the cut on edge; the worked face where none does."""
    return min(plans, key=lambda p: round(abs(dot(trim.plane.normal, p.viewing.towards)), 6) > 1e-6)


def _trim(view: ViewPlan, part: Part, body: Polyhedron, feature: Feature, trim: Trim, n: Numbers) -> None:
    id = feature.about.id
    face = next((f for f, normal in zip(body.faces, body.normals, strict=True) if dot(normal, trim.plane.normal) > 1 - 1e-9), ())
    if not face:
        return
    points: list[Vec] = [view.viewing.at(p) for p in face]
    for k, axis in ((0, "u"), (1, "v")):
        told = 0
        for at in _distinct(p[k] for p in points):
            if view.inside("u" if axis == "u" else "v", at):
                told += 1
                across = [p[1 - k] for p in points if abs(p[k] - at) < SAME_MM]
                view.station("u" if axis == "u" else "v", at, (min(across), max(across)), Cover(id, f"{axis}{told}"))
    low = (min(p[0] for p in points), min(p[1] for p in points))
    high = (max(p[0] for p in points), max(p[1] for p in points))
    middle = ((low[0] + high[0]) / 2, (low[1] + high[1]) / 2)
    covers = (Cover(id, "angle"),)
    view.spots.append(Spot(trim_note(part, feature, trim, n), (id,), covers, feature.about.members, middle, low, high))
