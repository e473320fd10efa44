"""Reads the DXF of a sheet as a person does: dimension entities, notes and tables, and nothing else.

No line of the drawing is looked at. Groups tell which dimensions and notes belong to one feature, as they do when one is
clicked on; views are known by their names, sides of the part by the names written along the worked face.
"""

import io
import math
import re
from dataclasses import dataclass, field
from fractions import Fraction

import ezdxf

from build123.model.feature import (
    Datum,
)
from build123.model.frame import Frame, dot, scale

X, Y, Z = (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)
NX, NY, NZ = (-1.0, 0.0, 0.0), (0.0, -1.0, 0.0), (0.0, 0.0, -1.0)
VIEWS = {
    "face": (X, Y, Z),
    "underside": (X, NY, NZ),
    "front edge": (X, Z, NY),
    "back edge": (X, NZ, Y),
    "right end": (NZ, Y, X),
    "left end": (Z, Y, NX),
}
"""What lies to the right, what lies up and what looks at the reader in each view; the part lies on the bench, worked face up."""
SURFACE = {X: "+x", NX: "-x", Y: "+y", NY: "-y", Z: "+z", NZ: "-z"}
WORD = r"(?:[\w-]+ (?:end|edge|face))"


@dataclass
class Dim:
    axis: str
    mm: float
    kind: str
    view: str
    text: str


@dataclass
class Shown:
    """What the sheet groups together for one feature."""

    dims: list = field(default_factory=list)
    texts: list = field(default_factory=list)
    caption: str = ""
    tables: list = field(default_factory=list)
    walls: list = field(default_factory=list)
    view: str = ""


@dataclass(frozen=True)
class View:
    """A view in use: positions are distances from the datum corner, the front left corner of the worked face."""

    right: tuple
    up: tuple
    towards: tuple
    size: tuple

    def _axis(self, way):
        """Where positions along an axis begin and whether they grow with it."""
        corner = (0.0, 0.0, self.size[2])
        span = sorted((0.0, dot(way, self.size)))
        at = dot(way, corner)
        return at, 1.0 if abs(at - span[0]) < 1e-9 else -1.0, span[1] - span[0]

    def at(self, axis, distance):
        start, sign, _ = self._axis(self.right if axis == "u" else self.up)
        return start + sign * distance

    def long(self, axis):
        return self._axis(self.right if axis == "u" else self.up)[2]

    def far(self, axis, way):
        """Whether a direction points away from the datum along an axis."""
        own = self.right if axis == "u" else self.up
        return dot(own, way) * self._axis(own)[1] > 0

    def axis_of(self, way):
        return "u" if abs(dot(self.right, way)) > 0.5 else "v"

    @property
    def datum(self):
        high = max(0.0, dot(self.towards, self.size))
        return Datum(Frame(scale(self.towards, high), self.right, self.up, self.towards), SURFACE[self.towards])


