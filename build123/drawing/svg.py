"""A sheet as SVG: size in mm, black on white, plain text, no scripts, no fonts of its own, the same bytes every time."""

from __future__ import annotations

import itertools
import math
import re
from collections.abc import Iterable, Iterator
from xml.sax.saxutils import escape, quoteattr

from typing_extensions import assert_never

from build123.drawing.expand import expand
from build123.drawing.lettering import CAPITALS_PER_EM
from build123.drawing.vocabulary import PEN_DASHES_MM, PEN_WIDTH_MM, Arc, Area, Circle, Group, Label, Line, Pen, Polyline, Primitive, Sheet

FONTS = "Arial, Helvetica, 'Liberation Sans', 'DejaVu Sans', sans-serif"

UNFIT = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069\ud800-\udfff\ufffe\uffff]")
"""Not allowed in XML 1.0, or turning the order of what follows."""

DEEPEST = 12
"""A group that shows more features names none of them: each has a group of its own, and readers limit how deep groups go."""


def render(sheet: Sheet) -> bytes:
    """The whole file, UTF-8."""
    width, height = _n(sheet.size.width), _n(sheet.size.height)
    out = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}mm" height="{height}mm" viewBox="0 0 {width} {height}" '
        'role="img" aria-labelledby="title desc">',
        f'<title id="title">{clean(sheet.title)}</title>',
        f'<desc id="desc">{clean(sheet.description)}</desc>',
        f'<rect width="{width}" height="{height}" fill="#fff"/>',
        f'<g fill="none" stroke="#000" stroke-linecap="butt" stroke-linejoin="miter" font-family="{FONTS}">',
    ]
    for view in sheet.views:
        out.append(f'<g data-view={_quoted(view.key)} data-scale="{_n(view.scale, 6)}">')
        for group in view.groups:
            out.extend(_group(group, sheet.size.height))
        out.append("</g>")
    for group in sheet.groups:
        out.extend(_group(group, sheet.size.height))
    out.append("</g>\n</svg>\n")
    return "\n".join(out).encode("utf-8")


def clean(text: str) -> str:
    """Text that is safe between tags."""
    return escape(UNFIT.sub("\ufffd", text))


def _quoted(text: str) -> str:
    return quoteattr(UNFIT.sub("\ufffd", text))


def _n(value: float, places: int = 3) -> str:
    return f"{round(value, places) + 0.0:.9g}"


def _group(group: Group, height: float) -> Iterator[str]:
    named = group.features if len(group.features) <= DEEPEST else ()
    ids = "".join(f"<g data-feature={_quoted(id)}>" for id in named)
    yield f'{ids}<g class="{group.role}">'
    yield from _primitives([p for item in group.items for p in expand(item)], height)
    yield "</g>" * (1 + len(named))


def _primitives(primitives: Iterable[Primitive], height: float) -> Iterator[str]:
    paths: dict[Pen, list[str]] = {}
    rest: list[str] = []
    for item in primitives:
        match item:
            case Line():
                paths.setdefault(item.pen, []).append(_path([(*item.start, 0.0), (*item.end, 0.0)], False, height))
            case Polyline():
                paths.setdefault(item.pen, []).append(_path(item.points, item.closed, height))
            case Arc():
                sweep = math.radians((item.end_deg - item.start_deg) % 360.0)
                ends = [
                    (item.centre[0] + item.radius * math.cos(math.radians(a)), item.centre[1] + item.radius * math.sin(math.radians(a)))
                    for a in (item.start_deg, item.end_deg)
                ]
                paths.setdefault(item.pen, []).append(_path([(*ends[0], math.tan(sweep / 4)), (*ends[1], 0.0)], False, height))
            case Circle():
                x, y = item.centre
                rest.append(f'<circle cx="{_n(x)}" cy="{_n(height - y)}" r="{_n(item.radius)}"{_stroke(item.pen)}/>')
            case Area():
                points = " ".join(f"{_n(x)},{_n(height - y)}" for x, y in item.points)
                rest.append(f'<polygon points="{points}" fill="{_grey(item.grey)}" stroke="none"/>')
            case Label():
                rest.append(_text(item, height))
            case _:
                assert_never(item)
    for pen, parts in paths.items():
        yield f'<path d="{" ".join(parts)}"{_stroke(pen)}/>'
    yield from rest


def _path(points: Iterable[tuple[float, float, float]], closed: bool, height: float) -> str:
    corners = list(points)
    parts = [f"M{_n(corners[0][0])} {_n(height - corners[0][1])}"]
    follow = [*itertools.pairwise(corners), *([(corners[-1], corners[0])] if closed else [])]
    for (ax, ay, bulge), (bx, by, _) in follow:
        end = f"{_n(bx)} {_n(height - by)}"
        if bulge == 0.0:
            parts.append(f"L{end}")
            continue
        radius = math.hypot(bx - ax, by - ay) * (1 + bulge * bulge) / (4 * abs(bulge))
        # The sheet's y runs up and that of SVG down, so a left turn is drawn as a right one.
        parts.append(f"A{_n(radius)} {_n(radius)} 0 {int(abs(bulge) > 1)} {int(bulge < 0)} {end}")
    return "".join(parts) + ("Z" if closed and not corners[-1][2] else "")


def _stroke(pen: Pen) -> str:
    dashes = PEN_DASHES_MM[pen]
    dash = f' stroke-dasharray="{" ".join(_n(d) for d in dashes)}"' if dashes else ""
    return f' stroke-width="{_n(PEN_WIDTH_MM[pen])}"{dash}'


def _grey(value: float) -> str:
    level = round(255 * value)
    return f"#{level:02x}{level:02x}{level:02x}"


def _text(label: Label, height: float) -> str:
    x, y = _n(label.at[0]), _n(height - label.at[1])
    anchor = "" if label.anchor == "start" else f' text-anchor="{label.anchor}"'
    turn = f' transform="rotate(-90 {x} {y})"' if label.turn == 90 else ""
    bold = ' font-weight="bold"' if label.bold else ""
    size = _n(label.height / CAPITALS_PER_EM)
    place = f'x="{x}" y="{y}" font-size="{size}"'
    return f'<text {place} fill="{_grey(label.grey)}" stroke="none"{anchor}{bold}{turn}>{clean(label.text)}</text>'
