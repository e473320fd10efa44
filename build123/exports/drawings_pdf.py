"""All sheets in one PDF: the piece first, then each distinct part."""

from __future__ import annotations

import io
import math
from collections.abc import Iterator, Mapping
from typing import Any

from pypdf import PdfReader
from pypdf.errors import PyPdfError

from build123.drawing.pdf import POINT_MM, Chapter, render
from build123.exports import drawings
from build123.exports.job import Job, differs
from build123.problem import Finding

NAME = "drawings pdf"
PATH = "drawings.pdf"
PAGE_MM = 0.01


def write(job: Job) -> dict[str, bytes]:
    """The file by path."""
    return {PATH: render(job.design.piece, chapters(job))}


def chapters(job: Job) -> tuple[Chapter, ...]:
    """Bookmarks with their sheets: what a sheet shows, or the part."""
    piece = tuple((dict(sheet.fields)["shows"], sheet) for sheet in job.piece_sheets.values())
    return Chapter("the piece", piece), Chapter("parts", tuple(drawings.sheets(job).items()))


def verify(job: Job, files: Mapping[str, bytes]) -> list[Finding]:
    """Reads the file back with a reader that is not the writer's: pages, their sizes, bookmarks, fonts within the file."""
    data = files.get(PATH)
    if data is None:
        return [differs(PATH, "the file is missing")]
    try:
        return [differs(PATH, what) for what in _wrong(chapters(job), PdfReader(io.BytesIO(data), strict=True))]
    except (PyPdfError, ValueError, KeyError, TypeError) as error:
        return [differs(PATH, f"cannot be read: {error}")]


def _wrong(meant: tuple[Chapter, ...], reader: PdfReader) -> Iterator[str]:
    sheets = [sheet for chapter in meant for _, sheet in chapter.sheets]
    if len(reader.pages) != len(sheets):
        yield f"it has {len(reader.pages)} pages and not {len(sheets)}"
        return
    titles = [title for chapter in meant for title in (chapter.title, *(name for name, _ in chapter.sheets))]
    found = list(_titles(reader.outline))
    if found != titles:
        yield f"its bookmarks are {', '.join(found)}"
    for number, (page, sheet) in enumerate(zip(reader.pages, sheets, strict=True), 1):
        if not _fits(page.mediabox.width, sheet.size.width) or not _fits(page.mediabox.height, sheet.size.height):
            yield f"page {number} is not {sheet.size.name}"
        if not all(_embedded(font.get_object()) for font in page["/Resources"]["/Font"].values()):  # type: ignore[index]
            yield f"page {number} has a font that is not in the file"


def _fits(points: Any, mm: float) -> bool:
    return math.isclose(float(points) * POINT_MM, mm, abs_tol=PAGE_MM)


def _titles(outline: Any) -> Iterator[str]:
    for entry in outline:
        if isinstance(entry, list):
            yield from _titles(entry)
        else:
            yield str(entry.title)


def _embedded(font: Any) -> bool:
    return "/FontDescriptor" in font and "/FontFile2" in font["/FontDescriptor"]
