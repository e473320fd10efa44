"""Where views and tables go: the smallest sheet and the largest standard scale that hold them, by the projection's rule."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from build123.drawing.expand import BEND_MM
from build123.drawing.lettering import Rect, text_width
from build123.drawing.numbers import Numbers
from build123.drawing.packing import Block, pack
from build123.drawing.plans import Station, ViewPlan
from build123.drawing.standard import FIGURE_OFF_MM, FILING_MARGIN_MM, FIRST_LINE_MM, MARGIN_MM, NEXT_LINE_MM, PAST_MM, Standard
from build123.drawing.vocabulary import Size
from build123.model.frame import Vec2

Side = Literal["left", "right", "bottom", "top"]

TITLE_WIDTH_MM = 180.0
TITLE_HEIGHT_MM = 32.0
"""The block is as wide as an upright A4 allows (ISO 7200)."""
BETWEEN_VIEWS_MM = 9.0
OUTSIDE_MM = 18.0
LOW_MM = 30.0
END_NAME_MM = 20.0
BETWEEN_BLOCKS_MM = 5.0
BAND_MM = 9.0
"""Height of the band that says that the dry fit failed."""


@dataclass(frozen=True, slots=True)
class Lines:
    """Dimension lines on one side of a view: distances from the outline in mm of paper."""

    side: Side
    running_at: float
    overall_at: float
    room: float


@dataclass(frozen=True, slots=True)
class PlacedView:
    """A view with its place: `origin` is where (u, v) = (0, 0) lies."""

    plan: ViewPlan
    origin: Vec2
    scale: float
    across: Lines
    upright: Lines
    overall_u: bool
    overall_v: bool
    title_side: Side

    def on_paper(self, p: Vec2) -> Vec2:
        """A point of the view on the sheet."""
        return (self.origin[0] + p[0] * self.scale, self.origin[1] + p[1] * self.scale)

    @property
    def box(self) -> Rect:
        """The silhouette's box on the sheet."""
        low, high = self.on_paper(self.plan.seen.low), self.on_paper(self.plan.seen.high)
        return Rect(low[0], low[1], high[0], high[1])


@dataclass(frozen=True, slots=True)
class Layout:
    """A sheet with its views; `blocks` are the upper left corners of the tables."""

    size: Size
    scale_name: str
    scale: float
    views: tuple[PlacedView, ...]
    frame: Rect
    title_block: Rect
    blocks: tuple[Vec2, ...]


def spread(wanted: Sequence[float], pitch: float, rims: Sequence[float] = ()) -> list[float]:
    """Places at least `pitch` apart, in order, as near to the wanted ones as can be, and as far from the fixed rims."""
    order = sorted([(at, 1.0) for at in wanted] + [(rim, FIXED) for rim in rims])
    groups: list[tuple[float, float, int]] = []
    for k, (at, weight) in enumerate(order):
        groups.append((at - k * pitch, weight, 1))
        while len(groups) > 1 and groups[-2][0] > groups[-1][0]:
            (a, n, i), (b, m, j) = groups[-2], groups[-1]
            groups[-2:] = [((a * n + b * m) / (n + m), n + m, i + j)]
    level = [at for at, _, count in groups for _ in range(count)]
    return [at + k * pitch for k, at in enumerate(level) if order[k][1] != FIXED]


FIXED = 1e6
"""Weight of a place that does not give way."""


def pitch_mm(standard: Standard) -> float:
    """Least distance of the figures of running dimensions."""
    return standard.text_mm * 1.6


