"""The sheet of the whole piece: front, side and top view, overall and clear sizes, where it is cut."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from build123.drawing.lettering import Rect, text_width
from build123.drawing.piece_lines import Place, drawn
from build123.drawing.piece_look import DIMETRIC, FRONT, LEFT, RIGHT, TOP, Eye
from build123.drawing.piece_openings import clear_sizes, openings
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
        at = next((cut.at_mm for cut in self.cuts if cut.axis == 1), self.scene.box.middle[1])
        sizes = clear_sizes(openings(self.scene.wood(FRONT, -at)))
        place = self.views[0][2]
        planes = {
            "x" if cut.axis == 2 else "y": place.at((cut.at_mm, cut.at_mm))[1 if cut.axis == 2 else 0] for cut in self.cuts if cut.axis != 1
        }
        middles = [(*s.openings[0].middle, -at) for s in sizes]
        shut = pictures[front].hidden(np.array(middles).reshape(-1, 3)).tolist()
        groups, homeless = clear(self.space, [s for s, no in zip(sizes, shut, strict=True) if not no], place, self.norm, planes)
        self.groups[front] += groups
        homeless += [s for s, no in zip(sizes, shut, strict=True) if no]
        self.tables = clear_table(self.space, homeless, self.norm)
        self._pictorial()

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
            height = 3.5
            if upright:
                label = Label(cut.letter, (far[0] - way_u * 1.5, far[1] - height / 2), height, "end" if way_u > 0 else "start", bold=True)
            else:
                label = Label(cut.letter, (far[0], far[1] - way_v * 1.5 - (height if way_v > 0 else 0.0)), height, "middle", bold=True)
            items.append(label)
        self._add(key, Group("note", tuple(items)))

    def sheet(self) -> Sheet:
        """The finished sheet."""
        shows = ", ".join(key for key, _, _ in self.views[:3])
        said = title_fields(self.scene.design, self.scene.box.size, f"{shows} view", self.plan.name, self.about, self.norm)
        views = [SheetView(key, key, place.scale, place.origin, tuple(self.groups[key])) for key, _, place in self.views]
        return finished(self.scene.design, self.paper, views, self.tables, said, self.about, self.norm)


def _corner(eye: Eye, box: Box, at: Vec2, scale: float) -> Place:
    """The place of a picture whose lower left corner lies at `at`."""
    a, b = eye.see(box.low), eye.see(box.high)
    return Place((at[0] - min(a[0], b[0]) * scale, at[1] - min(a[1], b[1]) * scale), scale)


def _on_paper(box: Box, eye: Eye, place: Place) -> Rect:
    a, b = eye.see(box.low), eye.see(box.high)
    return place.box((min(a[0], b[0]), min(a[1], b[1])), (max(a[0], b[0]), max(a[1], b[1])))
