"""The sheet of a part: views, dimensions, notes, tables and title block put together."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import TypeAlias

from build123.drawing.annotate import dimensions
from build123.drawing.bench_marks import openings, waste_marks
from build123.drawing.bores import hole_items
from build123.drawing.curves import with_arcs
from build123.drawing.dimension import plan
from build123.drawing.expand import expand
from build123.drawing.layout import Arranger, Layout, PlacedView, large, lay_out, rank
from build123.drawing.lettering import Rect, fitted
from build123.drawing.linework import look
from build123.drawing.marks import mark_items
from build123.drawing.notes import Target, place, place_name
from build123.drawing.numbers import Numbers
from build123.drawing.opposite import OppositeHand
from build123.drawing.part_pictorial import Picture, picture
from build123.drawing.plans import Spot, ViewPlan
from build123.drawing.sections import SectionBlock
from build123.drawing.solid import blank, prisms
from build123.drawing.space import Space
from build123.drawing.standard import Standard, standard
from build123.drawing.tables import Piece, corner_pieces, hole_marks, hole_pieces, letters, note_pieces, section_pieces
from build123.drawing.titleblock import FAILED, SheetAbout, band, fields, frame_lines, title_block
from build123.drawing.viewing import viewings
from build123.drawing.vocabulary import Area, Group, Item, Label, Line, Pen, Polyline, Sheet, SheetView
from build123.drawing.wording import nearest_side, side_name
from build123.model.design import Design
from build123.model.feature import Hole, Mark
from build123.model.frame import scale
from build123.model.part import Part

DIRECT_NOTES = 3
"""So many notes are written out at their features; more get letters and a table."""
TRIED = 12
"""So many layouts are drawn in search of one where every note finds its place."""
NAME_MM = 46.0
"""The longest name written beside a feature."""
NOTES_MM = (92.0, 54.0)
"""Widths that notes are broken to: the narrow one stands beside the title block."""
ROWS_EACH = (40, 24, 14, 8)
"""Lengths of table that are tried."""

Placeable: TypeAlias = Piece | SectionBlock | Picture | OppositeHand
"""What is not in line with the views and goes where there is room."""


@dataclass(frozen=True)
class SheetPlan:
    """What goes on one sheet: equal parts, what is said beside them, those of opposite hand."""

    parts: tuple[Part, ...]
    about: SheetAbout
    others: tuple[Part, ...]

    @property
    def key(self) -> Hashable:
        """Equal for sheets that show the same: geometry and every word that is drawn, no reasons and no places in a file."""
        return (self.about, *(tuple(_shown(p) if k == 0 else p.name for k, p in enumerate(parts)) for parts in (self.parts, self.others)))

    def draw(self) -> Sheet:
        """The finished sheet."""
        return draw_part(self.parts, self.about, self.others)


def _shown(part: Part) -> Hashable:
    stock = part.stock
    return (
        (part.name, part.length_mm, part.width_mm, part.thickness_mm, part.show, tuple(sorted(part.looks.items()))),
        (stock.name, stock.material, stock.thickness_mm, stock.nominal_mm, stock.grain),
        tuple((f.geometry, f.about.id, f.about.label, f.about.members, f.about.fit) for f in part.features),
    )


def sheet_plans(design: Design, failed: bool, spec: str = "") -> list[SheetPlan]:
    """A plan for each sheet of the parts; opposite hands share the sheet of the first. `spec` is a short hash of its text."""
    pairs = hands(design)
    return [
        SheetPlan(
            parts,
            SheetAbout(design.piece, design.units, k, len(pairs), failed, tuple(p.name for p in others), spec, design.shop.marking_mm),
            others,
        )
        for k, (parts, others) in enumerate(pairs, 1)
    ]


def part_sheets(design: Design, failed: bool, spec_sha256: str = "") -> dict[str, Sheet]:
    """A sheet for each distinct part, by the name of its first member."""
    return {plan.parts[0].name: plan.draw() for plan in sheet_plans(design, failed, spec_sha256[:8])}


def hands(design: Design) -> list[tuple[tuple[Part, ...], tuple[Part, ...]]]:
    """Equal parts with those of opposite hand, which are none where a part is its own mirror image."""
    found: list[tuple[tuple[Part, ...], tuple[Part, ...]]] = []
    kinds = design.kinds
    done: set[str] = set()
    for key, parts in kinds.items():
        if key in done:
            continue
        other = f"{parts[0].hand_key} {parts[0].stock.name}"
        others = kinds.get(other, ()) if other != key else ()
        done.add(other)
        found.append((parts, others))
    return found


def draw_part(parts: Sequence[Part], about: SheetAbout, others: Sequence[Part] = ()) -> Sheet:
    """The sheet of equal parts; the first one stands for all. `others` are of opposite hand."""
    part = parts[0]
    norm = standard(about.units)
    n = Numbers(norm.units, about.marked_mm)
    body = blank(part)
    removed = prisms(part, body)
    plans = plan(part, [(viewing, look(body, removed, viewing)) for viewing in viewings(part)], n)
    arranger = Arranger(plans, norm, n)
    always: list[Placeable] = [picture(part, body, removed, norm)] if part.features else []
    if others:
        always.append(_opposite(others, norm))
    best: _Drawn | None = None
    plain = [spot for view in plans for spot in view.spots if spot.note and not spot.lettered]
    if len(plain) <= DIRECT_NOTES and len({s.note for s in plain}) == len(plain) and not any(view.rows for view in plans):
        marks = letters(plans, lettered_only=True)
        tables = [*note_pieces(plans, marks, NOTES_MM[0], ROWS_EACH[0], norm), *corner_pieces(plans, marks, ROWS_EACH[0], norm)]
        pieces = [*section_pieces(plans, marks, norm, n), *tables, *always]
        for layout in lay_out(arranger, [p.block for p in pieces], about.failed)[:2]:
            best = _better(best, _Drawn(parts, plans, layout, about, norm, n, marks, pieces))
    if best is None or best.homeless or large(best.layout):
        marks = letters(plans)
        for layout, pieces in _with_tables(part, plans, marks, about, arranger, always, n):
            best = _better(best, _Drawn(parts, plans, layout, about, norm, n, marks, pieces))
            if not best.homeless and not large(best.layout):
                break
    assert best is not None
    return best.sheet()


def _better(one: _Drawn | None, two: _Drawn) -> _Drawn:
    return two if one is None or (two.homeless, large(two.layout)) < (one.homeless, large(one.layout)) else one


def _opposite(others: Sequence[Part], norm: Standard) -> OppositeHand:
    body = blank(others[0])
    viewing = viewings(others[0])[0]
    return OppositeHand(others, viewing, look(body, prisms(others[0], body), viewing), norm)


def _with_tables(
    part: Part,
    plans: Sequence[ViewPlan],
    marks: dict[str, str],
    about: SheetAbout,
    arranger: Arranger,
    always: Sequence[Placeable],
    n: Numbers,
) -> Iterable[tuple[Layout, list[Placeable]]]:
    found: list[tuple[Layout, list[Placeable]]] = []
    norm = arranger.standard
    sections = section_pieces(plans, marks, norm, n)
    for note_mm in NOTES_MM:
        before = -1
        for rows_each in ROWS_EACH:
            tables = [*note_pieces(plans, marks, note_mm, rows_each, norm), *corner_pieces(plans, marks, rows_each, norm)]
            for view in plans:
                tables += hole_pieces(part, view, marks, rows_each, norm)
            if len(tables) == before:
                continue
            before = len(tables)
            pieces: list[Placeable] = [*sections, *tables, *always]
            found += [(layout, pieces) for layout in lay_out(arranger, [p.block for p in pieces], about.failed)]
    found.sort(key=lambda one: rank(one[0]))
    return [*[one for one in found if not large(one[0])][:TRIED], *[one for one in found if large(one[0])][: TRIED // 4]]


class _Drawn:
    """One attempt: everything placed on one layout. `homeless` counts notes that found no free place."""

    def __init__(
        self,
        parts: Sequence[Part],
        plans: Sequence[ViewPlan],
        layout: Layout,
        about: SheetAbout,
        norm: Standard,
        n: Numbers,
        marks: Mapping[str, str],
        pieces: Sequence[Placeable],
    ) -> None:
        self.parts, self.part, self.layout, self.about, self.norm, self.n, self.marks = parts, parts[0], layout, about, norm, n, marks
        self.homeless = 0
        frame = layout.frame
        self.space = Space(Rect(frame.left + 1.0, frame.bottom + 1.0, frame.right - 1.0, frame.top - 1.0))
        self.said = fields(parts, about, layout.scale_name, norm, n)
        self.groups: list[Group] = [frame_lines(frame), title_block(layout.title_block, parts, self.said, about, norm)]
        if about.failed:
            self.groups.append(band(frame))
        self.space.add_box(layout.title_block)
        if about.failed:
            self.space.add_box(Rect(frame.left, frame.top - 9.0, frame.right, frame.top))
        self.more: list[SheetView] = []
        for piece, corner in zip(pieces, layout.blocks, strict=True):
            placed = piece.placed(corner)
            if isinstance(placed, SheetView):
                self.more.append(placed)
            else:
                self.groups.append(placed)
            block = piece.block
            self.space.add_box(Rect(corner[0], corner[1] - block.height, corner[0] + block.width, corner[1]))
        self.views: dict[str, list[Group]] = {}
        for view in layout.views:
            self.views[view.plan.viewing.key] = self._taken([*self._linework(view), *dimensions(view, self.part, norm, n)])
        for view in layout.views:
            self.views[view.plan.viewing.key] += waste_marks(view, self.part, self.space)
        for view in layout.views:
            self._title(view)
        for view in layout.views:
            if view.plan.viewing.key in ("face", "underside"):
                self._names(view)
        for view in layout.views:
            self._notes(view)
        self._grain(layout.views[0])
        self.views["face"] += openings(layout.views[0], self.part, self.space, norm, n)

    def _taken(self, groups: list[Group]) -> list[Group]:
        for group in groups:
            for item in group.items:
                for primitive in expand(item):
                    self.space.add(primitive)
        return groups

    def _linework(self, view: PlacedView) -> Iterable[Group]:
        lines: dict[int, list[Item]] = {}
        for edge in view.plan.seen.edges:
            points = tuple((*view.on_paper((x, y)), bulge) for x, y, bulge in with_arcs(edge.points))
            closed = len(points) > 3 and points[0][:2] == points[-1][:2]
            lines.setdefault(edge.feature, []).append(
                Polyline(points[:-1] if closed else points, closed, Pen.hidden if edge.hidden else Pen.visible)
            )
        yield Group("outline", tuple(lines.pop(-1, ())))
        for number, feature in enumerate(self.part.features):
            shape = feature.geometry
            if isinstance(shape, Hole):
                items: tuple[Item, ...] = tuple(hole_items(self.part, shape, view.plan.viewing, view.on_paper, view.scale))
                yield Group("feature", items, (feature.about.id,))
            elif isinstance(shape, Mark):
                items = tuple(mark_items(shape, view.plan.viewing, view.on_paper)) if view.plan.viewing.sees(feature) else ()
                if items:
                    yield Group("mark", items, (feature.about.id,))
            elif number in lines:
                yield Group("feature", tuple(lines[number]), (feature.about.id,))

    def _title(self, view: PlacedView) -> None:
        text = self.title_of(view)
        box = view.box
        wide = box if box.right - box.left > 30.0 else Rect(box.left - 14.0, box.bottom, box.right + 14.0, box.top)
        # Centre lines may stand out over the outline.
        offs = (Rect(wide.left, wide.bottom - off, wide.right, wide.top + off) for off in (0.0, 2.0, 4.0))
        labels = (place_name(self.space, text, around, view.title_side, self.norm.text_mm, bold=True) for around in offs)
        label = next((label for label in labels if label is not None), None)
        if label is not None:
            self.views[view.plan.viewing.key].append(Group("note", (label,)))

    def title_of(self, view: PlacedView) -> str:
        """What the view shows, in the maker's words."""
        key, surface = view.plan.viewing.key, view.plan.viewing.surface
        shown = ", show face" if self.part.show == surface else ""
        if key == "face":
            return f"{side_name(self.part, surface)} (worked face{shown})"
        if key == "underside":
            return f"{side_name(self.part, surface)}{shown}, turned over about its length"
        return key if surface == "trim" else side_name(self.part, surface)

    def _notes(self, view: PlacedView) -> None:
        groups = self.views[view.plan.viewing.key]
        height = self.norm.text_mm
        for spot in sorted(view.plan.spots, key=lambda s: (not s.inside, s.at)):
            placed = place(self.space, self._text(spot), _target(view, spot), height)
            if placed is None:
                self.homeless += 1
                placed = (Label(self._text(spot)[0], view.on_paper(spot.at), height),)
            groups.append(Group("note", placed, spot.features, () if spot.note in self.marks else spot.covers))
        for mark, row in zip(hole_marks(view.plan, dict(self.marks)), view.plan.rows, strict=True):
            at = view.on_paper(row.first)
            radius = 2.0 * view.scale
            target = Target(at, Rect(at[0] - radius, at[1] - radius, at[0] + radius, at[1] + radius), False, True)
            placed = place(self.space, [mark], target, height)
            if placed is None:
                self.homeless += 1
                continue
            groups.append(Group("note", placed, row.features))

    def _text(self, spot: Spot) -> list[str]:
        members = [fitted(name, self.norm.text_mm, NAME_MM) for name in spot.members[:3]]
        if len(spot.members) > 3:
            members[2:] = [f"{len(spot.members) - 2} more"]
        names = ", ".join(members)
        if not spot.note:
            return [names]
        if spot.note not in self.marks:
            note = f"{spot.count} × {spot.note}" if spot.count > 1 else spot.note
            return [note, f"for {names}"] if names else [note]
        mark = self.marks[spot.note]
        many = f" ({spot.count}×)" if spot.count > 1 else ""
        return [f"{mark}{many} {names}".rstrip()]

    def _names(self, view: PlacedView) -> None:
        look = view.plan.viewing
        sides = (("bottom", scale(look.up, -1.0)), ("top", look.up), ("left", scale(look.right, -1.0)), ("right", look.right))
        for side, direction in sides:
            surface = nearest_side(direction)
            extra = (["reference"] if surface == "-y" else []) + (["show face"] if surface == self.part.show else [])
            name = side_name(self.part, surface)
            longer = [f"{name} ({', '.join(extra)})", f"{name} ({', '.join(extra).replace('reference', 'ref.')})"] if extra else []
            placed = (place_name(self.space, text, view.box, side, self.norm.text_mm) for text in (*longer, name))
            label = next((label for label in placed if label is not None), None)
            items: tuple[Item, ...] | None = (
                (label,) if label is not None else place(self.space, [name], _rim(view, side), self.norm.text_mm)
            )
            if items is None:
                self.homeless += 1
                continue
            self.views[look.key].append(Group("note", items))

    def _grain(self, view: PlacedView) -> None:
        if self.part.stock.grain == "none":
            return
        box, height = view.box, self.norm.text_mm
        for long in (26.0, 16.0):
            for up in (0.5, 0.3, 0.7, 0.4, 0.6, 0.2, 0.8):
                for along in (0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.1, 0.9):
                    x = box.left + (box.right - box.left) * along
                    y = box.bottom + (box.top - box.bottom) * up
                    room = Rect(x - long / 2 - 1.0, y - 1.2, x + long / 2 + 1.0, y + height + 1.6)
                    if room.within(box) and self.space.free(room):
                        self.space.add_box(room)
                        self.views[view.plan.viewing.key].append(Group("mark", tuple(_grain_arrow(x, y, long, height))))
                        return

    def sheet(self) -> Sheet:
        """The finished sheet."""
        views = tuple(
            SheetView(v.plan.viewing.key, self.title_of(v), v.scale, v.origin, tuple(self.views[v.plan.viewing.key]))
            for v in self.layout.views
        )
        said = self.said
        description = (
            f"{said['part']}; make {said['make']}; {said['finished T × W × L']}, {said['units']}; {said['stock']}; "
            f"views: {', '.join(v.title for v in views)}"
        )
        if self.about.failed:
            description = f"{FAILED}. {description}"
        title = f"{self.about.piece}: {self.part.name}"
        return Sheet(
            self.layout.size, title, description, self.layout.scale_name, (*views, *self.more), tuple(self.groups), tuple(said.items())
        )


