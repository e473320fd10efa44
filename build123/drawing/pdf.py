"""Sheets as one PDF: a page each, bookmarks, lines as lines, fonts embedded, the same bytes every time.

The letters are Bitstream Vera, which reportlab carries (free to embed and to pass on); its widths are those of DejaVu Sans, which
`lettering` reckons with. A character that Vera lacks is drawn without its accents, else as a question mark.
"""

from __future__ import annotations

import io
import itertools
import math
import unicodedata
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas
from reportlab.pdfgen.pathobject import PDFPathObject
from typing_extensions import assert_never

from build123.drawing.expand import expand
from build123.drawing.lettering import CAPITALS_PER_EM, text_width
from build123.drawing.vocabulary import PEN_DASHES_MM, PEN_WIDTH_MM, Arc, Area, Circle, Label, Line, Pen, Polyline, Primitive, Sheet

POINT_MM = 25.4 / 72.0
PLAIN, BOLD = "Vera", "VeraBd"
QUARTER = math.pi / 2


@dataclass(frozen=True, slots=True)
class Chapter:
    """A bookmark with the sheets under it, each with the name of its own bookmark."""

    title: str
    sheets: tuple[tuple[str, Sheet], ...]


def render(title: str, chapters: Sequence[Chapter]) -> bytes:
    """The whole file."""
    _fonts()
    out = io.BytesIO()
    canvas = Canvas(out, invariant=1, pageCompression=1, initialFontName=PLAIN)
    canvas.setTitle(title)
    canvas.setCreator("build123")
    canvas.setProducer("build123")
    canvas.setAuthor("")
    number = 0
    for chapter in chapters:
        for k, (name, sheet) in enumerate(chapter.sheets):
            canvas.setPageSize((sheet.size.width / POINT_MM, sheet.size.height / POINT_MM))
            key = f"sheet{number}"
            number += 1
            canvas.bookmarkPage(key)
            if k == 0:
                canvas.bookmarkPage(f"{key} chapter")
                canvas.addOutlineEntry(chapter.title, f"{key} chapter", 0, closed=False)
            canvas.addOutlineEntry(name, key, 1)
            canvas.scale(1.0 / POINT_MM, 1.0 / POINT_MM)
            _page(canvas, sheet)
            canvas.showPage()
    canvas.showOutline()
    canvas.save()
    return out.getvalue()


@lru_cache(1)
def _fonts() -> None:
    for name in (PLAIN, BOLD):
        pdfmetrics.registerFont(TTFont(name, f"{name}.ttf"))


def _page(canvas: Canvas, sheet: Sheet) -> None:
    canvas.setLineCap(0)
    canvas.setLineJoin(0)
    for group in sheet.all_groups:
        _group(canvas, [p for item in group.items for p in expand(item)])


def _group(canvas: Canvas, primitives: Iterable[Primitive]) -> None:
    """Lines of one pen in one stroke, then fills and text, as the SVG has them."""
    paths: dict[Pen, PDFPathObject] = {}
    rest: list[Area | Label] = []
    for item in primitives:
        match item:
            case Line():
                path = _path(canvas, paths, item.pen)
                path.moveTo(*item.start)
                path.lineTo(*item.end)
            case Polyline():
                _polyline(_path(canvas, paths, item.pen), item)
            case Arc():
                sweep = math.radians((item.end_deg - item.start_deg) % 360.0)
                _arc(_path(canvas, paths, item.pen), *item.centre, item.radius, math.radians(item.start_deg), sweep, True)
            case Circle():
                path = _path(canvas, paths, item.pen)
                _arc(path, *item.centre, item.radius, 0.0, math.tau, True)
                path.close()
            case Area() | Label():
                rest.append(item)
            case _:
                assert_never(item)
    canvas.setStrokeGray(0)
    for pen, path in paths.items():
        canvas.setLineWidth(PEN_WIDTH_MM[pen])
        canvas.setDash(list(PEN_DASHES_MM[pen]))
        canvas.drawPath(path, stroke=1, fill=0)
    for item in rest:
        canvas.setFillGray(item.grey)
        if isinstance(item, Area):
            path = canvas.beginPath()
            path.moveTo(*item.points[0])
            for point in item.points[1:]:
                path.lineTo(*point)
            path.close()
            canvas.drawPath(path, stroke=0, fill=1)
        else:
            _text(canvas, item)


