"""The hand-over sheet: what goes with the cut files to who cuts them, on one page; on more where there are many parts."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from build123.cutting.figures import MM
from build123.cutting.operation import Relieved
from build123.cutting.summary import NARROW_MM, SMALL_CM2, Handed, by_hand, overrun_mm, tools
from build123.cutting.thickness import Hangs
from build123.drawing.lettering import Rect, fitted, text_width, wrapped
from build123.drawing.standard import FILING_MARGIN_MM, MARGIN_MM, standard
from build123.drawing.titleblock import FAILED, band, frame_lines
from build123.drawing.vocabulary import Group, Label, Sheet, Size, Table
from build123.fields.quantity import Units
from build123.model.part import Stock

TEXT_MM = 2.2
ROW_MM = 4.0
HEAD_MM = 5.0
BAND_MM = 10.0
INSET_MM = 4.0
CELL_MM = 3.0
"""A column is wider than its longest text by this."""
FEWEST_ROWS = 4
"""A table starts on the next page where fewer rows of it would stand on this one."""


@dataclass(frozen=True)
class Handing:
    """What the sheet tells of. `trials` tells whether there is a piece to try fits on."""

    piece: str
    units: Units
    handed: Sequence[Handed]
    stocks: Sequence[Stock]
    hangs: Sequence[Hangs]
    trials: str
    failed: bool


@dataclass(frozen=True)
class _Block:
    """A table (more than one column) or lines of text. The first row is the heading of a table."""

    title: str
    rows: tuple[tuple[str, ...], ...]
    widths: tuple[float, ...] = ()

    @property
    def table(self) -> bool:
        return bool(self.widths)


def hand_over_sheets(handing: Handing) -> tuple[Sheet, ...]:
    """The pages, upright, with what is cut first, then tools and stock, then what is left to the operator."""
    size = next(one for one in standard(handing.units).sheets if one.height > one.width)
    frame = Rect(FILING_MARGIN_MM, MARGIN_MM, size.width - MARGIN_MM, size.height - MARGIN_MM)
    inner = Rect(frame.left + INSET_MM, frame.bottom + INSET_MM, frame.right - INSET_MM, frame.top - INSET_MM)
    if handing.failed:
        inner = Rect(inner.left, inner.bottom, inner.right, frame.top - BAND_MM)
    pages = _paged(_blocks(handing, inner.right - inner.left), inner)
    return tuple(_sheet(handing, size, frame, inner, groups, n, len(pages)) for n, groups in enumerate(pages, 1))


def _sheet(handing: Handing, size: Size, frame: Rect, inner: Rect, groups: Sequence[Group], number: int, count: int) -> Sheet:
    sheet_of = f"sheet {number} of {count}"
    room = inner.right - inner.left - text_width(sheet_of, TEXT_MM) - 4.0
    title = fitted(f"To cut: {handing.piece}", HEAD_MM, room, True)
    base = inner.top - HEAD_MM
    head = Group(
        "title", (Label(title, (inner.left, base), HEAD_MM, bold=True), Label(sheet_of, (inner.right, base), TEXT_MM, anchor="end"))
    )
    more = (band(frame),) if handing.failed else ()
    description = f"Files, tools and stock to cut {handing.piece} from" + (f". {FAILED}" if handing.failed else "")
    return Sheet(size, f"{handing.piece}: hand-over, {sheet_of}", description, "none", (), (frame_lines(frame), head, *more, *groups))


def _paged(blocks: Sequence[_Block], inner: Rect) -> list[list[Group]]:
    pages: list[list[Group]] = [[]]
    top = inner.top - HEAD_MM - 3.0
    y = top
    for block in blocks:
        title, heading, rest = block.title, block.rows[:1] if block.table else (), list(block.rows[1:] if block.table else block.rows)
        while rest:
            room = math.floor((y - inner.bottom - ROW_MM * (1.6 + len(heading))) / ROW_MM + 1e-9)
            if room < min(FEWEST_ROWS, len(rest)):
                pages.append([])
                y = top
                continue
            taken, rest = rest[:room], rest[room:]
            y -= ROW_MM * 1.6
            pages[-1].append(_placed(title, block.widths, (*heading, *taken), (inner.left, y)))
            y -= ROW_MM * (len(heading) + len(taken))
            title = f"{block.title}, continued"
    return pages


def _placed(title: str, widths: tuple[float, ...], rows: tuple[tuple[str, ...], ...], at: tuple[float, float]) -> Group:
    if widths:
        return Group("table", (Table(at, widths, ROW_MM, TEXT_MM, rows, title),))
    x, y = at
    labels = [Label(title, (x, y + 0.8), TEXT_MM, bold=True)]
    labels += [Label(row[0], (x, y - ROW_MM * (n + 1) + 1.2), TEXT_MM) for n, row in enumerate(rows)]
    return Group("note", tuple(labels))


def _blocks(handing: Handing, wide: float) -> list[_Block]:
    blocks = [_files(handing.handed, wide)]
    blocks.append(
        _columns(
            "tools: each is the largest that does it; drawn without tool offset",
            [("tool", "does"), *tools(handing.handed, handing.units)],
            wide,
        )
    )
    blocks.append(_columns("stock, as measured", _stocks(handing), wide))
    if hand := by_hand(handing.handed):
        blocks.append(_text("not in the cut files: by hand, from the drawings", hand, wide))
    blocks.append(_text("left to you", _left(handing), wide))
    blocks.append(_text("zero and units", _zero(handing), wide))
    blocks.append(_text("take care", CARE, wide))
    return blocks


CARE = (
    "Eyes, ears and lungs: glasses, muffs, dust extraction and a mask. Sheet dust is fine and stays in the air.",
    "Stop the spindle, and unplug it before touching a cutter. Hands and sleeves stay off the table while it turns.",
    "Keep clamps and screws clear of the cutter; run the program once in the air. Stay by the machine; small offcuts fly.",
    "These are reminders. The manual of the machine and the rules of the shop come first.",
)


def _columns(title: str, rows: Sequence[tuple[str, ...]], wide: float) -> _Block:
    """A table as wide as its texts, its last column cut to what is left."""
    widths = [max(text_width(row[k], TEXT_MM, n == 0) for n, row in enumerate(rows)) + CELL_MM for k in range(len(rows[0]))]
    widths[-1] = min(widths[-1], wide - sum(widths[:-1]))
    return _Block(title, tuple(rows), tuple(widths))


def _text(title: str, sentences: Sequence[str], wide: float) -> _Block:
    return _Block(title, tuple((line,) for sentence in sentences for line in wrapped(sentence, TEXT_MM, wide, 6)))


def _files(handed: Sequence[Handed], wide: float) -> _Block:
    heads = ("n", "file in cut/, in the order of cutting", "make", "stock", "T × W × L, mm", "what")
    cells: list[tuple[str, ...]] = []
    for one in handed:
        first = one.parts[0]
        size = " × ".join(MM.length(side) for side in (first.thickness_mm, first.width_mm, first.length_mm))
        for face, file in zip(one.faces, one.files, strict=True):
            cells.append(
                (str(len(cells) + 1), file, str(len(one.parts)), first.stock.name, size, _what(face.pose, face.outlined, one.small))
            )
    widths = [max(text_width(row[k], TEXT_MM, n == 0) for n, row in enumerate((heads, *cells))) + CELL_MM for k in range(len(heads))]
    widths[3] = min(widths[3], 26.0)
    widths[1] = min(widths[1], wide - sum(widths) + widths[1])
    rows: list[tuple[str, ...]] = [heads]
    for number, file, *rest in cells:
        for n, piece in enumerate(pieces(file, widths[1] - CELL_MM)):
            rows.append((number, piece, *rest) if n == 0 else ("", piece, "", "", "", ""))
    return _Block("files", tuple(rows), tuple(widths))


def pieces(file: str, wide: float) -> list[str]:
    """A file's name in lines that fit, broken after a hyphen or a low line."""
    lines = [""]
    for word in file.replace("-", "-\n").replace("_", "_\n").split("\n"):
        if lines[-1] and text_width(lines[-1] + word, TEXT_MM) > wide:
            lines.append("")
        lines[-1] += word
    return lines