def _lines(
    side: Side, stations: Sequence[Station], rims: Sequence[float], scale: float, overall: bool, standard: Standard, n: Numbers
) -> Lines:
    if not stations:
        room = FIRST_LINE_MM + standard.text_mm + 2.5 if overall else 0.0
        return Lines(side, FIRST_LINE_MM, FIRST_LINE_MM, room)
    at = sorted(s.at * scale for s in stations)
    narrow = overall and _narrow(len(stations), rims[1] - rims[0], standard)
    rims = [] if narrow else rims
    bent = any(abs(a - b) > 0.05 for a, b in zip(at, spread(at, pitch_mm(standard), rims), strict=True))
    longest = max(text_width(n.length(s.value_mm), standard.text_mm) for s in stations)
    if narrow:
        # The thickness has no room for figures between its extension lines, so it comes first.
        return Lines(side, FIRST_LINE_MM + NEXT_LINE_MM, FIRST_LINE_MM, FIRST_LINE_MM + NEXT_LINE_MM + PAST_MM + BEND_MM + 2.5 + longest)
    outer = FIRST_LINE_MM + PAST_MM + (BEND_MM if bent else 0.0) + 1.0 + longest
    figure = standard.text_mm + FIGURE_OFF_MM
    # The figure of an overall size stands above its line or left of it, so at some sides between line and view.
    before, after = (2.5, figure + 1.0) if side in ("top", "left") else (figure + 1.0, 2.5)
    line = max(outer + before, FIRST_LINE_MM + NEXT_LINE_MM)
    return Lines(side, FIRST_LINE_MM, line, line + after if overall else outer + 1.5)


def _narrow(count: int, span: float, standard: Standard) -> bool:
    """Whether running figures have no room between the extension lines of an overall size."""
    return span < max(NARROW_MM, (count + 1) * pitch_mm(standard))


def _overhang(places: Sequence[float], low: float, high: float, standard: Standard) -> float:
    """How far crowded figures reach past the outline, at the most."""
    if not places:
        return 0.0
    rims = [] if _narrow(len(places), high - low, standard) else [low, high]
    figures = spread(sorted(places), pitch_mm(standard), rims)
    return max(0.0, low - min(figures), max(figures) - high) + standard.text_mm / 2


def _sides(slot: str, projection: str) -> tuple[Side, Side, Side]:
    """For a slot: side of the lines along u, of those along v, and of the title."""
    third: Mapping[str, tuple[Side, Side, Side]] = {
        "face": ("top", "left", "bottom"),
        "below": ("bottom", "left", "top"),
        "above": ("top", "left", "bottom"),
        "under": ("bottom", "left", "top"),
        "right": ("bottom", "right", "top"),
        "left": ("bottom", "left", "top"),
        "apart": ("bottom", "left", "top"),
    }
    first: Mapping[str, tuple[Side, Side, Side]] = {
        "face": ("bottom", "right", "top"),
        "below": ("top", "right", "bottom"),
        "above": ("bottom", "right", "top"),
        "under": ("bottom", "right", "top"),
        "right": ("bottom", "left", "top"),
        "left": ("bottom", "right", "top"),
        "apart": ("bottom", "left", "top"),
    }
    return (third if projection == "third" else first)[slot]


@dataclass(frozen=True, slots=True)
class _Room:
    view: PlacedView
    left: float
    right: float
    bottom: float
    top: float


