"""Enlarged sections: a trench, a profile or a stepped hole cut across, with the sizes that the cutter is set to."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import shapely
from typing_extensions import assert_never

from build123.drawing.annotate import single
from build123.drawing.curves import with_arcs
from build123.drawing.layout import Block
from build123.drawing.lettering import text_width, wrapped
from build123.drawing.numbers import Numbers
from build123.drawing.plans import SectionOf
from build123.drawing.solid import ring
from build123.drawing.standard import ARROW_MM, Standard
from build123.drawing.vocabulary import Cover, Group, Item, Label, Line, LinearDimension, Pen, Polyline, SheetView
from build123.model.feature import Hole, Profile, Trench
from build123.model.frame import Vec2

ROOM_MM = (30.0, 20.0)
"""The largest picture on paper, its dimensions not counted."""
SHOULDER_MM = 6.0
"""Wood that is shown at either side, on paper."""
ENLARGED = (5.0, 2.0, 1.0, 0.5, 0.2, 0.1)
ENLARGED_IN = (4.0, 2.0, 1.0, 0.5, 0.25, 0.125)
"""Scales of sections (ISO 5455; in inches shop custom)."""
LINE_AT_MM = 7.0
STEP_MM = 6.0
"""First dimension line from the picture, and the next."""
HATCH_MM = 2.2
CAPTION_MM = 54.0
CAPTION_PITCH = 1.7


@dataclass(frozen=True, slots=True)
class Cut:
    """A section in mm of wood: x across, z up, the surface at 0. `rims` tell that wood ends at the left and right.

    `wide` are (from x, to x, figure) over the picture, narrowest first; `deep` (from z, to z, x of the lower point, figure)
    beside it.
    """

    wood: Any
    low: Vec2
    high: Vec2
    rims: tuple[bool, bool]
    whole: bool
    wide: tuple[tuple[float, float, float, str], ...]
    deep: tuple[tuple[float, float, float], ...]


@dataclass(frozen=True, slots=True)
class SectionBlock:
    """A section that still has to find its place. `mark` is its letter, `features` those that it stands for."""

    mark: str
    of: SectionOf
    members: tuple[str, ...]
    count: int
    features: tuple[str, ...]
    covers: tuple[Cover, ...]
    standard: Standard
    numbers: Numbers

    @property
    def scale(self) -> tuple[str, float]:
        """Name and factor of the largest scale that has room."""
        for factor in ENLARGED_IN if self.standard.units == "in" else ENLARGED:
            cut = cut_across(self.of, SHOULDER_MM / factor)
            if (cut.high[0] - cut.low[0]) * factor <= ROOM_MM[0] + 2 * SHOULDER_MM and (cut.high[1] - cut.low[1]) * factor <= ROOM_MM[1]:
                break
        return (f"{factor:g}:1" if factor >= 1 else f"1:{1 / factor:g}", factor)

    @property
    def lines(self) -> tuple[str, ...]:
        """The caption in lines."""
        many = f"{self.count} × " if self.count > 1 else ""
        members = f"; for {', '.join(self.members[:3])}" if self.members else ""
        if self.of.caption.endswith(" fit") and self.members:
            members = f" to {', '.join(self.members[:3])}"
        if len(self.members) > 3:
            members += f" and {len(self.members) - 3} more"
        return wrapped(f"{many}{self.of.caption}{members}", self.standard.text_mm, CAPTION_MM, 12)

    @property
    def title(self) -> str:
        """The letter and the scale."""
        return f"section {self.mark}, {self.scale[0]}"

    def _size(self) -> tuple[Cut, float, float, float]:
        """The cut, and the room above it, beside it and below it."""
        factor = self.scale[1]
        cut = cut_across(self.of, SHOULDER_MM / factor)
        text = self.standard.text_mm
        above = LINE_AT_MM + STEP_MM * (len(cut.wide) - 1) + text + 2.5 if cut.wide else ARROW_MM + 4.5
        under = [ARROW_MM + 2.5 + text_width(self.numbers.length(b - a), text) - (a - cut.low[1]) * factor for a, b, _ in cut.deep]
        beside = LINE_AT_MM + STEP_MM * (len(cut.deep) - 1) + 4.0 + text
        over = [text_width(mark + self.numbers.length(b - a), text) for a, b, _, mark in cut.wide]
        return cut, above, max([beside, *(8.0 + w for w in over)]), max([0.0, *under])

    @property
    def block(self) -> Block:
        """The room that it takes."""
        cut, above, beside, under = self._size()
        factor, step = self.scale[1], self.standard.text_mm * CAPTION_PITCH
        text = max(text_width(line, self.standard.text_mm) for line in (*self.lines, self.title + "   "))
        wide = max((cut.high[0] - cut.low[0]) * factor + beside + 10.0, text + 2.0)
        height = step * (len(self.lines) + 1) + 2.0 + above + (cut.high[1] - cut.low[1]) * factor + under + 3.0
        return Block(wide, height)

    def placed(self, corner: Vec2) -> SheetView:
        """The section with the upper left corner of its block there."""
        cut, above, _, _ = self._size()
        factor, height = self.scale[1], self.standard.text_mm
        step = height * CAPTION_PITCH
        y = corner[1] - height
        labels: list[Item] = [Label(self.title, (corner[0], y), height, bold=True)]
        for line in self.lines:
            y -= step
            labels.append(Label(line, (corner[0], y), height))
        top = y - 2.0 - above
        origin = (corner[0] + 8.0 - cut.low[0] * factor, top - cut.high[1] * factor)

        def paper(x: float, z: float) -> Vec2:
            return (origin[0] + x * factor, origin[1] + z * factor)

        groups = [
            Group("note", tuple(labels), self.features),
            Group("section", tuple(_drawn(cut, paper, factor)), self.features),
            Group("dimension", tuple(_sizes(cut, paper, height, self.numbers)), self.features, self.covers),
        ]
        return SheetView(f"section {self.mark}", " ".join(self.lines), factor, origin, tuple(groups))


def cut_across(of: SectionOf, shoulder: float) -> Cut:
    """The section of a feature with so much wood beside it."""
    shape = of.shape
    match shape:
        case Trench():
            return _trench(of, shape, shoulder)
        case Profile():
            return _profile(shape, shoulder)
        case Hole():
            return _hole(of, shape, shoulder)
        case _:
            assert_never(shape)


def _trench(of: SectionOf, trench: Trench, shoulder: float) -> Cut:
    half = trench.width_mm / 2 / math.cos(math.radians(trench.lean_deg))
    lean, flare = math.tan(math.radians(trench.lean_deg)) * of.sign, math.tan(math.radians(trench.flare_deg))
    d = trench.depth_mm
    open_high, open_low = (trench.open_left, trench.open_right) if of.sign > 0 else (trench.open_right, trench.open_left)
    spread = max(0.0, (abs(lean) + flare) * d)
    low, high = (-half if open_low else -half - shoulder - spread), (half if open_high else half + shoulder + spread)
    whole = of.deep_mm <= d + 3 * shoulder
    bottom = -of.deep_mm if whole else -d - 1.5 * shoulder
    over = 1.0
    near = [
        (-half - (over if open_low else lean * 0.0), 0.0), (half + (over if open_high else 0.0), 0.0),
        (half + (over if open_high else (lean + flare) * d), -d), (-half - (over if open_low else (flare - lean) * d), -d),
    ]  # fmt: skip
    channel = shapely.Polygon([(near[0][0], over), (near[1][0], over), near[1], near[2], near[3], near[0]])
    wood = shapely.box(low, bottom, high, 0.0).difference(channel)
    wide = () if trench.lean_deg else ((-half, half, 0.0, ""),)
    foot = half if open_high else near[2][0]
    if open_low and not open_high:
        foot = near[2][0]
    return Cut(wood, (low, bottom), (high, 0.0), (open_low, open_high), whole, wide, ((-d, 0.0, foot),))


def _profile(profile: Profile, shoulder: float) -> Cut:
    points = ring(profile.section)
    u, v = max(-p[0] for p in points), max(-p[1] for p in points)
    low, bottom = -u - 2 * shoulder, -v - shoulder
    # The outline may touch itself where it comes to the faces.
    wood = shapely.box(low, bottom, 0.0, 0.0).difference(shapely.Polygon(points).buffer(0))
    return Cut(wood, (low, bottom), (0.0, 0.0), (False, True), False, ((-u, 0.0, 0.0, ""),), ((-v, 0.0, 0.0),))


def _hole(of: SectionOf, hole: Hole, shoulder: float) -> Cut:
    last = hole.steps[-1]
    floor = of.deep_mm if hole.through else last.depth_mm
    whole = hole.through or of.deep_mm <= floor + 3 * shoulder
    bottom = -of.deep_mm if whole else -floor - 1.5 * shoulder
    right: list[Vec2] = []
    top = 0.0
    for k, step in enumerate(hole.steps):
        radius = step.diameter_mm / 2
        deep = floor if k == len(hole.steps) - 1 else step.depth_mm
        right.append((radius, -top))
        if step.cone_deg:
            following = 0.0 if k == len(hole.steps) - 1 else hole.steps[k + 1].diameter_mm / 2
            narrowing = math.tan(math.radians(step.cone_deg / 2))
            until = min(deep, top + (radius - following) / narrowing)
            radius -= (until - top) * narrowing
            right.append((radius, -until))
        right.append((radius, -deep))
        top = deep
    if hole.tip_deg and not hole.through:
        right.append((0.0, -floor - radius / math.tan(math.radians(hole.tip_deg / 2))))
    widest = hole.steps[0].diameter_mm / 2
    void = shapely.Polygon([*right, *((-x, z) for x, z in reversed(right))]).buffer(0)
    low, high = -widest - shoulder, widest + shoulder
    wood = shapely.box(low, bottom, high, 0.0).difference(void)
    wide = tuple((-s.diameter_mm / 2, s.diameter_mm / 2, -t, "Ø") for s, t in _tops(hole))
    deep_to = [s for s in hole.steps if not (hole.through and s is last)]
    depths = tuple((-s.depth_mm, 0.0, s.diameter_mm / 2) for s in deep_to)
    return Cut(wood, (low, bottom), (high, 0.0), (False, False), whole, tuple(reversed(wide)), depths)


def _tops(hole: Hole) -> Iterator[tuple[Any, float]]:
    """Each step with the depth at which it has its full diameter."""
    for k, step in enumerate(hole.steps):
        yield step, 0.0 if k == 0 else hole.steps[k - 1].depth_mm


def _drawn(cut: Cut, paper: Any, factor: float) -> Iterator[Item]:
    """Outline thick, breaks thin, hatching at 45 degrees."""
    (low, bottom), (high, top) = cut.low, cut.high
    breaks = shapely.union_all(
        [shapely.LineString([(x, bottom), (x, top)]) for x, is_rim in ((low, cut.rims[0]), (high, cut.rims[1])) if not is_rim]
        + ([] if cut.whole else [shapely.LineString([(low, bottom), (high, bottom)])])
    )
    rim = cut.wood.boundary
    solid = shapely.line_merge(rim.difference(breaks.buffer(1e-6)))
    for run in shapely.get_parts(solid):
        if run.length * factor > 0.05:
            points = with_arcs([(x, z) for x, z in run.simplify(1e-6).coords])
            closed = len(points) > 3 and points[0][:2] == points[-1][:2]
            yield Polyline(tuple((*paper(x, z), b) for x, z, b in (points[:-1] if closed else points)), closed, Pen.visible)
    for run in shapely.get_parts(shapely.line_merge(rim.intersection(breaks.buffer(1e-6)))):
        if run.length * factor > 0.05:
            yield Polyline(tuple((*paper(x, z), 0.0) for x, z in run.coords), False, Pen.thin)
    pitch = HATCH_MM * math.sqrt(2) / factor
    first, last = math.floor((low - top) / pitch), math.ceil((high - bottom) / pitch)
    lines = [shapely.LineString([(k * pitch + bottom, bottom), (k * pitch + top, top)]) for k in range(first, last + 1)]
    for run in shapely.get_parts(shapely.intersection(shapely.multilinestrings(lines), cut.wood)):
        if run.geom_type == "LineString" and run.length * factor > 0.3:
            (a, b) = run.coords[0], run.coords[-1]
            yield Line(paper(*a), paper(*b), Pen.thin)


def _sizes(cut: Cut, paper: Any, height: float, n: Numbers) -> Iterator[LinearDimension]:
    top, right = paper(0.0, cut.high[1])[1], paper(cut.high[0], 0.0)[0]
    for k, (a, b, z, mark) in enumerate(cut.wide):
        line_at = top + LINE_AT_MM + k * STEP_MM
        yield single("x", paper(a, z), paper(b, z), line_at, b - a, mark + n.length(b - a), height)
    for k, (low, high, x) in enumerate(sorted(cut.deep)):
        line_at = right + LINE_AT_MM + k * STEP_MM
        yield single("y", paper(x, low), paper(x, high), line_at, high - low, n.length(high - low), height)