def _what(pose: str, outlined: bool, small: bool) -> str:
    said = {"worked face up": "flat", "turned over": "turned over", "on edge": "on edge"}[pose] + (", cut free" if outlined else "")
    return f"{said}, HOLD" if small and outlined else said


def _stocks(handing: Handing) -> list[tuple[str, ...]]:
    hangs = {one.stock.name: one for one in handing.hangs}
    used = {one.parts[0].stock.name for one in handing.handed}
    rows: list[tuple[str, ...]] = [("stock", "material", "measured, mm", "export again if yours differs by more than")]
    for stock in handing.stocks:
        if stock.name in used:
            one = hangs.get(stock.name)
            limit = f"{one.within_mm:.2f} mm ({one.fit} fit)" if one else "no fit hangs on it"
            rows.append((stock.name, stock.material, MM.length(stock.thickness_mm), limit))
    return rows


def _left(handing: Handing) -> list[str]:
    past = overrun_mm(handing.handed)
    room = f"a cutter and {MM.length(past)} mm, for open trench ends run past the edge" if past else "a cutter between them"
    said = [
        "Tool offset, feeds, speeds, which side the cutter climbs on, and the order within a file: inside first, outline last.",
        "Tabs or an onion skin, the spoilboard, and how far to cut into it: OUTLINE and THROUGH stop at the underside.",
        f"Laying parts out along the grain: leave {room}.",
    ]
    if any(isinstance(operation, Relieved) for one in handing.handed for face in one.faces for operation in face.operations):
        said.append("RELIEF takes the round out of corners that something square seats in: cut it, or chop the corners square.")
    if any(one.small for one in handing.handed):
        said.append(
            f"HOLD marks parts narrower than {NARROW_MM:g} mm or smaller than {SMALL_CM2:g} cm²: tabs or vacuum alone do not hold so little "
            "against the cutter. Screw or tape them down, or leave a skin and saw them free (common practice, from memory)."
        )
    if handing.trials:
        said.append(f"First cut {handing.trials} from an offcut: slots 0.1 mm apart show which width your cutter and this sheet want.")
    return said


def _zero(handing: Handing) -> list[str]:
    said = [
        "Cut files are DXF in mm, full size. Layers name operation and depth from the face that is up; INFO is never cut.",
        "X0 Y0 is one corner of the part, the same in all its files; INFO names it. Turned over or on edge, X may be negative.",
        "parts/<part>.step lies as the file with the worked face up does: same X and Y, Z0 the underside, Z up.",
    ]
    if handing.units == "in":
        said.append("The drawings are in inches (25.4 mm each); the cut files are not.")
    return said
