"""The tables of a sheet: notes by letter, holes by letter and number."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from build123.drawing.expand import column_widths
from build123.drawing.layout import Block
from build123.drawing.lettering import fitted, wrapped
from build123.drawing.numbers import Numbers
from build123.drawing.plans import ViewPlan
from build123.drawing.sections import SectionBlock
from build123.drawing.standard import Standard
from build123.drawing.vocabulary import Cover, Group, Table
from build123.drawing.wording import from_side, side_name
from build123.model.frame import Vec2
from build123.model.part import Part

WIDEST_MM = 98.0
"""Of a column."""
MEMBER_MM = 34.0
"""Of a part's name in the title of a table."""
ROW_HEIGHTS = 1.75
"""Row height in heights of capitals."""


@dataclass(frozen=True, slots=True)
class Piece:
    """A table, or a stretch of a long one, that still has to find its place."""

    title: str
    rows: tuple[tuple[str, ...], ...]
    features: tuple[str, ...]
    covers: tuple[Cover, ...]
    standard: Standard

    def _table(self, at: Vec2) -> Table:
        height = self.standard.text_mm
        return Table(at, column_widths(self.rows, height, WIDEST_MM), height * ROW_HEIGHTS, height, self.rows, self.title)

    @property
    def block(self) -> Block:
        """The room that it takes, its title above it included."""
        table = self._table((0.0, 0.0))
        return Block(sum(table.widths), table.row_height * (len(self.rows) + 1))

    def placed(self, corner: Vec2) -> Group:
        """The table with its upper left corner (title included) there."""
        table = self._table((corner[0], corner[1] - self.standard.text_mm * ROW_HEIGHTS))
        return Group("table", (table,), self.features, self.covers)


def letter(number: int) -> str:
    """A, B ... Z, AA, AB ... without I and O, which read as figures."""
    signs = "ABCDEFGHJKLMNPQRSTUVWXYZ"
    text = ""
    number += 1
    while number:
        number, digit = divmod(number - 1, len(signs))
        text = signs[digit] + text
    return text


def letters(plans: Sequence[ViewPlan], *, lettered_only: bool = False) -> dict[str, str]:
    """A letter for each different note, or only for those that a section or a table explains."""
    spots = [s for plan in plans for s in plan.spots if s.note and (s.lettered or not lettered_only)]
    notes = dict.fromkeys([*(s.note for s in spots), *(r.note for plan in plans for r in plan.rows)])
    return {note: letter(k) for k, note in enumerate(notes)}


def note_pieces(plans: Sequence[ViewPlan], marks: dict[str, str], note_mm: float, rows_each: int, standard: Standard) -> list[Piece]:
    """The notes by letter, with how many there are of each; those that a section explains are left out."""
    rows: list[tuple[str, ...]] = []
    covers: list[Cover] = []
    for note, mark in marks.items():
        spots = [s for plan in plans for s in plan.spots if s.note == note and s.section is None]
        holes = [r for plan in plans for r in plan.rows if r.note == note]
        count = sum(s.count for s in spots) + sum(r.count for r in holes)
        if not count:
            continue
        for k, line in enumerate(wrapped(note, standard.text_mm, note_mm, 9)):
            rows.append((mark, line, str(count)) if k == 0 else ("", line, ""))
        covers += [c for s in spots for c in s.covers]
        covers += [c for r in holes for c in r.covers if not c.size.startswith("across")]
    return _pieces("what to cut", ("mark", "cut", "times"), rows, covers, rows_each, standard) if rows else []


def section_pieces(plans: Sequence[ViewPlan], marks: dict[str, str], standard: Standard, n: Numbers) -> list[SectionBlock]:
    """An enlarged section for each different trench, profile and stepped hole."""
    found: list[SectionBlock] = []
    for note, mark in marks.items():
        spots = [s for plan in plans for s in plan.spots if s.note == note and s.section is not None]
        if not spots or spots[0].section is None:
            continue
        members = tuple(dict.fromkeys(m for s in spots for m in s.members))
        features = tuple(id for s in spots for id in s.features)
        covers = tuple(c for s in spots for c in s.covers)
        found.append(SectionBlock(mark, spots[0].section, members, sum(s.count for s in spots), features, covers, standard, n))
    return found


def corner_pieces(plans: Sequence[ViewPlan], marks: dict[str, str], rows_each: int, standard: Standard) -> list[Piece]:
    """The corners of each outline that dimensions do not give."""
    found: list[Piece] = []
    for plan in plans:
        numbers: dict[str, int] = {}
        for spot in plan.spots:
            if spot.corners is None:
                continue
            mark = marks[spot.note]
            numbers[mark] = numbers.get(mark, 0) + 1
            same = [s.members for p in plans for s in p.spots if s.note == spot.note]
            which = ""
            if len(same) > 1:
                which = f" {fitted(spot.members[0], standard.text_mm, MEMBER_MM)}" if _told_apart(same) else f", {numbers[mark]}"
            name = f"{mark}{which}: {spot.corners.what}"
            heads, *rows = spot.corners.rows
            found += _pieces(name, heads, rows, spot.corners.covers, rows_each, standard)
    return found


def _told_apart(members: Sequence[tuple[str, ...]]) -> bool:
    """Whether features alike are told apart by the one part that each is for, as the views say them."""
    return all(len(names) == 1 for names in members) and len(set(members)) == len(members)


def hole_pieces(part: Part, plan: ViewPlan, marks: dict[str, str], rows_each: int, standard: Standard) -> list[Piece]:
    """The holes of one view."""
    if not plan.rows:
        return []
    heads: tuple[str, ...] = (
        "hole",
        from_side(part, plan.viewing, plan.viewing.right),
        from_side(part, plan.viewing, plan.viewing.up),
        "for",
    )
    rows: list[tuple[str, ...]] = [
        (mark, row.u_text, row.v_text, ", ".join(row.members)) for mark, row in zip(hole_marks(plan, marks), plan.rows, strict=True)
    ]
    if not any(row[3] for row in rows):
        heads, rows = heads[:3], [row[:3] for row in rows]
    covers = [c for row in plan.rows for c in row.covers if c.size.startswith("across")]
    return _pieces(f"holes, {side_name(part, plan.viewing.surface)}", heads, rows, covers, rows_each, standard)


def hole_marks(plan: ViewPlan, marks: dict[str, str]) -> list[str]:
    """A letter and a number for each line of a hole table; a row of holes has first and last."""
    counts: dict[str, int] = {}
    found = []
    for row in plan.rows:
        first = counts.get(row.note, 0) + 1
        counts[row.note] = first + row.count - 1
        mark = marks[row.note]
        found.append(f"{mark}{first}" if row.count == 1 else f"{mark}{first}–{mark}{counts[row.note]}")
    return found


def _pieces(
    title: str, heads: tuple[str, ...], rows: Sequence[tuple[str, ...]], covers: Sequence[Cover], rows_each: int, standard: Standard
) -> list[Piece]:
    stretches = [rows[k : k + rows_each] for k in range(0, len(rows), rows_each)]
    features = tuple(dict.fromkeys(c.feature for c in covers))
    pieces = []
    for k, stretch in enumerate(stretches):
        name = title if k == 0 else f"{title}, continued"
        pieces.append(Piece(name, (heads, *stretch), features if k == 0 else (), tuple(covers) if k == 0 else (), standard))
    return pieces
