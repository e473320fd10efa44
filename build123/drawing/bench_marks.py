"""What helps at the bench beside the sizes: crosses on the waste at near shoulders, clear openings in brackets."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from dataclasses import dataclass

from build123.drawing.annotate import single
from build123.drawing.expand import expand
from build123.drawing.layout import PlacedView
from build123.drawing.lettering import label_box, text_width
from build123.drawing.numbers import Numbers
from build123.drawing.plans import SAME_MM
from build123.drawing.space import Space
from build123.drawing.standard import ARROW_MM, Standard
from build123.drawing.vocabulary import Cover, Group, Line
from build123.model.feature import Trench
from build123.model.frame import Vec2
from build123.model.part import Part

CROSS_MM = 0.8
"""Half the size of a cross on the waste; smaller in a narrow trench."""
LEAST_MM = 0.35
SHARES = (0.12, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.88)

ACROSS = (0.62, 0.7, 0.78, 0.38, 0.3, 0.22, 0.86, 0.5, 0.14, *(k / 40 for k in range(3, 38)))
"""Where across the trenches a clear opening is tried."""


@dataclass(frozen=True, slots=True)
class Band:
    """A straight trench as a view shows it, on paper: `k` is the axis across it, `near` and `far` its walls, `ends` where it runs.

    `low_mm` and `high_mm` are the walls in view coordinates, the lower first.
    """

    id: str
    k: int
    near: float
    far: float
    ends: Vec2
    low_mm: float
    high_mm: float
    housing: bool


def bands(view: PlacedView, part: Part) -> Iterator[Band]:
    """The trenches of a view that run along one of its axes."""
    look = view.plan.viewing
    corner = look.at(look.corner)
    for feature in part.features:
        trench = feature.geometry
        if not isinstance(trench, Trench) or not look.sees(feature):
            continue
        frame = trench.datum.frame
        s, e = look.at(frame.point((*trench.start, 0.0))), look.at(frame.point((*trench.end, 0.0)))
        along = (abs(e[0] - s[0]), abs(e[1] - s[1]))
        if min(along) > SAME_MM:
            continue
        k = 0 if along[1] > along[0] else 1
        half = trench.width_mm / 2 / math.cos(math.radians(trench.lean_deg))
        low, high = max(s[k] - half, view.plan.seen.low[k]), min(s[k] + half, view.plan.seen.high[k])
        a, b = (view.on_paper((x, x))[k] for x in (low, high))
        near, far = (a, b) if abs(low - corner[k]) < abs(high - corner[k]) else (b, a)
        ends = sorted(view.on_paper((p[1 - k], p[1 - k]))[1 - k] for p in (s, e))
        housing = bool(feature.about.members) and not (trench.open_left or trench.open_right)
        yield Band(feature.about.id, k, near, far, (ends[0], ends[1]), low, high, housing)


def waste_marks(view: PlacedView, part: Part, space: Space) -> Iterator[Group]:
    """A small cross on the waste side of each near shoulder; where the trench is too narrow on paper, none."""
    for band in bands(view, part):
        if not view.plan.inside("uv"[band.k], band.low_mm if band.near < band.far else band.high_mm):  # type: ignore[arg-type]
            continue
        wide = abs(band.far - band.near)
        size = min(CROSS_MM, wide / 2 - 0.25)
        if size < LEAST_MM:
            continue
        across = band.near + math.copysign(size + 0.25 + min(0.5, wide / 2 - size - 0.25), band.far - band.near)
        for share in SHARES:
            run = band.ends[0] + (band.ends[1] - band.ends[0]) * share
            x, y = (across, run) if band.k == 0 else (run, across)
            strokes = (Line((x - size, y - size), (x + size, y + size)), Line((x - size, y + size), (x + size, y - size)))
            if all(space.clear(line.start, line.end) for line in strokes):
                for line in strokes:
                    space.add(line)
                yield Group("mark", strokes, (band.id,))
                break


def openings(view: PlacedView, part: Part, space: Space, standard: Standard, n: Numbers) -> Iterator[Group]:
    """Clear openings between neighbouring housings, in brackets since they follow from the positions."""
    for k in (0, 1):
        row = sorted((b for b in bands(view, part) if b.k == k and b.housing), key=lambda b: b.low_mm)
        for one, two in itertools.pairwise(row):
            low, high = max(one.ends[0], two.ends[0]), min(one.ends[1], two.ends[1])
            size = two.low_mm - one.high_mm
            text = f"({n.length(size)})"
            start, stop = max(one.near, one.far), min(two.near, two.far)
            if size < SAME_MM or high - low < 4.0 or stop - start < max(text_width(text, standard.text_mm) + 2.0, 2 * ARROW_MM + 2.5):
                continue
            for share in ACROSS:
                at = low + (high - low) * share
                a, b = ((start, at), (stop, at)) if k == 0 else ((at, start), (at, stop))
                dimension = single("x" if k == 0 else "y", a, b, at, size, text, standard.text_mm, "reference")
                beside = [((start, at + off), (stop, at + off)) for off in (-1.0, 0.0, 1.0)]
                turned = [((p[1], p[0]), (q[1], q[0])) for p, q in beside] if k else beside
                if space.free(label_box(dimension.label)) and all(space.clear(p, q) for p, q in turned):
                    for primitive in expand(dimension):
                        space.add(primitive)
                    yield Group("dimension", (dimension,), (), (Cover(two.id, f"opening from {one.id}"),))
                    break