class SheetRead:
    def __init__(self, data: bytes):
        doc = ezdxf.read(io.StringIO(data.decode("utf-8")))
        self.space = doc.modelspace()
        texts = [t.dxf.text for t in self.space.query("TEXT")]
        self.inches = "all sizes in inches" in texts
        self.view_of, self.titles, self.of_view, tables = {}, {}, {}, {}
        in_table = set()
        for name, group in doc.groups:
            if name.startswith("VIEW"):
                key, title = group.dxf.description.split(": ", 1)
                self.titles[key] = title
                self.of_view[key] = list(group)
                self.view_of.update({e.dxf.handle: key for e in group})
            if name.startswith("TABLE"):
                tables[group.dxf.description] = self._table(group)
                in_table |= {e.dxf.handle: None for e in group}.keys()
        self.tables = tables
        handles = {
            title: {e.dxf.handle for e in group}
            for name, group in doc.groups
            if name.startswith("TABLE")
            for title in [group.dxf.description]
        }
        self.dims = {d.dxf.handle: self._dim(d) for d in self.space.query("DIMENSION")}
        sized = {(d.view, d.axis): d.mm for d in self.dims.values() if d.kind == "OVERALL"}
        end = next(key for key in ("right end", "left end") if (key, "u") in sized)
        self.size = (sized["face", "u"], sized["face", "v"], sized[end, "u"])
        self.sides = self._sides()
        self.shown = {}
        for name, group in doc.groups:
            if name.startswith("FEATURE"):
                self.shown[group.dxf.description] = self._shown(group, in_table, handles)

    def number(self, text):
        value = float(sum(Fraction(word) for word in text.split()))
        return value * 25.4 if self.inches else value

    def _dim(self, d):
        style = d.get_dim_style()
        mm = round(d.get_measurement() * style.dxf.dimlfac * (25.4 if self.inches else 1.0), 9)
        kind = style.dxf.name.split("_")[1]
        return Dim("u" if d.dxf.angle == 0.0 else "v", mm, kind, self.view_of[d.dxf.handle], d.dxf.text)

    def _table(self, group):
        cells = [(t.dxf.insert.y, t.dxf.insert.x, t.dxf.text) for t in group if t.dxftype() == "TEXT"]
        lines = {}
        for y, x, text in sorted(cells, key=lambda c: (-c[0], c[1])):
            lines.setdefault(round(y, 3), []).append((round(x, 3), text))
        _title, heads, *rows = lines.values()
        columns = [x for x, _ in heads]
        done = []
        for row in rows:
            cell = dict(row)
            line = [cell.get(x, "") for x in columns]
            if line[0]:
                done.append(line)
            else:
                done[-1] = [f"{a} {b}".strip() for a, b in zip(done[-1], line, strict=True)]
        return [[text for _, text in heads], *done]

    def _sides(self):
        """Names of the part's sides, by where they stand along the worked face."""
        length, width, _ = self.size
        found = {}
        for t in self.of_view["face"]:
            if t.dxftype() != "TEXT" or not (m := re.fullmatch(r"([\w-]+ (end|edge))( \(.*\))?", t.dxf.text)):
                continue
            x, y = self._told_of(t)
            found[m[1]] = (NX if x < length / 2 else X) if m[2] == "end" else (NY if y < width / 2 else Y)
        worked = re.match(r"[\w-]+ face", self.titles["face"])[0]
        found[worked] = Z
        for text in [*self.titles.values(), *(t.dxf.text for t in self.space.query("TEXT"))]:
            for name in re.findall(r"[\w-]+ face", text):
                if name not in ("show face", "worked face", worked):
                    found.setdefault(name, NZ)
        return found

    def _told_of(self, text):
        """Where a name stands, or where its leader points to."""
        own = tuple(text.dxf.insert)[:2]
        far = own[0] + text.dxf.height * 0.62 * len(text.dxf.text)
        best, at = 3.0 * text.dxf.height, own
        for leader in self.of_view["face"]:
            if leader.dxftype() == "LEADER":
                points = [tuple(v)[:2] for v in leader.vertices]
                x, y = points[-1]
                off = math.hypot(max(own[0] - x, x - far, 0.0), y - own[1])
                if off < best:
                    best, at = off, points[0]
        return at

    def _shown(self, group, in_table, handles):
        shown = Shown()
        mine = {e.dxf.handle for e in group}
        lines = []
        texts = [e for e in group if e.dxftype() == "TEXT"]
        # From top to bottom, as one reads.
        for e in [
            *(e for e in group if e.dxftype() == "DIMENSION"),
            *sorted(texts, key=lambda t: (-round(t.dxf.insert.y, 3), t.dxf.insert.x)),
        ]:
            handle = e.dxf.handle
            view = self.view_of.get(handle, "")
            if e.dxftype() == "DIMENSION":
                shown.dims.append(self.dims[handle])
            elif e.dxftype() == "TEXT" and handle not in in_table:
                if view.startswith("section"):
                    lines.append(e.dxf.text)
                else:
                    shown.texts.append(e.dxf.text)
                    shown.view = view
        if lines:
            shown.caption = " ".join(lines[1:])
        shown.tables = [self.tables[title] for title, own in handles.items() if own <= mine and ("corner" in title or "wall" in title)]
        shown.walls = [title for title, own in handles.items() if own <= mine and "wall" in title]
        return shown

    def mirror(self):
        """The axis that the opposite hand is mirrored along, by the names along its worked face."""
        found = {}
        for t in self.of_view["opposite"]:
            if t.dxftype() == "TEXT" and re.fullmatch(r"[\w-]+ (end|edge)", t.dxf.text):
                found[t.dxf.text] = tuple(t.dxf.align_point if t.dxf.halign else t.dxf.insert)[:2]
        for axis, k, kind in ((X, 0, "end"), (Y, 1, "edge")):
            (one, p), (_, q) = ((name, at) for name, at in found.items() if name.endswith(kind))
            if (p[k] < q[k]) != (self.sides[one][k] < 0):
                return axis
        raise AssertionError("the opposite hand is the same hand")