def _room(plan: ViewPlan, scale: float, thickness_key: str, standard: Standard, n: Numbers) -> _Room:
    side_u, side_v, title_side = _sides(plan.viewing.slot, standard.projection)
    if plan.viewing.slot in ("face", "below", "above") and plan.v:
        # Extension lines across the whole view are hard to follow.
        middle = sum((s.root[0] + s.root[1]) / 2 for s in plan.v) / len(plan.v)
        side_v = "left" if middle < (plan.seen.low[0] + plan.seen.high[0]) / 2 else "right"
    overall_u = plan.viewing.key in ("face", thickness_key)
    overall_v = plan.viewing.key == "face"
    seen = plan.seen
    across = _lines(side_u, plan.u, [seen.low[0] * scale, seen.high[0] * scale], scale, overall_u, standard, n)
    upright = _lines(side_v, plan.v, [seen.low[1] * scale, seen.high[1] * scale], scale, overall_v, standard, n)
    # Along a face stand the names of its sides.
    rooms = dict.fromkeys(("left", "right", "bottom", "top"), standard.text_mm + 4.0 if plan.viewing.slot in ("face", "under") else 2.0)
    rooms[side_u] = max(rooms[side_u], across.room)
    rooms[side_v] = max(rooms[side_v], upright.room)
    rooms[title_side] += standard.text_mm + 3.0
    for sides, stations, k in ((("left", "right"), plan.u, 0), (("bottom", "top"), plan.v, 1)):
        low, high = seen.low[k] * scale, seen.high[k] * scale
        over = _overhang([s.at * scale for s in stations], low, high, standard)
        rooms[sides[0]], rooms[sides[1]] = max(rooms[sides[0]], over + 2.0), max(rooms[sides[1]], over + 2.0)
    wide = (seen.high[0] - seen.low[0]) * scale
    if plan.viewing.slot in ("face", "under") and (seen.high[1] - seen.low[1]) * scale < LOW_MM:
        # Names of the ends stand level beside a view that is too low for them.
        rooms["left"], rooms["right"] = max(rooms["left"], END_NAME_MM), max(rooms["right"], END_NAME_MM)
    extra = max(0.0, (text_width(plan.viewing.key, standard.text_mm) + 8.0 - wide) / 2)
    if overall_u and (wide < 12.0 or (plan.u and _narrow(len(plan.u), wide, standard))):
        # A small size has its figure outside, on the right.
        rooms["right"] = max(rooms["right"], OUTSIDE_MM)
    if overall_v and plan.v and _narrow(len(plan.v), (seen.high[1] - seen.low[1]) * scale, standard):
        rooms["top"] = max(rooms["top"], OUTSIDE_MM)
    view = PlacedView(plan, (0.0, 0.0), scale, across, upright, overall_u, overall_v, title_side)
    return _Room(view, max(rooms["left"], extra), max(rooms["right"], extra), rooms["bottom"], rooms["top"])


def arrange(
    plans: Sequence[ViewPlan], scale: float, standard: Standard, n: Numbers
) -> tuple[tuple[PlacedView, ...], tuple[Rect, ...], float, float]:
    """All views at a scale, the lower left of everything at (0, 0); the room of each; the whole width and height."""
    ends = [p.viewing.key for p in plans if p.viewing.slot in ("right", "left")]
    rooms = [_room(p, scale, ends[0], standard, n) for p in plans]
    by_slot: dict[str, list[_Room]] = {}
    for room in rooms:
        by_slot.setdefault(room.view.plan.viewing.slot, []).append(room)
    third = standard.projection == "third"
    rows = [["above"], ["left", "face", "right", "apart"], ["below"], ["under"]]
    if not third:
        rows = [["below"], ["left", "face", "right", "apart"], ["above"], ["under"]]
    columns = [["left"], ["face", "below", "above", "under"], ["right"]]
    if not third:
        columns.reverse()
    columns += [["apart"]]
    x = 0.0
    u_at: dict[int, float] = {}
    for column in columns:
        stacks = [[r for slot in column for r in by_slot.get(slot, [])]] if column != ["apart"] else [[r] for r in by_slot.get("apart", [])]
        for stack in stacks:
            if not stack:
                continue
            x += max(r.left for r in stack) + (BETWEEN_VIEWS_MM if x else 0.0)
            low = min(r.view.plan.seen.low[0] for r in stack)
            high = max(r.view.plan.seen.high[0] for r in stack)
            for r in stack:
                u_at[id(r)] = x - low * scale
            x += (high - low) * scale + max(r.right for r in stack)
    y = 0.0
    v_at: dict[int, float] = {}
    for row in reversed(rows):
        line = [r for slot in row for r in by_slot.get(slot, [])]
        if not line:
            continue
        y += max(r.bottom for r in line)
        high = 0.0
        for r in line:
            v_at[id(r)] = y - r.view.plan.seen.low[1] * scale
            high = max(high, (r.view.plan.seen.high[1] - r.view.plan.seen.low[1]) * scale)
        y += high + max(r.top for r in line)
    placed = tuple(_moved(r.view, (u_at[id(r)], v_at[id(r)])) for r in rooms)
    taken = tuple(
        Rect(v.box.left - r.left, v.box.bottom - r.bottom, v.box.right + r.right, v.box.top + r.top)
        for v, r in zip(placed, rooms, strict=True)
    )
    return placed, taken, x, y


def _moved(v: PlacedView, to: Vec2) -> PlacedView:
    return PlacedView(v.plan, to, v.scale, v.across, v.upright, v.overall_u, v.overall_v, v.title_side)


