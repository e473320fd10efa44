"""Closed lines, circles and text as DXF R2000, the same bytes every time.

The frame of the file (header, tables, objects) is the library's, made once; layers and entities are written into it. Only LWPOLYLINE
(closed), CIRCLE, LINE and TEXT are used. Sources: Autodesk, "DXF Reference", LWPOLYLINE, CIRCLE, LINE, TEXT, LAYER.
"""

from __future__ import annotations

import io
import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cache
from threading import Lock

from build123.model.feature import Outline
from build123.model.frame import Vec2

MILLIMETRES = 4
METRIC = 1
ENCODING = "cp1252"
"""Of R2000 files that say so in $DWGCODEPAGE, as the library's do."""
FIRST_HANDLE = 0x1000
"""Above all handles of the frame."""


@dataclass
class Lines:
    """What a file holds, in the order in which it is written. Layers come in the order in which they are first named."""

    layers: dict[str, int] = field(default_factory=dict)
    rings: list[tuple[str, Outline]] = field(default_factory=list)
    circles: list[tuple[str, Vec2, float]] = field(default_factory=list)
    lines: list[tuple[str, Vec2, Vec2]] = field(default_factory=list)
    texts: list[tuple[str, Vec2, float, str]] = field(default_factory=list)

    @property
    def box(self) -> tuple[Vec2, Vec2]:
        """About everything but text."""
        points = [(v.x, v.y) for _, ring in self.rings for v in ring]
        points += [(x + d * r, y + d * r) for _, (x, y), r in self.circles for d in (-1, 1)]
        points += [p for _, a, b in self.lines for p in (a, b)]
        xs, ys = [p[0] for p in points] or [0.0], [p[1] for p in points] or [0.0]
        return (min(xs), min(ys)), (max(xs), max(ys))


def dxf(lines: Lines) -> bytes:
    """The whole file."""
    frame = _frame()
    handles = iter(range(FIRST_HANDLE, 1 << 30))
    layers = "".join(_layer(name, colour, next(handles), frame) for name, colour in lines.layers.items())
    entities = "".join(_entities(lines, handles, frame.space))
    (x0, y0), (x1, y1) = lines.box
    head = frame.head.replace(_MARK_SEED, f"{next(handles):X}")
    for name, (x, y) in (("$EXTMIN", (x0, y0)), ("$EXTMAX", (x1, y1))):
        head = re.sub(
            rf"({re.escape(name)}\n 10\n)[^\n]*\n 20\n[^\n]*\n 30\n[^\n]*\n", rf"\g<1>{_n(x)}\n 20\n{_n(y)}\n 30\n0.0\n", head, count=1
        )
    tables = frame.tables.replace(_MARK_COUNT, str(frame.layers + len(lines.layers)))
    return (head + tables + layers + frame.between + entities + frame.rest).encode(ENCODING)


_MARK_SEED = "@seed@"
_MARK_COUNT = "@layers@"


@dataclass(frozen=True)
class _Frame:
    """The library's empty file, cut where our lines go. `table`, `plot` and `space` are the handles that they hang on."""

    head: str
    tables: str
    between: str
    rest: str
    layers: int
    table: str
    plot: str
    space: str


_ONE_AT_A_TIME = Lock()