def _path(canvas: Canvas, paths: dict[Pen, PDFPathObject], pen: Pen) -> PDFPathObject:
    if pen not in paths:
        paths[pen] = canvas.beginPath()
    return paths[pen]


def _polyline(path: PDFPathObject, item: Polyline) -> None:
    corners = list(item.points)
    path.moveTo(*corners[0][:2])
    follow = [*itertools.pairwise(corners), *([(corners[-1], corners[0])] if item.closed else [])]
    for (ax, ay, bulge), (bx, by, _) in follow:
        if bulge == 0.0:
            path.lineTo(bx, by)
            continue
        # The centre lies off the middle of the chord, to the left of a left turn of less than half.
        off = (1.0 / bulge - bulge) / 4.0
        cx, cy = (ax + bx) / 2 - (by - ay) * off, (ay + by) / 2 + (bx - ax) * off
        _arc(path, cx, cy, math.hypot(ax - cx, ay - cy), math.atan2(ay - cy, ax - cx), 4 * math.atan(bulge), False)
    if item.closed:
        path.close()


def _arc(path: PDFPathObject, x: float, y: float, radius: float, start: float, sweep: float, move: bool) -> None:
    """Cubic curves of at most a quarter: within 0.03 % of the radius."""
    pieces = max(1, math.ceil(abs(sweep) / QUARTER - 1e-9))
    step = sweep / pieces
    reach = 4.0 / 3.0 * math.tan(step / 4.0) * radius
    if move:
        path.moveTo(x + radius * math.cos(start), y + radius * math.sin(start))
    for k in range(pieces):
        a, b = start + k * step, start + (k + 1) * step
        ax, ay, bx, by = math.cos(a), math.sin(a), math.cos(b), math.sin(b)
        end = (x + radius * bx, y + radius * by)
        path.curveTo(x + radius * ax - reach * ay, y + radius * ay + reach * ax, end[0] + reach * by, end[1] - reach * bx, *end)


def _text(canvas: Canvas, label: Label) -> None:
    font, size = BOLD if label.bold else PLAIN, label.height / CAPITALS_PER_EM
    shown = drawable(label.text)
    width = pdfmetrics.stringWidth(shown, font, size)
    room = text_width(label.text, label.height, label.bold)
    squeeze = min(1.0, room / width) if width > 0.0 else 1.0
    before = {"start": 0.0, "middle": 0.5, "end": 1.0}[label.anchor] * width * squeeze
    canvas.saveState()
    canvas.translate(*label.at)
    if label.turn == 90:
        canvas.rotate(90)
    text = canvas.beginText(-before, 0.0)
    text.setFont(font, size)
    if squeeze < 1.0:
        text.setHorizScale(100.0 * squeeze)
    text.textOut(shown)
    canvas.drawText(text)
    canvas.restoreState()


@lru_cache(4096)
def drawable(text: str) -> str:
    """The text in characters that the font has."""
    _fonts()
    known = pdfmetrics.getFont(PLAIN).face.charToGlyph
    out = []
    for c in text:
        plain = next((p for p in (c, _PLAIN.get(c, ""), unicodedata.normalize("NFKD", c)[0]) if p and ord(p) in known), "?")
        out.append(plain)
    return "".join(out)


_PLAIN = {"⌀": "Ø", "\u2212": "-", "\u2010": "-", "\u2011": "-"}
"""What stands for a sign that the font lacks."""
