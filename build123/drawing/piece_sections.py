"""The sheet of one cut through the piece, with enlarged details of the joints in it."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import shapely

from build123.drawing.lettering import Rect, label_box, wrapped
from build123.drawing.piece_hatch import hatched, styles
from build123.drawing.piece_lines import Place, apart, clipped, drawn
from build123.drawing.piece_look import Stroke
from build123.drawing.piece_openings import Clear
from build123.drawing.piece_scene import Cut, Hidden, Scene
from build123.drawing.piece_sizes import clear, clear_table, take
from build123.drawing.piece_title import Paper, PieceAbout, finished, title_fields
from build123.drawing.piece_views import scales
from build123.drawing.standard import Standard
from build123.drawing.vocabulary import Group, Item, Label, Line, Pen, Polyline, Sheet, SheetView, Size
from build123.model.design import Design
from build123.model.frame import Vec2

DETAIL_MM = 60.0
"""Side of a detail on paper."""
TITLES_MM = 16.0
ENLARGED = (("5:1", 5.0), ("2:1", 2.0))
"""ISO 5455."""
LETTERS = "ABCDEFGHJKLMNPRSTUVWXYZ"
"""Without I, O and Q, which are read as figures (ISO 128-3 custom)."""
LARGER = 1.5
"""A detail is worth its place from here on."""
SAME_MM = 0.01
MOST = 6
"""Details on a sheet."""


@dataclass(frozen=True, slots=True)
class Detail:
    """One joint enlarged: the letter, the joint, how many like it are cut, and the square of the picture that is shown, mm of wood."""

    letter: str
    hidden: Hidden
    count: int
    window: Rect
    name: str
    scale: float


def details(cut: Cut, scene: Scene, norm: Standard, used: int) -> list[Detail]:
    """One for each different joint that the cut crosses, the first of each kind. `used` letters stand on the sheets before."""
    found: list[Detail] = []
    alike: dict[tuple[object, ...], list[Hidden]] = {}
    for hidden in cut.shown:
        alike.setdefault(_look(hidden, scene.design, cut.axis), []).append(hidden)
    for same in list(alike.values())[:MOST]:
        hidden = same[0]
        member, receiver = (scene.design.by_name[name] for name in (hidden.joint.member, hidden.joint.receiver))
        u, v, _ = cut.eye.see(hidden.region.middle)
        low, high = cut.eye.see(hidden.region.low), cut.eye.see(hidden.region.high)
        wide = max(abs(high[0] - low[0]), abs(high[1] - low[1]))
        wide = wide if hidden.pin else max(wide, member.thickness_mm, receiver.thickness_mm)
        name, scale = next(((n, s) for n, s in (*ENLARGED, *norm.scales) if wide * 1.6 * s <= DETAIL_MM), norm.scales[-1])
        half = DETAIL_MM / scale / 2
        letter = LETTERS[(used + len(found)) % len(LETTERS)]
        found.append(Detail(letter, hidden, len({one.joint.id for one in same}), Rect(u - half, v - half, u + half, v + half), name, scale))
    return found


def _look(hidden: Hidden, design: Design, axis: int) -> tuple[object, ...]:
    """Equal for joints that look the same in a cut, up to turning: sizes, stock, and on how many sides the joint is open."""
    member, receiver = design.by_name[hidden.joint.member], design.by_name[hidden.joint.receiver]
    box, region = receiver.box, hidden.region
    sides = [
        (
            round(region.size[k], 2),
            sorted(abs(a[k] - b[k]) < SAME_MM for a, b in ((region.low, box.low), (region.high, box.high))),
            round(member.box.size[k], 2) == round(region.size[k], 2),
        )
        for k in range(3)
        if k != axis
    ]
    return (hidden.joint.kind, member.stock.name, receiver.stock.name, repr(sorted(sides)))


class Section:
    """The sheet in the making."""

    def __init__(
        self, scene: Scene, cut: Cut, found: Sequence[Detail], norm: Standard, about: PieceAbout, least: float, sizes: Sequence[Clear] = ()
    ) -> None:
        """`least` is a scale; the cut is drawn no smaller if a larger sheet can help it. `sizes` are clear sizes to write."""
        self.scene, self.cut, self.details, self.norm, self.about, self.least = scene, cut, found, norm, about, least
        self.sizes = sizes
        self.tables: list[Group] = []
        low, high = cut.eye.see(scene.box.low), cut.eye.see(scene.box.high)
        self.low, self.high = (min(low[0], high[0]), min(low[1], high[1])), (max(low[0], high[0]), max(low[1], high[1]))
        self.size, self.name, self.place, self.slots = self._arranged()
        self.details = self._enlarged(self.place.scale)
        self.paper = Paper(self.size, about.failed)
        self.space = self.paper.space()
        self.views: list[SheetView] = []
        self.bodies, self.strokes, self.areas = scene.section(cut)
        self._draw()

    def _arranged(self) -> tuple[Size, str, Place, list[Vec2]]:
        """Sheet, scale, place of the cut and lower left corners of the details: beside the cut or above it, what is larger."""
        best: tuple[float, Size, str, Place, list[Vec2]] | None = None
        for size in self.norm.sheets:
            free = Paper(size, self.about.failed).free
            for wanted in self._with_details(size, free):
                if best is None or wanted[0] > best[0] * 1.01:
                    best = wanted
            if best is not None and best[0] >= self.least:
                break
        assert best is not None
        return best[1:]

    def _with_details(self, size: Size, free: Rect) -> Iterator[tuple[float, Size, str, Place, list[Vec2]]]:
        count = len(self.details)
        pitch_x, pitch_y = DETAIL_MM + 6.0, DETAIL_MM + TITLES_MM
        down = max(1, int((free.top - free.bottom) // pitch_y))
        across = max(1, int((free.right - free.left) // pitch_x))
        columns, rows = -(-count // down), -(-count // across)
        beside = Rect(free.left, free.bottom, free.right - columns * pitch_x, free.top)
        above = Rect(free.left, free.bottom, free.right, free.top - rows * pitch_y)
        right = [(beside.right + (k // down) * pitch_x + 4.0, free.top - (k % down + 1) * pitch_y + TITLES_MM) for k in range(count)]
        over = [(free.left + (k % across) * pitch_x + 2.0, free.top - (k // across + 1) * pitch_y + TITLES_MM) for k in range(count)]
        for area, slots in ((beside, right), (above, over)):
            for name, scale in scales(self.norm):
                low, high = self._extent(scale)
                wide, tall = (high[0] - low[0]) * scale + 20.0, (high[1] - low[1]) * scale + 24.0
                if wide <= area.right - area.left and tall <= area.top - area.bottom:
                    left = area.left + (area.right - area.left - wide) / 2 + 10.0
                    bottom = area.bottom + (area.top - area.bottom - tall) / 2 + 14.0
                    yield scale, size, name, Place((left - low[0] * scale, bottom - low[1] * scale), scale), slots
                    break
        name, scale = scales(self.norm)[-1]
        yield scale / 10, size, name, Place((free.left - self.low[0] * scale, free.bottom - self.low[1] * scale), scale), right

    def _enlarged(self, scale: float) -> list[Detail]:
        """The details that show more than the cut itself does."""
        return [detail for detail in self.details if detail.scale >= LARGER * scale]

    def _extent(self, scale: float) -> tuple[Vec2, Vec2]:
        """The box of the cut with the frames of its details, in the picture."""
        windows = [detail.window for detail in self._enlarged(scale)]
        low = (min([self.low[0], *(w.left for w in windows)]), min([self.low[1], *(w.bottom for w in windows)]))
        high = (max([self.high[0], *(w.right for w in windows)]), max([self.high[1], *(w.top for w in windows)]))
        return low, high

    def _draw(self) -> None:
        scale = self.place.scale
        on_paper = {k: shapely.transform(a, lambda p: p * scale + self.place.origin) for k, a in self.areas.items()}
        self.styles = styles(on_paper)
        outline = drawn(self.strokes, self.place)
        hatching = [item for k, area in on_paper.items() for item in hatched(area, self.styles[k])]
        frames: list[Item] = []
        for detail in self.details:
            window = self.place.box((detail.window.left, detail.window.bottom), (detail.window.right, detail.window.top))
            frames.append(_frame(window))
        take(self.space, [*outline, *hatching, *frames])
        box = self.place.box(self.low, self.high)
        title = f"{self.cut.letter}–{self.cut.letter} ({self.name})"
        under = self._extent(scale)[0][1] * scale + self.place.origin[1]
        label = Label(title, ((box.left + box.right) / 2, min(box.bottom, under) - 9.0), 3.5, "middle", bold=True)
        self.space.add(label)
        groups = [Group("outline", tuple(outline)), Group("mark", tuple(hatching)), Group("note", (*frames, label))]
        for detail in self.details:
            groups.append(Group("note", self._letter(detail)))
        sizes, homeless = clear(self.space, self.sizes, self.place, self.norm, {})
        groups += sizes
        self.tables = clear_table(self.space, homeless, self.norm)
        self.views.append(SheetView(f"section {self.cut.letter}", title, scale, self.place.origin, tuple(groups)))
        for detail, slot in zip(self.details, self.slots, strict=False):
            self.views.append(self._detail(detail, slot))

    def _letter(self, detail: Detail) -> tuple[Item, ...]:
        """The detail's letter at its frame, where there is room."""
        window = self.place.box((detail.window.left, detail.window.bottom), (detail.window.right, detail.window.top))
        height = 3.5
        middle_x, middle_y = (window.left + window.right) / 2, (window.bottom + window.top) / 2
        for far in (1.2, 2.5, 4.0, 6.0, 9.0, 13.0):
            for x, y in (
                (window.right + far, middle_y - height / 2),
                (window.left - far - 3.2, middle_y - height / 2),
                (middle_x - 1.6, window.top + far),
                (middle_x - 1.6, window.bottom - far - height),
                (window.right + far, window.top + far),
                (window.right + far, window.bottom - far - height),
                (window.left - far - 3.2, window.top + far),
                (window.left - far - 3.2, window.bottom - far - height),
            ):
                label = Label(detail.letter, (x, y), height, bold=True)
                if self.space.free(label_box(label)):
                    self.space.add(label)
                    return (label,)
        return ()

    def _detail(self, detail: Detail, slot: Vec2) -> SheetView:
        scale = detail.scale
        window = Rect(slot[0], slot[1], slot[0] + DETAIL_MM, slot[1] + DETAIL_MM)
        place = Place((slot[0] - detail.window.left * scale, slot[1] - detail.window.bottom * scale), scale)
        inside = shapely.box(window.left, window.bottom, window.right, window.top)
        shown: list[Item] = []
        for k, area in self.areas.items():
            wood = shapely.transform(area, lambda p: p * scale + place.origin).intersection(inside)
            shown += hatched(wood, self.styles[k])
        lines = list(apart(_clipped_strokes(self.strokes, place, window)))
        outline = [Line(a, b, Pen.visible) for a, b in lines]
        joint = detail.hidden.joint
        title = f"{detail.letter} ({detail.name})"
        more = f", and {detail.count - 1} alike" if detail.count > 1 else ""
        way = "to" if detail.hidden.pin else "in"
        words = wrapped(f"{joint.kind}: {joint.member} {way} {joint.receiver}{more}", self.norm.text_mm, DETAIL_MM, 2)
        labels = (
            Label(title, (window.left, window.bottom - 4.5), 3.5, bold=True),
            *(Label(line, (window.left, window.bottom - 8.8 - 4.0 * k), self.norm.text_mm) for k, line in enumerate(words)),
        )
        groups = (Group("mark", tuple(shown)), Group("outline", tuple(outline)), Group("note", (_frame(window), *labels)))
        return SheetView(f"detail {detail.letter}", title, scale, place.origin, groups)

    def sheet(self) -> Sheet:
        """The finished sheet."""
        letters = [d.letter for d in self.details]
        more = f", details {letters[0]} to {letters[-1]}" if len(letters) > 1 else f", detail {letters[0]}" if letters else ""
        shows = f"section {self.cut.letter}–{self.cut.letter}{more}"
        said = title_fields(self.scene.design, self.scene.box.size, shows, self.name, self.about, self.norm)
        return finished(self.scene.design, self.paper, self.views, self.tables, said, self.about, self.norm)


def _frame(window: Rect) -> Polyline:
    corners = ((window.left, window.bottom), (window.right, window.bottom), (window.right, window.top), (window.left, window.top))
    return Polyline(tuple((x, y, 0.0) for x, y in corners), True, Pen.thin)


def _clipped_strokes(strokes: Sequence[Stroke], place: Place, window: Rect) -> Iterator[tuple[Vec2, Vec2]]:
    for stroke in strokes:
        points = [place.at(p) for p in stroke.points]
        for a, b in itertools.pairwise(points):
            part = clipped(a, b, window)
            if part is not None:
                yield part
