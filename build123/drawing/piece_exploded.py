"""The pictorial of the piece apart, with part marks and the parts list."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from build123.drawing.expand import column_widths
from build123.drawing.lettering import Rect
from build123.drawing.piece_apart import one_of_each, pulled_apart
from build123.drawing.piece_balloons import Balloons, anchors
from build123.drawing.piece_lines import Place, drawn
from build123.drawing.piece_list import HEADING, Marked, parts_list
from build123.drawing.piece_look import DIMETRIC, Picture
from build123.drawing.piece_scene import Scene
from build123.drawing.piece_title import Paper, PieceAbout, finished, title_fields
from build123.drawing.standard import Standard
from build123.drawing.vocabulary import Group, Label, Line, Polyline, Sheet, SheetView, Table
from build123.model.frame import Vec, Vec2, add
from build123.model.plan import GlueUp

ROW_MM = 5.2
BALLOON_ROOM_MM = 11.0
"""About the picture, for marks."""
LIST_MM = (12.0, 130.0, 16.0, 40.0, 70.0)
"""Widest columns of the parts list."""
MARKED_EACH = 40
"""With more bodies than this only the first of each kind carries its mark."""
SMALLER = 0.5
"""The list stands on the sheet of the pictorial unless that makes the pictorial smaller than this."""


SEEN_MM = 1.0
"""Holes are shown down to this on paper: they tell where dowels go."""


def _extent(scene: Scene, shown: Sequence[str], shifts: Mapping[str, Vec]) -> tuple[Vec2, Vec2]:
    """The box of the pictorial, from the boxes of the bodies."""
    points = []
    for name in shown:
        box, shift = scene.bodies[name].box, shifts[name]
        for x in (box.low[0], box.high[0]):
            for y in (box.low[1], box.high[1]):
                points += [DIMETRIC.see(add((x, y, z), shift))[:2] for z in (box.low[2], box.high[2])]
    return (min(p[0] for p in points), min(p[1] for p in points)), (max(p[0] for p in points), max(p[1] for p in points))


class Exploded:
    """The sheets in the making: the pictorial, and the parts list on it or on sheets of its own."""

    def __init__(self, scene: Scene, glue_up: GlueUp | None, norm: Standard, failed: bool) -> None:
        self.scene, self.norm = scene, norm
        self.rows = parts_list(scene.design, norm)
        self.shown, self.told = one_of_each(scene.design)
        shifts = pulled_apart(scene.design, glue_up, self.shown)
        self.low, self.high = _extent(scene, self.shown, shifts)
        cells = (HEADING, *(row.cells for row in self.rows))
        self.widths = tuple(
            max(w, column_widths(((HEADING[k],),), norm.text_mm, 99.0)[0])
            for k, w in enumerate(min(a, b) for a, b in zip(column_widths(cells, norm.text_mm, 99.0), LIST_MM, strict=True))
        )
        size = norm.sheets[-1]
        paper = Paper(size, failed)
        free = paper.free
        beside = Rect(free.left, free.bottom, free.right - sum(self.widths) - 4.0, free.top)
        low = Rect(free.left, paper.frame.bottom + 3.0, paper.title.left - 3.0, free.top)
        fits = (len(cells) + 1) * ROW_MM <= free.top - free.bottom
        alone = self._fit(free)
        together = max((self._fit(beside), self._fit(low)), key=lambda one: one[0])
        self.together = fits and together[0] >= SMALLER * alone[0]
        self.size = size
        self.scale, self.area = together if self.together else alone
        self.picture = Picture(scene.placed(self.shown, shifts, SEEN_MM / self.scale), DIMETRIC)
        self.strokes = self.picture.strokes()

    @property
    def count(self) -> int:
        """How many sheets there are."""
        return 1 if self.together else 1 + len(self._pages())

    def _fit(self, area: Rect) -> tuple[float, Rect]:
        """How large the picture can be in an area; a pictorial has no scale to measure by."""
        room = 2 * BALLOON_ROOM_MM
        across, up = area.right - area.left - room, area.top - area.bottom - room
        return min(across / (self.high[0] - self.low[0]), up / (self.high[1] - self.low[1]), 1.0), area

    def pictorial(self, about: PieceAbout) -> Sheet:
        """The sheet of the piece apart."""
        paper = Paper(self.size, about.failed)
        space = paper.space()
        scale = self.scale
        area = self.area
        left = (area.left + area.right - (self.high[0] - self.low[0]) * scale) / 2 - self.low[0] * scale
        bottom = (area.bottom + area.top - (self.high[1] - self.low[1]) * scale) / 2 - self.low[1] * scale
        place = Place((left, bottom), scale)
        groups: list[Group] = []
        views: list[Group] = []
        free = paper.free
        if self.together:
            table = self._table(self.rows, (free.right - sum(self.widths), free.top))
            space.add_box(Rect(table.at[0] - 2.0, table.at[1] - ROW_MM * len(table.rows) - 2.0, free.right, free.top))
            groups.append(Group("table", (table,)))
        ink = []
        for k, name in enumerate(self.shown):
            items = drawn([stroke for stroke in self.strokes if stroke.body == k], place)
            for item in items:
                space.add(item)  # type: ignore[arg-type]
                if isinstance(item, Line):
                    ink.append((item.start, item.end))
                elif isinstance(item, Polyline):
                    ink += [(a[:2], b[:2]) for a, b in zip(item.points, item.points[1:], strict=False)]
            views.append(Group("outline", tuple(items), (name,)))
        views += self._marks(Balloons(space), place, ink)
        if self.told:
            groups.append(Group("note", (Label(f"shown: {self.told}", (free.left + 1.0, free.top - 3.0), self.norm.text_mm),)))
        said = title_fields(self.scene.design, self.scene.box.size, self._shows(), "none", about, self.norm)
        view = SheetView("apart", "apart", self.scale, place.origin, tuple(views))
        return finished(self.scene.design, paper, [view], groups, said, about, self.norm)

    def _shows(self) -> str:
        return "taken apart, dimetric" + (", parts list" if self.together else "")

    def _marks(self, balloons: Balloons, place: Place, ink: Sequence[tuple[tuple[float, float], tuple[float, float]]]) -> list[Group]:
        marks = {body: row for row in self.rows for body in row.bodies}
        points = anchors(self.picture, place, ink)
        found: list[Group] = []
        parts = {part.name for part in self.scene.design.parts}
        every = len(self.shown) <= MARKED_EACH
        # Bodies of which least is seen choose first; of each kind the one that is seen best carries its mark at all events.
        for k, body in enumerate(self.picture.bodies):
            points.setdefault(k, [place.at(body.seen(DIMETRIC, body.wire.corners).mean(axis=0).tolist())])
        order = sorted(points, key=lambda k: (len(points[k]), k))
        best: dict[str, int] = {}
        for k in order:
            best[marks[self.shown[k]].mark] = k
        firsts = sorted(best.values(), key=order.index)
        others = [k for k in order if every and k not in firsts and self.shown[k] in parts]
        for k in (*firsts, *others):
            group = balloons.place(marks[self.shown[k]].mark, points[k], self.shown[k])
            if group is not None:
                found.append(group)
        return found

    def _table(self, rows: Sequence[Marked], at: tuple[float, float]) -> Table:
        return Table(at, self.widths, ROW_MM, self.norm.text_mm, (HEADING, *(row.cells for row in rows)))

    def _pages(self) -> list[Sequence[Marked]]:
        free = Paper(self.size, True).free
        most = int((free.top - free.bottom) // ROW_MM) - 2
        return [self.rows[k : k + most] for k in range(0, len(self.rows), most)]

    def lists(self, abouts: Sequence[PieceAbout]) -> list[Sheet]:
        """The sheets of the parts list, where it does not stand by the pictorial."""
        sheets = []
        for rows, about in zip(self._pages(), abouts, strict=True):
            paper = Paper(self.size, about.failed)
            groups = [Group("table", (self._table(rows, (paper.free.left, paper.free.top)),))]
            said = title_fields(self.scene.design, self.scene.box.size, "parts list", "–", about, self.norm)
            sheets.append(finished(self.scene.design, paper, [], groups, said, about, self.norm))
        return sheets