def _grain_arrow(x: float, y: float, long: float, height: float) -> Iterable[Item]:
    yield Label("grain", (x, y + 1.0), height, "middle")
    yield Line((x - long / 2, y), (x + long / 2, y))
    for tip, way in ((x - long / 2, 1.0), (x + long / 2, -1.0)):
        yield Area(((tip, y), (tip + way * 3.0, y + 0.9), (tip + way * 3.0, y - 0.9)))


def _rim(view: PlacedView, side: str) -> Target:
    """A side of a view, to be pointed at."""
    box = view.box
    x = {"left": box.left, "right": box.right}.get(side)
    y = {"bottom": box.bottom, "top": box.top}.get(side)
    shares = (0.5, 0.3, 0.7, 0.15, 0.85, 0.05, 0.95)
    tips = [
        (
            x if x is not None else box.left + (box.right - box.left) * f,
            y if y is not None else box.bottom + (box.top - box.bottom) * f,
        )
        for f in shares
    ]
    return Target(tips[0], Rect(*tips[0], *tips[0]), False, others=tuple(tips[1:]))


def _target(view: PlacedView, spot: Spot) -> Target:
    low, high = view.on_paper(spot.low), view.on_paper(spot.high)
    return Target(
        view.on_paper(spot.at),
        Rect(low[0], low[1], high[0], high[1]),
        spot.inside,
        square=spot.square,
        others=tuple(map(view.on_paper, spot.others)),
    )


__all__ = ["SheetAbout", "SheetPlan", "draw_part", "hands", "part_sheets", "sheet_plans"]
