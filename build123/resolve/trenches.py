"""What trenches on one face do to one another: ends that run into wood already gone are open, collinear ones become one."""

from __future__ import annotations

import math
from dataclasses import replace

from build123.model.feature import EndKind, Feature, Trench, TrenchEnd
from build123.model.frame import PLAN_MM, Vec2


def settle(features: list[Feature]) -> list[Feature]:
    """The features of one part (in one frame) with trenches merged and their ends opened where no wood is left."""
    return _opened(_merged(features))


def _rectangle(trench: Trench, other: Trench) -> tuple[tuple[float, float], tuple[float, float]] | None:
    """`other` in the frame of `trench`'s line (along, left of it), when both lie on one surface and are parallel or square."""
    a, b = trench.datum.frame, other.datum.frame
    if max(abs(p - q) for p, q in zip(a.z, b.z, strict=True)) > 1e-9 or abs(a.local_point(b.origin)[2]) > PLAN_MM:
        return None
    if trench.lean_deg or other.lean_deg or trench.flare_deg or other.flare_deg:
        return None
    ux, uy = _direction(trench)
    points = []
    ox, oy = _direction(other)
    for p in (other.start, other.end):
        for s in (-1.0, 1.0):
            corner = (p[0] - s * oy * other.width_mm / 2, p[1] + s * ox * other.width_mm / 2)
            x, y, _ = a.local_point(b.point((*corner, 0.0)))
            x, y = x - trench.start[0], y - trench.start[1]
            points.append((x * ux + y * uy, -x * uy + y * ux))
    low = (min(p[0] for p in points), max(p[0] for p in points))
    wide = (min(p[1] for p in points), max(p[1] for p in points))
    if abs((low[1] - low[0]) * (wide[1] - wide[0]) - other.width_mm * math.dist(other.start, other.end)) > 1e-3:
        return None
    return low, wide


def _direction(trench: Trench) -> Vec2:
    dx, dy = trench.end[0] - trench.start[0], trench.end[1] - trench.start[1]
    length = math.hypot(dx, dy)
    return dx / length, dy / length


def _merged(features: list[Feature]) -> list[Feature]:
    done: list[Feature] = []
    for feature in features:
        into = next((n for n, f in enumerate(done) if _joined(f, feature) is not None), None)
        if into is None:
            done.append(feature)
            continue
        merged = _joined(done[into], feature)
        assert merged is not None
        done[into] = merged
    return done


def _joined(one: Feature, other: Feature) -> Feature | None:
    """Two equal trenches on one line that touch or overlap, as one cut that lists both members."""
    a, b = one.geometry, other.geometry
    if not isinstance(a, Trench) or not isinstance(b, Trench):
        return None
    same = (
        abs(a.width_mm - b.width_mm) < PLAN_MM
        and abs(a.depth_mm - b.depth_mm) < PLAN_MM
        and {a.open_left, a.open_right} == {b.open_left, b.open_right}
    )
    there = _rectangle(a, b) if same else None
    if there is None:
        return None
    (low, high), (right, left) = there
    half, length = a.width_mm / 2, math.dist(a.start, a.end)
    if abs(right + half) > PLAN_MM or abs(left - half) > PLAN_MM or low > length + PLAN_MM or high < -PLAN_MM:
        return None
    if (a.open_left, a.open_right) != (b.open_left, b.open_right) and _direction(a) == _direction(b) and a.datum == b.datum:
        return None
    forward = (b.end_end, b.start_end) if _backwards(a, b) else (b.start_end, b.end_end)
    start, start_end = (
        (0.0, a.start_end) if low > PLAN_MM else (min(low, 0.0), forward[0] if low < -PLAN_MM else _more_open(a.start_end, forward[0]))
    )
    end, end_end = (
        (length, a.end_end)
        if high < length - PLAN_MM
        else (max(high, length), forward[1] if high > length + PLAN_MM else _more_open(a.end_end, forward[1]))
    )
    ux, uy = _direction(a)
    about = replace(one.about, members=tuple(dict.fromkeys(one.about.members + other.about.members)))
    return Feature(
        replace(
            a,
            start=(a.start[0] + start * ux, a.start[1] + start * uy),
            end=(a.start[0] + end * ux, a.start[1] + end * uy),
            start_end=start_end,
            end_end=end_end,
        ),
        about,
    )


def _backwards(a: Trench, b: Trench) -> bool:
    ax, ay = _direction(a)
    bx, by = _direction(b)
    v = a.datum.frame.local_vector(b.datum.frame.vector((bx, by, 0.0)))
    return v[0] * ax + v[1] * ay < 0


def _more_open(a: TrenchEnd, b: TrenchEnd) -> TrenchEnd:
    return a if a.kind is EndKind.open else b


def _opened(features: list[Feature]) -> list[Feature]:
    done = []
    for feature in features:
        trench = feature.geometry
        if isinstance(trench, Trench):
            others = [other.geometry for other in features if other is not feature]
            if trench.start_end.kind is not EndKind.open and any(_swallows(other, trench, False) for other in others):
                trench = replace(trench, start_end=TrenchEnd())
            if trench.end_end.kind is not EndKind.open and any(_swallows(other, trench, True) for other in others):
                trench = replace(trench, end_end=TrenchEnd())
            feature = Feature(trench, feature.about)
        done.append(feature)
    return done


def _swallows(other: object, trench: Trench, end: bool) -> bool:
    """Whether just past an end of `trench` another, no shallower one has taken the wood across the whole width."""
    if not isinstance(other, Trench) or other.depth_mm < trench.depth_mm - PLAN_MM:
        return False
    there = _rectangle(trench, other)
    if there is None:
        return False
    (low, high), (right, left) = there
    at = math.dist(trench.start, trench.end) + PLAN_MM if end else -PLAN_MM
    half = trench.width_mm / 2 - PLAN_MM
    return low - 0.5 <= at <= high and right <= -half and left >= half
