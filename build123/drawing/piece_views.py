"""The sheet of the whole piece: front, side and top view, overall and clear sizes, where it is cut."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from build123.drawing.lettering import Rect, label_box, text_width
from build123.drawing.piece_lines import Place, drawn
from build123.drawing.piece_look import DIMETRIC, FRONT, LEFT, RIGHT, TOP, Eye, Picture
from build123.drawing.piece_openings import Clear, Opening, clear_sizes, openings
from build123.drawing.piece_scene import Cut, Scene
from build123.drawing.piece_sizes import OFF_MM, clear, clear_table, overall, take
from build123.drawing.piece_title import Paper, PieceAbout, finished, title_fields
from build123.drawing.standard import ARROW_MM, Standard
from build123.drawing.vocabulary import Group, Item, Label, Leader, Line, Pen, Sheet, SheetView, Size
from build123.model.frame import Box, Vec2

ROOM_MM = OFF_MM + 6.0
"""Beside a view that has a size there."""
BETWEEN_MM = 17.0
"""Between views: a title and the end of a cutting plane."""
END_MM = 10.0
PICTORIAL_MM = 30.0
"""A smaller pictorial tells nothing."""
EDGES_MM = 0.5
"""The two edges of a board that are nearer than this on paper run into one."""
INSET_MM = 1.0
FACING = 4
"""So many boards that face the front are looked at for openings in them."""
READABLE_MM = 110.0
"""A front view shorter than this wants a larger sheet."""
FURTHER = {"first": (100, 200, 500), "third": (12, 48, 96, 192)}
"""Scales of pieces that fill a wall (ISO 5455; US custom: 1 in, 1/4 in, 1/8 in, 1/16 in to the foot)."""


@dataclass(frozen=True, slots=True)
class Plan:
    """The sheet and scale of the three views."""

    size: Size
    name: str
    scale: float


def scales(norm: Standard) -> tuple[tuple[str, float], ...]:
    """The standard's scales and those for what is larger, largest first."""
    return tuple(sorted((*norm.scales, *((f"1:{k}", 1.0 / k) for k in FURTHER[norm.projection])), key=lambda one: -one[1]))


def plan_views(box: Box, norm: Standard, failed: bool) -> Plan:
    """The smallest sheet that shows the front readably at a standard scale, else the largest sheet."""
    width, depth, height = box.size
    best: Plan | None = None
    for size in norm.sheets:
        free = Paper(size, failed).free
        for name, scale in scales(norm):
            wide = ROOM_MM + (width + depth) * scale + BETWEEN_MM + END_MM
            tall = ROOM_MM + (height + depth) * scale + BETWEEN_MM + END_MM
            if wide <= free.right - free.left and tall <= free.top - free.bottom:
                if best is None or scale > best.scale:
                    best = Plan(size, name, scale)
                break
        if best is not None and (max(width, height) * best.scale >= READABLE_MM or best.scale >= 1.0):
            return best
    return best or Plan(norm.sheets[-1], *scales(norm)[-1])


