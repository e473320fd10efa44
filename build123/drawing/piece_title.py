"""The title block of the sheets of the whole piece: as wide and high as that of a part."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from build123.drawing.layout import BAND_MM, TITLE_HEIGHT_MM, TITLE_WIDTH_MM
from build123.drawing.lettering import Rect, fitted, text_width
from build123.drawing.numbers import Numbers
from build123.drawing.space import Space
from build123.drawing.standard import FILING_MARGIN_MM, MARGIN_MM, Standard
from build123.drawing.titleblock import CAPTION_MM, FAILED, ROW_MM, band, frame_lines, projection_symbol
from build123.drawing.vocabulary import Group, Item, Label, Line, Pen, Polyline, Sheet, SheetView, Size
from build123.model.design import Design

ROWS = (
    (("piece", 104.0), ("scale", 20.0), ("units", 36.0), ("piece sheet", 20.0)),
    (("shows", 104.0), ("overall W × D × H", 76.0)),
    (("stock", 116.0), ("parts", 64.0)),
    (("dry fit", 52.0), ("made from", 82.0), ("projection", 46.0)),
)


@dataclass(frozen=True, slots=True)
class PieceAbout:
    """What the sheets of a piece say about themselves. `made_from` is the short hash of its spec."""

    failed: bool
    made_from: str
    number: int = 1
    of: int = 1


@dataclass(frozen=True, slots=True)
class Paper:
    """A sheet with its frame, its title block and what is left above the block."""

    size: Size
    failed: bool

    @property
    def frame(self) -> Rect:
        """The border."""
        return Rect(FILING_MARGIN_MM, MARGIN_MM, self.size.width - MARGIN_MM, self.size.height - MARGIN_MM)

    @property
    def title(self) -> Rect:
        """The title block."""
        frame = self.frame
        return Rect(frame.right - TITLE_WIDTH_MM, frame.bottom, frame.right, frame.bottom + TITLE_HEIGHT_MM)

    @property
    def free(self) -> Rect:
        """What is left above the title block, across the sheet."""
        frame = self.frame
        return Rect(frame.left + 3.0, self.title.top + 3.0, frame.right - 3.0, frame.top - 3.0 - (BAND_MM if self.failed else 0.0))

    def space(self) -> Space:
        """What may be written on."""
        frame = self.frame
        space = Space(Rect(frame.left + 1.0, frame.bottom + 1.0, frame.right - 1.0, frame.top - 1.0))
        space.add_box(self.title)
        if self.failed:
            space.add_box(Rect(frame.left, frame.top - BAND_MM, frame.right, frame.top))
        return space


def title_fields(design: Design, box: Sequence[float], shows: str, scale: str, about: PieceAbout, norm: Standard) -> dict[str, str]:
    """The block's texts by caption, whole. `box` is the measured size of the piece, mm."""
    n = Numbers(norm.units)
    fittings = f" and {len(design.hardware)} fittings" if design.hardware else ""
    used = {part.stock.name for part in design.parts}
    return {
        "piece": design.piece,
        "scale": scale,
        "units": norm.unit_note,
        "piece sheet": f"{about.number} of {about.of}",
        "shows": shows,
        "overall W × D × H": " × ".join(n.length(size) for size in box),
        "stock": "; ".join(f"{s.name}: {s.material} {n.length(s.thickness_mm)}" for s in design.stocks if s.name in used),
        "parts": f"{len(design.parts)} ({len(design.kinds)} distinct){fittings}",
        "dry fit": FAILED if about.failed else "passed on the solids",
        "made from": f"spec {about.made_from}" if about.made_from else "",
        "projection": f"{norm.projection} angle",
    }


def furniture(paper: Paper, said: dict[str, str], about: PieceAbout, norm: Standard) -> list[Group]:
    """Frame, title block and, where the dry fit failed, the band."""
    groups = [frame_lines(paper.frame), _block(paper.title, said, norm)]
    return [*groups, band(paper.frame)] if about.failed else groups


def _block(area: Rect, said: dict[str, str], norm: Standard) -> Group:
    corners = ((area.left, area.bottom), (area.right, area.bottom), (area.right, area.top), (area.left, area.top))
    items: list[Item] = [Polyline(tuple((x, y, 0.0) for x, y in corners), True, Pen.visible)]
    for n, row in enumerate(ROWS):
        bottom = area.top - (n + 1) * ROW_MM
        if n < len(ROWS) - 1:
            items.append(Line((area.left, bottom), (area.right, bottom)))
        x = area.left
        for k, (caption, wide) in enumerate(row):
            if k:
                items.append(Line((x, bottom), (x, bottom + ROW_MM)))
            bold = caption in ("piece", "shows")
            room = wide - 3.0 - (18.0 if caption == "projection" else 0.0)
            height = next((h for h in (norm.text_mm, 2.2, 2.0) if text_width(said[caption], h, bold) <= room), 2.0)
            items.append(Label(caption, (x + 1.5, bottom + ROW_MM - CAPTION_MM - 0.8), CAPTION_MM, grey=0.3))
            items.append(Label(fitted(said[caption], height, room, bold), (x + 1.5, bottom + 1.5), height, bold=bold))
            x += wide
    items += projection_symbol(area.right - 16.0, area.bottom + ROW_MM / 2, norm.projection)
    return Group("title", tuple(items))


def finished(
    design: Design,
    paper: Paper,
    views: Sequence[SheetView],
    groups: Sequence[Group],
    said: dict[str, str],
    about: PieceAbout,
    norm: Standard,
) -> Sheet:
    """The whole sheet."""
    description = f"{said['shows']}; overall {said['overall W × D × H']}, {said['units']}; {said['parts']}"
    if about.failed:
        description = f"{FAILED}. {description}"
    every = (*furniture(paper, said, about, norm), *groups)
    return Sheet(paper.size, f"{design.piece}: {said['shows']}", description, said["scale"], tuple(views), every, tuple(said.items()))