@cache
def _frame() -> _Frame:
    """An empty R2000 file in millimetres. The library stamps files with time and chance unless told not to, for all at once."""
    from ezdxf import options
    from ezdxf.document import Drawing

    with _ONE_AT_A_TIME:
        before = options.write_fixed_meta_data_for_testing
        options.write_fixed_meta_data_for_testing = True
        try:
            document = Drawing.new("R2000")
            document.units = MILLIMETRES
            document.header["$MEASUREMENT"] = METRIC
            text = io.StringIO(newline="\n")
            document.write(text)
        finally:
            options.write_fixed_meta_data_for_testing = before
    whole = _sorted_classes(text.getvalue())
    table = document.layers.head.dxf.handle
    seed = re.search(r"\$HANDSEED\n  5\n([0-9A-F]+)\n", whole)
    start = re.search(rf"TABLE\n  2\nLAYER\n  5\n{table}\n.*?\n 70\n(\d+)\n", whole, re.DOTALL)
    assert seed and start and int(seed[1], 16) < FIRST_HANDLE, "the library's empty file is not as expected"
    end = whole.index("  0\nENDTAB\n", start.end())
    head_end = whole.index("  0\nENDSEC\n")
    entities = whole.index("  2\nENTITIES\n") + len("  2\nENTITIES\n")
    head = whole[: seed.start(1)] + _MARK_SEED + whole[seed.end(1) : head_end]
    tables = whole[head_end : start.start(1)] + _MARK_COUNT + whole[start.end(1) : end]
    plot = document.layers.get("0").dxf.plotstyle_handle
    return _Frame(head, tables, whole[end:entities], whole[entities:], len(document.layers), table, plot, document.modelspace().layout_key)


def _sorted_classes(text: str) -> str:
    """The CLASSES section by name: the library's order hangs on how strings hash."""
    start = text.index("  2\nCLASSES\n") + len("  2\nCLASSES\n")
    end = text.index("  0\nENDSEC\n", start)
    classes = [f"  0\nCLASS\n{one}" for one in text[start:end].split("  0\nCLASS\n") if one]
    return text[:start] + "".join(sorted(classes)) + text[end:]


def _layer(name: str, colour: int, handle: int, frame: _Frame) -> str:
    head = f"  0\nLAYER\n  5\n{handle:X}\n330\n{frame.table}\n100\nAcDbSymbolTableRecord\n100\nAcDbLayerTableRecord\n"
    return head + f"  2\n{name}\n 70\n0\n 62\n{colour}\n  6\nContinuous\n370\n-3\n390\n{frame.plot}\n"


def _entities(lines: Lines, handles: Iterator[int], space: str) -> Iterator[str]:
    def head(kind: str, layer: str) -> str:
        return f"  0\n{kind}\n  5\n{next(handles):X}\n330\n{space}\n100\nAcDbEntity\n  8\n{layer}\n"

    for layer, ring in lines.rings:
        yield head("LWPOLYLINE", layer) + f"100\nAcDbPolyline\n 90\n{len(ring)}\n 70\n1\n"
        for v in ring:
            yield f" 10\n{_n(v.x)}\n 20\n{_n(v.y)}\n" + (f" 42\n{_n(v.bulge)}\n" if v.bulge else "")
    for layer, (x, y), radius in lines.circles:
        yield head("CIRCLE", layer) + f"100\nAcDbCircle\n 10\n{_n(x)}\n 20\n{_n(y)}\n 30\n0.0\n 40\n{_n(radius)}\n"
    for layer, a, b in lines.lines:
        ends = f" 10\n{_n(a[0])}\n 20\n{_n(a[1])}\n 30\n0.0\n 11\n{_n(b[0])}\n 21\n{_n(b[1])}\n 31\n0.0\n"
        yield head("LINE", layer) + f"100\nAcDbLine\n{ends}"
    for layer, (x, y), height, words in lines.texts:
        place = f" 10\n{_n(x)}\n 20\n{_n(y)}\n 30\n0.0\n 40\n{_n(height)}\n"
        yield head("TEXT", layer) + f"100\nAcDbText\n{place}  1\n{_plain(words)}\n100\nAcDbText\n"


def _n(value: float) -> str:
    """A number to 1e-6 (bulges to 1e-9), never -0."""
    text = f"{value:.9f}".rstrip("0") if abs(value) < 10.0 else f"{value:.6f}".rstrip("0")
    text = text + "0" if text.endswith(".") else text
    return "0.0" if text == "-0.0" else text


_ACTING = re.compile(r"[\\^]|%(?=%)|[^\x20-\x7e\xa0-\xff]")


def _plain(words: str) -> str:
    """Text that a reader takes as it stands: signs beyond the encoding as \\U+XXXX, and so what starts a code (%%, ^, \\)."""
    return _ACTING.sub(lambda found: f"\\U+{ord(found[0]):04X}" if found[0] <= "\uffff" else "?", words)