@dataclass(frozen=True, slots=True)
class Arranged:
    """The views at one scale, the lower left of everything at (0, 0)."""

    name: str
    scale: float
    views: tuple[PlacedView, ...]
    taken: tuple[Rect, ...]
    width: float
    height: float


class Arranger:
    """Arranges the views at each scale, once."""

    def __init__(self, plans: Sequence[ViewPlan], standard: Standard, n: Numbers) -> None:
        self.standard = standard
        self._plans, self._n = plans, n
        self._known: dict[str, Arranged] = {}

    def at(self, name: str, scale: float) -> Arranged:
        """The views at a scale."""
        if name not in self._known:
            self._known[name] = Arranged(name, scale, *arrange(self._plans, scale, self.standard, self._n))
        return self._known[name]


def lay_out(arranger: Arranger, blocks: Sequence[Block], banded: bool) -> list[Layout]:
    """What can be had, best first: a small sheet unless a larger one shows the part at a readable size and it does not.

    Never empty: where nothing fits the last is the largest sheet at the smallest scale.
    """
    found: list[Layout] = []
    standard = arranger.standard
    for size in standard.sheets:
        for name, scale in standard.scales:
            layout = _on_sheet(arranger.at(name, scale), blocks, banded, size, force=False)
            if layout is not None:
                found.append(layout)
                break
    if not found:
        size, (name, scale) = standard.sheets[-1], standard.scales[-1]
        forced = _on_sheet(arranger.at(name, scale), blocks, banded, size, force=True)
        return [forced] if forced is not None else []
    return sorted(found, key=rank)


def rank(layout: Layout) -> tuple[bool, bool, float, float]:
    """Sorts layouts, the best first: not larger than a common printer's, readable, on a small sheet, large in scale."""
    box = layout.views[0].box
    readable = layout.scale >= 1.0 or max(box.right - box.left, box.top - box.bottom) >= READABLE_MM
    return (large(layout), not readable, layout.size.width * layout.size.height if readable else -layout.scale, -layout.scale)


def large(layout: Layout) -> bool:
    """Whether the sheet is larger than a common printer's."""
    return layout.size.width > PRINTER_MM


PRINTER_MM = 440.0
"""A3 and Tabloid are shorter."""
READABLE_MM = 130.0
"""A face shorter than this on paper is hard to read, unless it is drawn in full size."""
NARROW_MM = 14.0
"""On paper; running figures do not stand between the extension lines of so small an overall size."""


def _on_sheet(arranged: Arranged, blocks: Sequence[Block], banded: bool, size: Size, *, force: bool) -> Layout | None:
    frame = Rect(FILING_MARGIN_MM, MARGIN_MM, size.width - MARGIN_MM, size.height - MARGIN_MM)
    title = Rect(frame.right - TITLE_WIDTH_MM, frame.bottom, frame.right, frame.bottom + TITLE_HEIGHT_MM)
    top = frame.top - (BAND_MM if banded else 0.0) - 3.0
    width, height = arranged.width, arranged.height
    free_width, free_height = frame.right - frame.left - 6.0, top - title.top - 3.0
    if (width > free_width or height > free_height) and not force:
        return None
    left = frame.left + 3.0
    inner = Rect(left, frame.bottom + 3.0, frame.right - 3.0, top)
    dx, dy = left, top - height
    if not blocks:
        dx, dy = left + (free_width - width) / 2, dy - (free_height - height) / 2
    views = [_shifted(room, dx, dy) for room in arranged.taken]
    spots = pack(blocks, inner, [title, *views], BETWEEN_BLOCKS_MM)
    if spots is None:
        if not force:
            return None
        spots = tuple((left, title.top + 3.0) for _ in blocks)
    shifted = tuple(_moved(v, (v.origin[0] + dx, v.origin[1] + dy)) for v in arranged.views)
    return Layout(size, arranged.name, arranged.scale, shifted, frame, title, spots)


def _shifted(room: Rect, dx: float, dy: float) -> Rect:
    return Rect(room.left + dx, room.bottom + dy, room.right + dx, room.top + dy)


__all__ = ["Block", "Layout", "PlacedView", "large", "lay_out", "rank", "spread"]