class Views:
    """The sheet in the making."""

    def __init__(self, scene: Scene, cuts: Sequence[Cut], plan: Plan, norm: Standard, about: PieceAbout) -> None:
        self.scene, self.cuts, self.plan, self.norm, self.about = scene, cuts, plan, norm, about
        self.paper = Paper(plan.size, about.failed)
        self.space = self.paper.space()
        self.first = norm.projection == "first"
        box, scale = scene.box, plan.scale
        width, depth, height = box.size
        free = self.paper.free
        wide = ROOM_MM + (width + depth) * scale + BETWEEN_MM + END_MM
        tall = ROOM_MM + (height + depth) * scale + BETWEEN_MM + END_MM
        left = free.left + ROOM_MM + max(0.0, (free.right - free.left - wide) / 2)
        low = free.bottom + max(0.0, (free.top - free.bottom - tall) / 2)
        side = LEFT if self.first else RIGHT
        bottom, top = (low + END_MM + depth * scale + BETWEEN_MM, low + END_MM) if self.first else (low + ROOM_MM, 0.0)
        if not self.first:
            top = bottom + height * scale + BETWEEN_MM
        aside = left + width * scale + BETWEEN_MM
        self.views: list[tuple[str, Eye, Place]] = [
            ("front", FRONT, _corner(FRONT, box, (left, bottom), scale)),
            ("from the left" if self.first else "right side", side, _corner(side, box, (aside, bottom), scale)),
            ("top", TOP, _corner(TOP, box, (left, top), scale)),
        ]
        self.groups: dict[str, list[Group]] = {}
        self.tables: list[Group] = []
        self.shut: list[Clear] = []
        self.drawn: dict[str, Rect] = {}
        self._draw()

    def _draw(self) -> None:
        pictures = {}
        for key, eye, place in self.views:
            pictures[key] = self.scene.picture(eye)
            items = drawn(pictures[key].strokes(), place)
            take(self.space, items)
            self.groups[key] = [Group("outline", tuple(items))]
            self.drawn[key] = _on_paper(self.scene.box, eye, place)
        width, depth, height = self.scene.box.size
        front, side, top = (key for key, _, _ in self.views[:3])
        across: Literal["top", "bottom"] = "top" if self.first else "bottom"
        self._add(front, overall(self.drawn[front], across, width, self.norm))
        self._add(front, overall(self.drawn[front], "left", height, self.norm))
        self._add(side, overall(self.drawn[side], across, depth, self.norm))
        for cut in self.cuts:
            self._cutting_plane(top if cut.axis == 1 else front, cut)
        for key in (front, side, top):
            self._title(key, "bottom" if across == "top" else "top")
        place = self.views[0][2]
        seen, shut = self._openings(pictures[front])
        self.shut = clear_sizes(shut)
        planes = {
            "x" if cut.axis == 2 else "y": place.at((cut.at_mm, cut.at_mm))[1 if cut.axis == 2 else 0] for cut in self.cuts if cut.axis != 1
        }
        groups, homeless = clear(self.space, clear_sizes(seen), place, self.norm, planes)
        self.groups[front] += groups
        if not any(cut.axis == 1 for cut in self.cuts):
            homeless += self.shut
        self.tables = clear_table(self.space, homeless, self.norm)
        self._pictorial()

    def _openings(self, picture: Picture) -> tuple[list[Opening], list[Opening]]:
        """Openings that are seen from the front with all their corners, and those of the cut that something stands before.

        They are measured where the piece is cut, and in the boards that face the front before that.
        """
        middle = next((cut.at_mm for cut in self.cuts if cut.axis == 1), self.scene.box.middle[1])
        facing = {round(part.box.middle[1], 3) for part in self.scene.design.parts if part.box.size[1] <= part.thickness_mm + 0.1}
        seen: list[Opening] = []
        shut: list[Opening] = []
        for at in [*sorted(at for at in facing if at < middle)[:FACING], middle]:
            for opening in openings(self.scene.wood(FRONT, -at)):
                inner = [(u, v, -at) for u in _within(opening.low[0], opening.high[0]) for v in _within(opening.low[1], opening.high[1])]
                if not picture.hidden(np.array(inner)).any():
                    seen += [opening] if not any(opening.like(other) for other in seen) else []
                elif at == middle:
                    shut.append(opening)
        return seen, shut

    def _add(self, key: str, group: Group) -> None:
        take(self.space, group.items)
        self.groups[key].append(group)

    def _title(self, key: str, side: str) -> None:
        box, height = self.drawn[key], self.norm.text_mm
        wide = text_width(key, height, True)
        x = (box.left + box.right) / 2
        for y in (box.bottom - 3.0 - height, box.bottom - 12.0) if side == "bottom" else (box.top + 3.5, box.top + 12.0):
            for dx in (0.0, *(k * wide / 2 for k in (1.2, -1.2, 2.4, -2.4, 4.0, -4.0))):
                area = Rect(x + dx - wide / 2, y - 0.8, x + dx + wide / 2, y + height)
                if self.space.free(area):
                    self._add(key, Group("note", (Label(key, (x + dx, y), height, "middle", bold=True),)))
                    return

    def _pictorial(self) -> None:
        """The piece as the eye sees it, in the corner that the three views leave, where that is large enough."""
        free, side, top = self.paper.free, self.drawn[self.views[1][0]], self.drawn[self.views[2][0]]
        corner = (
            Rect(side.left, free.bottom, free.right, side.bottom - 8.0)
            if self.first
            else Rect(side.left, side.top + 9.0, free.right, free.top)
        )
        corner = Rect(max(corner.left, top.right + END_MM + 4.0), corner.bottom, corner.right, corner.top)
        strokes = self.scene.picture(DIMETRIC).strokes()
        points = [p for stroke in strokes for p in stroke.points]
        low, high = (min(p[0] for p in points), min(p[1] for p in points)), (max(p[0] for p in points), max(p[1] for p in points))
        scale = min((corner.right - corner.left) / (high[0] - low[0]), (corner.top - corner.bottom) / (high[1] - low[1]), self.plan.scale)
        wide, tall = (high[0] - low[0]) * scale, (high[1] - low[1]) * scale
        wood = sorted(part.thickness_mm for part in self.scene.design.parts)[len(self.scene.design.parts) // 2]
        if max(wide, tall) < PICTORIAL_MM or wood * scale < EDGES_MM:
            return
        left, bottom = (corner.left + corner.right - wide) / 2, (corner.bottom + corner.top - tall) / 2
        if not self.space.free(Rect(left, bottom, left + wide, bottom + tall)):
            return
        place = Place((left - low[0] * scale, bottom - low[1] * scale), scale)
        self.views.append(("pictorial", DIMETRIC, place))
        self._add_new("pictorial", Group("outline", tuple(drawn(strokes, place))))

    def _add_new(self, key: str, group: Group) -> None:
        self.groups[key] = []
        self._add(key, group)

    def _cutting_plane(self, key: str, cut: Cut) -> None:
        """A chain line with thick ends, arrows the way one looks, and the letter (ISO 128-3)."""
        eye, place = next((e, p) for k, e, p in self.views if k == key)
        box = self.drawn[key]
        point = [0.0, 0.0, 0.0]
        point[cut.axis] = cut.at_mm
        u, v, _ = eye.see((point[0], point[1], point[2]))
        look = [-c for c in cut.eye.towards]
        way_u, way_v, _ = eye.see((look[0], look[1], look[2]))
        at = place.at((u, v))
        upright = abs(way_u) > 0.5
        ends: tuple[tuple[Vec2, Vec2], ...]
        if upright:
            ends = (((at[0], box.bottom - 2.0), (at[0], box.bottom - 7.0)), ((at[0], box.top + 2.0), (at[0], box.top + 7.0)))
        else:
            ends = (((box.left - 2.0, at[1]), (box.left - 7.0, at[1])), ((box.right + 2.0, at[1]), (box.right + 7.0, at[1])))
        items: list[Item] = [Line(ends[0][0], ends[1][0], Pen.centre)]
        for near, far in ends:
            tip = (far[0] + way_u * (ARROW_MM + 3.0), far[1] + way_v * (ARROW_MM + 3.0))
            items += [Line(near, far, Pen.visible), Leader((tip, far))]
            labels = list(_letters(cut.letter, near, far, tip, (way_u, way_v)))
            label = next((one for one in labels if self.space.free(label_box(one))), labels[0])
            items.append(label)
        self._add(key, Group("note", tuple(items)))

    def sheet(self) -> Sheet:
        """The finished sheet."""
        shows = ", ".join(key for key, _, _ in self.views[:3])
        said = title_fields(self.scene.design, self.scene.box.size, f"{shows} view", self.plan.name, self.about, self.norm)
        views = [SheetView(key, key, place.scale, place.origin, tuple(self.groups[key])) for key, _, place in self.views]
        return finished(self.scene.design, self.paper, views, self.tables, said, self.about, self.norm)


def _letters(letter: str, near: Vec2, far: Vec2, tip: Vec2, way: Vec2) -> Iterator[Label]:
    """Where the letter of a cutting plane may stand: behind its arrow, before it, or beyond the end of the plane."""
    height = 3.5
    wide = text_width(letter, height, True)
    out = (
        math.copysign(1.0, far[0] - near[0]) if far[0] != near[0] else 0.0,
        math.copysign(1.0, far[1] - near[1]) if far[1] != near[1] else 0.0,
    )
    for at, to in ((far, (-way[0], -way[1])), (tip, way), (far, out)):
        x, y = at[0] + to[0] * (1.5 + wide / 2), at[1] + to[1] * (1.5 + height / 2)
        yield Label(letter, (x, y - height / 2), height, "middle", bold=True)


def _within(low: float, high: float) -> tuple[float, float]:
    return low + INSET_MM, high - INSET_MM


def _corner(eye: Eye, box: Box, at: Vec2, scale: float) -> Place:
    """The place of a picture whose lower left corner lies at `at`."""
    a, b = eye.see(box.low), eye.see(box.high)
    return Place((at[0] - min(a[0], b[0]) * scale, at[1] - min(a[1], b[1]) * scale), scale)


def _on_paper(box: Box, eye: Eye, place: Place) -> Rect:
    a, b = eye.see(box.low), eye.see(box.high)
    return place.box((min(a[0], b[0]), min(a[1], b[1])), (max(a[0], b[0]), max(a[1], b[1])))
