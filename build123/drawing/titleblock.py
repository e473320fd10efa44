"""The title block, and the band of a piece whose dry fit failed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from build123.drawing.layout import BAND_MM, TITLE_HEIGHT_MM
from build123.drawing.lettering import Rect, fitted, text_width
from build123.drawing.numbers import Numbers
from build123.drawing.standard import Standard
from build123.drawing.vocabulary import Area, Circle, Group, Item, Label, Line, Pen, Polyline
from build123.drawing.wording import side_name
from build123.model.part import Part

CAPTION_MM = 1.8
ROW_MM = TITLE_HEIGHT_MM / 4
FAILED = "DRY FIT FAILED"


@dataclass(frozen=True, slots=True)
class SheetAbout:
    """What a sheet says that is not in the part. `opposite` names the parts of opposite hand, `spec` is a short hash of its text,
    `marked_mm` the stroke that shoulders are marked to (0: exact)."""

    piece: str
    units: str
    number: int = 1
    of: int = 1
    failed: bool = False
    opposite: tuple[str, ...] = ()
    spec: str = ""
    marked_mm: float = 0.0


def names_that_fit(names: Sequence[str], height: float, width: float) -> str:
    """As many names as there is room for, and how many more."""
    best = ""
    for shown in range(1, len(names) + 1):
        rest = len(names) - shown
        listed = ", ".join(names[:shown])
        if text_width(listed, height) > width:
            break
        text = listed + (f" and {rest} more" if rest else "")
        if text_width(text, height) <= width:
            best = text
    if best:
        return best
    return fitted(names[0], height, width - text_width(" and 999 more", height)) + (f" and {len(names) - 1} more" if len(names) > 1 else "")


def fields(parts: Sequence[Part], about: SheetAbout, scale: str, standard: Standard, n: Numbers) -> dict[str, str]:
    """The block's texts by caption, whole."""
    part = parts[0]
    stock = part.stock
    measured = f"{stock.name}: {stock.material}, {n.length(stock.thickness_mm)} measured"
    nominal = f", nominal {n.length(stock.nominal_mm)}" if stock.nominal_mm is not None else ""
    sizes = " × ".join(n.length(size) for size in (part.thickness_mm, part.width_mm, part.length_mm))
    return {
        "piece": about.piece,
        "scale": scale,
        "units": f"{standard.units}; shoulders to {n.length(about.marked_mm)}" if about.marked_mm else standard.unit_note,
        "sheet": f"{about.number} of {about.of}",
        "part": ", ".join(p.name for p in parts),
        "make": str(len(parts)),
        "opposite hand": ", ".join(about.opposite) or "none",
        "stock": measured + nominal,
        "finished T × W × L": sizes,
        "worked face": f"{side_name(part, '+z')}, up",
        "show face": side_name(part, part.show),
        "grain": "either way" if stock.grain == "none" else "along L",
        "spec": about.spec or "not kept",
        "projection": f"{standard.projection} angle",
    }


def title_block(area: Rect, parts: Sequence[Part], said: dict[str, str], about: SheetAbout, standard: Standard) -> Group:
    """The block with its lines, in `area`."""
    rows = (
        (("piece", 104.0), ("scale", 20.0), ("units", 36.0), ("sheet", 20.0)),
        (("part", 104.0), ("make", 20.0), ("opposite hand", 56.0)),
        (("stock", 116.0), ("finished T × W × L", 64.0)),
        (("worked face", 44.0), ("show face", 40.0), ("grain", 26.0), ("spec", 24.0), ("projection", 46.0)),
    )
    items: list[Item] = []
    corners = ((area.left, area.bottom), (area.right, area.bottom), (area.right, area.top), (area.left, area.top))
    items.append(Polyline(tuple((x, y, 0.0) for x, y in corners), True, Pen.visible))
    for n, row in enumerate(rows):
        bottom = area.top - (n + 1) * ROW_MM
        if n < len(rows) - 1:
            items.append(Line((area.left, bottom), (area.right, bottom)))
        x = area.left
        for k, (caption, wide) in enumerate(row):
            if k:
                items.append(Line((x, bottom), (x, bottom + ROW_MM)))
            bold = caption in ("piece", "part", "finished T × W × L", "make")
            room = wide - 3.0
            height = next((h for h in (standard.text_mm, 2.2, 2.0) if text_width(said[caption], h, bold) <= room), standard.text_mm)
            text = fitted(said[caption], height, room, bold)
            if caption == "part":
                text = names_that_fit([p.name for p in parts], height, room / 1.12)
            if caption == "opposite hand" and about.opposite:
                text = names_that_fit(about.opposite, height, room)
            items.append(Label(caption, (x + 1.5, bottom + ROW_MM - CAPTION_MM - 0.8), CAPTION_MM, grey=0.3))
            items.append(Label(text, (x + 1.5, bottom + 1.5), height, bold=bold))
            x += wide
    items += projection_symbol(area.right - 16.0, area.bottom + ROW_MM / 2, standard.projection)
    return Group("title", tuple(items))


def projection_symbol(x: float, y: float, projection: Literal["first", "third"]) -> Iterator[Item]:
    """A cut-off cone from the side and from its end: the end view stands by the small end in third angle, else by the large."""
    cone, rings = (x + 5.0, x) if projection == "third" else (x, x + 10.0)
    small, large, long = 1.1, 2.2, 5.0
    left, right = small, large
    outline = ((cone, y - left, 0.0), (cone + long, y - right, 0.0), (cone + long, y + right, 0.0), (cone, y + left, 0.0))
    yield Polyline(outline, True, Pen.visible)
    yield Line((cone - 1.0, y), (cone + long + 1.0, y), Pen.centre)
    yield Circle((rings, y), small, Pen.visible)
    yield Circle((rings, y), large, Pen.visible)
    yield Line((rings - large - 0.8, y), (rings + large + 0.8, y), Pen.centre)
    yield Line((rings, y - large - 0.8), (rings, y + large + 0.8), Pen.centre)


def band(frame: Rect) -> Group:
    """White on black along the top of the sheet."""
    low = frame.top - BAND_MM + 1.0
    box = ((frame.left, low), (frame.right, low), (frame.right, frame.top), (frame.left, frame.top))
    text = f"{FAILED}: do not cut from this sheet before the errors are cleared"
    height = next((h for h in (3.5, 2.5) if text_width(text, h, bold=True) < frame.right - frame.left), 2.5)
    label = Label(text, ((frame.left + frame.right) / 2, low + (BAND_MM - 1.0 - height) / 2), height, "middle", bold=True, grey=1.0)
    return Group("band", (Area(box), label))


def frame_lines(frame: Rect) -> Group:
    """The border of the sheet."""
    corners = ((frame.left, frame.bottom), (frame.right, frame.bottom), (frame.right, frame.top), (frame.left, frame.top))
    return Group("frame", (Polyline(tuple((x, y, 0.0) for x, y in corners), True, Pen.border),))
