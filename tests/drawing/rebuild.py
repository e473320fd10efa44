"""Builds a part again from the DXF of its sheet: from dimension entities, notes and tables alone.

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
    About,
    Datum,
    EndKind,
    Feature,
    Hole,
    HoleStep,
    Pocket,
    Profile,
    Purpose,
    Trench,
    TrenchEnd,
    Trim,
    Vertex,
)
from build123.model.frame import Frame, Plane, add, cross, dot, scale, sub, unit
from build123.model.part import Part, Stock

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


class Reader:
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
            x, y = tuple(t.dxf.insert)[:2]
            found[m[1]] = (NX if x < length / 2 else X) if m[2] == "end" else (NY if y < width / 2 else Y)
        worked = re.match(r"[\w-]+ face", self.titles["face"])[0]
        found[worked] = Z
        for text in [*self.titles.values(), *(t.dxf.text for t in self.space.query("TEXT"))]:
            for name in re.findall(r"[\w-]+ face", text):
                if name not in ("show face", "worked face", worked):
                    found.setdefault(name, NZ)
        return found

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

    # What was read, as features.

    def part(self, name="rebuilt"):
        features = []
        for id, shown in self.shown.items():
            for shape in self._shapes(shown):
                features.append(Feature(shape, About(id, "read", Purpose.shape)))
        for title, rows in self.tables.items():
            if m := re.match(rf"holes, ({WORD})", title):
                for shape in self._hole_rows(self.sides[m[1]], rows):
                    features.append(Feature(shape, About(f"{title} {len(features)}", "read", Purpose.shape)))
        stock = Stock("read", "sheet", "wood", self.size[2])
        return Part(name, stock, Frame(), *self.size, tuple(features), {}, "+z", name, name)

    def view(self, key):
        return View(*VIEWS[key], self.size)

    def _note(self, shown):
        """The words for a feature and its letter."""
        if shown.caption:
            return re.sub(r"^\d+ × ", "", shown.caption)
        first = shown.texts[0] if shown.texts else ""
        if m := re.match(r"([A-Z]+)\d*(–[A-Z]+\d+)?( \(\d+×\))?( |$)", first):
            for rows in (rows for title, rows in self.tables.items() if title.startswith("what to cut")):
                for mark, note, _ in rows[1:]:
                    if mark == m[1]:
                        return note
        return re.sub(r"^\d+ × ", "", first)

    def _shapes(self, shown):
        note = self._note(shown)
        cut = [d for d in shown.dims if d.view.startswith("section")]
        if re.match(r"[A-Z]+\d+", shown.texts[0] if shown.texts else ""):
            return  # In a table of holes.
        if "Ø" in note or any("Ø" in d.text for d in cut):
            yield self._hole(shown, note, cut)
        elif "along the arris of" in note:
            yield self._profile(shown, note, cut)
        elif cut:
            yield self._trench(shown, note, cut)
        elif "short point" in note or "off the arris" in note or ", square" in note or "to its corners" in note:
            yield self._trim(shown, note)
        elif re.search(r", through| deep", note):
            yield self._pocket(shown, note)
        else:
            assert not re.search(r"\d (wide|deep)", note), note

    def _places(self, shown, view):
        """Positions that are dimensioned in a view, by axis."""
        found = {"u": [], "v": []}
        for d in shown.dims:
            if d.view == view and d.kind == "RUNNING":
                found[d.axis].append(d.mm)
        return {axis: sorted(mm) for axis, mm in found.items()}

    def _trench(self, shown, note, cut):
        look = self.view(shown.view)
        words = note.split("; ")[0].split(", ")
        depth = next(d.mm for d in cut if d.axis == "v")
        lean = flare = 0.0
        towards = None
        stops = {}
        rims = []
        if m := re.search(rf" along the ((?:{WORD}(?:, | and )?)+)", words[0]):
            rims = [self.sides[name] for name in re.findall(WORD, m[1])]
        last = []
        for word in words:
            if m := re.match(r"walls lean ([\d.]+)°", word):
                lean = float(m[1])
            elif m := re.match(rf"deeper towards the ({WORD})", word):
                towards = self.sides[m[1]]
            elif m := re.match(r"each wall flares ([\d.]+)°", word):
                flare = float(m[1])
            elif word.startswith("stopped short of"):
                last = [self.sides[name] for name in re.findall(WORD, word)]
                stops.update({side: TrenchEnd(EndKind.square) for side in last})
            elif m := re.match(r"corners R([\d ./]+)", word):
                stops.update({side: TrenchEnd(EndKind.round, self.number(m[1])) for side in last})
            elif m := re.match(r"scooped R([\d ./]+)", word):
                stops.update({side: TrenchEnd(EndKind.scoop, self.number(m[1])) for side in last})
        if lean:
            width = self.number(re.search(r" ([\d ./]+) wide square to its walls", note)[1])
        else:
            width = next(d.mm for d in cut if d.axis == "u")
        half = width / 2 / math.cos(math.radians(lean))
        if shown.walls:
            return self._oblique(shown, look, width, half, depth, lean, flare, towards, stops)
        place = self._places(shown, shown.view)
        if rims:
            across = look.axis_of(rims[0])
        elif stops:
            across = "v" if look.axis_of(next(iter(stops))) == "u" else "u"
        else:
            across = "u" if place["u"] else "v"
        along = "v" if across == "u" else "u"
        if rims and not place[across]:
            middle = half if not look.far(across, rims[0]) else look.long(across) - half
        elif rims and not look.far(across, rims[0]):
            middle = place[across][0] - half
        else:
            middle = place[across][0] + half
        ends = [0.0, look.long(along)]
        kinds = [TrenchEnd(), TrenchEnd()]
        where = list(place[along])
        for side in sorted(stops, key=lambda s: look.far(along, s)):
            k = 1 if look.far(along, side) else 0
            ends[k] = where.pop(0)
            kinds[k] = stops[side]
        points = [(look.at("u", middle), look.at("v", e)) if across == "u" else (look.at("u", e), look.at("v", middle)) for e in ends]
        return self._channel(look, points[0], points[1], kinds, width, depth, lean, flare, towards, rims)

    def _channel(self, look, start, end, kinds, width, depth, lean, flare, towards, rims):
        length = math.dist(start, end)
        left = ((start[1] - end[1]) / length, (end[0] - start[0]) / length)
        bench = add(scale(look.right, left[0]), scale(look.up, left[1]))
        sign = 1.0 if towards is None or dot(towards, bench) > 0 else -1.0
        is_open = [any(dot(rim, scale(bench, s)) > 0.5 for rim in rims) for s in (1.0, -1.0)]
        return Trench(look.datum, start, end, width, depth, kinds[0], kinds[1], is_open[0], is_open[1], sign * lean, flare)

    def _oblique(self, shown, look, width, half, depth, lean, flare, towards, stops):
        rows = shown.tables[0][1:]
        side = self.sides[re.search(WORD, shown.walls[0])[0]]
        a, b = ((look.at("u", self.number(r[1])), look.at("v", self.number(r[2]))) for r in rows)
        d = ((b[0] - a[0]) / math.dist(a, b), (b[1] - a[1]) / math.dist(a, b))
        left = (-d[1], d[0])
        bench = add(scale(look.right, left[0]), scale(look.up, left[1]))
        off = half if dot(side, bench) > 0 else -half
        past = [0.0 if row[3] == "stopped" else 2 * width + depth for row in rows]
        kinds = [TrenchEnd() if row[3] == "open" else TrenchEnd(EndKind.square) for row in rows]
        for k, way in ((0, -1.0), (1, 1.0)):
            ahead = add(scale(look.right, d[0] * way), scale(look.up, d[1] * way))
            nearest = max(stops, key=lambda s: dot(s, ahead), default=None)
            if rows[k][3] == "stopped" and nearest is not None:
                kinds[k] = stops[nearest]
        start = (a[0] + left[0] * off - d[0] * past[0], a[1] + left[1] * off - d[1] * past[0])
        end = (b[0] + left[0] * off + d[0] * past[1], b[1] + left[1] * off + d[1] * past[1])
        return self._channel(look, start, end, kinds, width, depth, lean, flare, towards, [])

    def _hole(self, shown, note, cut):
        place = self._places(shown, shown.view)
        look = self.view(shown.view)
        return self._drilled(look, (look.at("u", place["u"][0]), look.at("v", place["v"][0])), note, cut)

    def _drilled(self, look, at, note, cut=()):
        through = bool(re.search(r"through", note))
        steps = []
        if cut:
            wide = sorted((d.mm for d in cut if d.axis == "u"), reverse=True)
            deep = sorted(d.mm for d in cut if d.axis == "v")
            cones = {1: float(m[1])} if (m := re.search(r"countersunk ([\d.]+)°", note)) else {}
            cones.update({int(k): float(a) for k, a in re.findall(r"step (\d+) coned ([\d.]+)°", note)})
            deep += [2 * sum(self.size)] * (len(wide) - len(deep))
            steps = [HoleStep(w, d, cones.get(k, 0.0)) for k, (w, d) in enumerate(zip(wide, deep, strict=True), 1)]
        else:
            for w, cone, d in re.findall(r"Ø([\d ./]+?)(?: countersunk ([\d.]+)°)? (?:× )?(through|[\d ./]+ deep)", note):
                deep = 2 * sum(self.size) if d == "through" else self.number(d.removesuffix(" deep"))
                steps.append(HoleStep(self.number(w), deep, float(cone or 0.0)))
        tip = float(m[1]) if (m := re.search(r"([\d.]+)° point", note)) else 0.0
        slot = (0.0, 0.0, 0.0)
        if m := re.search(r"slotted (.*?) between centres", note):
            for size, name in re.findall(rf"([\d ./]+) towards the ({WORD})", m[1]):
                slot = add(slot, scale(self.sides[name], self.number(size.strip(" and"))))
        axis = scale(look.towards, -1.0)
        if m := re.search(r"drilled off square (.*)", note):
            for angle, name in re.findall(rf"([\d.]+)° towards the ({WORD})", m[1]):
                axis = add(axis, scale(self.sides[name], math.tan(math.radians(float(angle)))))
        axis = unit(axis)
        own = look.datum.frame.local_vector(axis)
        flat = look.datum.frame.local_vector(slot)
        return Hole(look.datum, at, tuple(steps), own, through, tip, (flat[0], flat[1]))

    def _run_of(self, text):
        if m := re.fullmatch(r"([\d ./-]+), then (\d+) more, ([\d ./-]+) apart", text):
            return [self.number(m[1]) + k * self.number(m[3]) for k in range(int(m[2]) + 1)]
        if m := re.fullmatch(r"([\d ./-]+) to ([\d ./-]+) in (\d+) equal steps", text):
            a, b, n = self.number(m[1]), self.number(m[2]), int(m[3])
            return [a + (b - a) * k / n for k in range(n + 1)]
        return [self.number(text)]

    def _hole_rows(self, side, rows):
        key = next(key for key, (_, _, towards) in VIEWS.items() if towards == side)
        look = self.view(key)
        for row in rows[1:]:
            letter = re.match(r"[A-Z]+", row[0])[0]
            note, cut = self._explained(letter)
            us, vs = self._run_of(row[1]), self._run_of(row[2])
            many = max(len(us), len(vs))
            for u, v in zip(us * (many if len(us) == 1 else 1), vs * (many if len(vs) == 1 else 1), strict=True):
                yield self._drilled(look, (look.at("u", u), look.at("v", v)), note, cut)

    def _explained(self, letter):
        for title, rows in self.tables.items():
            if title.startswith("what to cut"):
                for mark, note, _ in rows[1:]:
                    if mark == letter:
                        return note, ()
        key = f"section {letter}"
        return self.titles[key], [d for d in self.dims.values() if d.view == key]

    def _loop(self, rows, at, columns=(1, 2)):
        """Corners of an outline with their bulges; the rise of an arc is over the middle of its chord."""
        points = [at(self.number(row[columns[0]]), self.number(row[columns[1]])) for row in rows]
        loop = []
        for k, row in enumerate(rows):
            bulge = 0.0
            if m := re.match(r"(round|hollow), rise ([\d ./]+)", row[-1]):
                bulge = 2 * self.number(m[2]) / math.dist(points[k], points[(k + 1) % len(points)]) * (1 if m[1] == "round" else -1)
            loop.append(Vertex(*points[k], bulge))
        return tuple(loop)

    def _pocket(self, shown, note):
        look = self.view(shown.view)
        deep = re.search(r", ([\d ./]+) deep", note)
        depth = self.number(deep[1]) if deep else None
        far = None
        if shown.tables:
            rows = [row for table in shown.tables for row in table[1:]]

            def at(u, v):
                return (look.at("u", u), look.at("v", v))

            outline = self._loop([r for r in rows if r[0].isdigit()], at)
            names = dict.fromkeys(r[0].rsplit(" ", 1)[0] for r in rows if not r[0].isdigit())
            islands = tuple(self._loop([r for r in rows if r[0].rsplit(" ", 1)[0] == name], at) for name in names)
            if len(rows[0]) == 6:
                far = self._loop(rows, at, (3, 4))
        else:
            place = self._places(shown, shown.view)
            open_to = [self.sides[name] for name in re.findall(WORD, note.split("open at the ")[1])] if "open at the" in note else []
            spans = []
            for axis in ("u", "v"):
                low, high = 0.0, look.long(axis)
                rims = [look.far(axis, s) for s in open_to if look.axis_of(s) == axis]
                told = list(place[axis])
                if False not in rims:
                    low = told.pop(0)
                if True not in rims:
                    high = told.pop(0)
                # Past the rim, as a saw goes.
                low, high = (low - 5.0 if False in rims else low), (high + 5.0 if True in rims else high)
                spans.append(sorted((look.at(axis, low), look.at(axis, high))))
            (a, b), (c, d) = spans
            outline, islands = (Vertex(a, c), Vertex(b, c), Vertex(b, d), Vertex(a, d)), ()
        return Pocket(look.datum, outline, islands, depth, far)

    def _profile(self, shown, note, cut):
        m = re.search(rf"along the arris of the ({WORD}) and the ({WORD})", note)
        u, v = self.sides[m[1]], self.sides[m[2]]
        wide, high = next(d.mm for d in cut if d.axis == "u"), next(d.mm for d in cut if d.axis == "v")
        section = (Vertex(0, 0), Vertex(-wide, 0), Vertex(0, -high))
        if shown.tables:
            section = self._loop([row for table in shown.tables for row in table[1:]], lambda a, b: (-a, -b))
        corner = (0.0, 0.0, 0.0)
        for way in (u, v):
            corner = add(corner, tuple(self.size[k] if way[k] > 0.5 else 0.0 for k in range(3)))
        along = tuple(1.0 if abs(u[k]) + abs(v[k]) < 0.5 else 0.0 for k in range(3))
        ends = [0.0, dot(along, self.size)]
        told = sorted(d.mm for d in shown.dims if d.kind == "RUNNING")
        for mm in told:
            ends[0 if abs(mm - ends[0]) < abs(mm - ends[1]) else 1] = mm
        start, end = (add(corner, scale(along, e)) for e in ends)
        return Profile(start, end, u, v, section)

    def _trim(self, shown, note):
        if shown.tables:
            rows = [row for table in shown.tables for row in table[1:]]
            points = [(self.number(r[1]), self.number(r[2]), self.size[2] - self.number(r[3])) for r in rows]
            side = self.sides[re.search(rf"({WORD}), to its corners", note)[1]]
            best = max(
                (
                    unit(n)
                    for i in range(1, len(points))
                    for j in range(i + 1, len(points))
                    if dot(n := cross(sub(points[i], points[0]), sub(points[j], points[0])), n) > 1e-9
                ),
                key=lambda n: abs(dot(n, side)),
            )
            normal = best if dot(best, side) > 0 else scale(best, -1.0)
            return Trim(Plane(normal, dot(normal, points[0])))
        key = shown.view
        look = self.view(key)
        place = self._places(shown, key)
        if m := re.search(rf"off the arris of the ({WORD}) and the ({WORD})", note):
            sides = [self.sides[m[1]], self.sides[m[2]]]
            sides.sort(key=look.axis_of)
            rim = {axis: look.long(axis) if look.far(axis, side) else 0.0 for axis, side in zip("uv", sides, strict=True)}
            one, two = (place["u"][0], rim["v"]), (rim["u"], place["v"][0])
        else:
            m = re.search(rf"({WORD}), (?:square|short point at the ({WORD}))", note)
            side = self.sides[m[1]]
            axis = look.axis_of(side)
            other = "v" if axis == "u" else "u"
            base = look.long(axis) if look.far(axis, side) else 0.0
            told = [*place[axis]]
            if m[2] is None:
                told = told * 2
            elif len(told) == 1:
                told = [base, told[0]] if not look.far(axis, side) else [told[0], base]
            # The short point lies farther in from the side that is cut.
            short, long = (told[1], told[0]) if not look.far(axis, side) else (told[0], told[1])
            at_short = look.long(other) if m[2] and look.far(other, self.sides[m[2]]) else 0.0
            at_long = look.long(other) - at_short
            one, two = ((short, at_short), (long, at_long)) if axis == "u" else ((at_short, short), (at_long, long))
            sides = [side]
        p, q = ((look.at("u", a), look.at("v", b)) for a, b in (one, two))
        d = unit((q[0] - p[0], q[1] - p[1], 0.0))
        normal = add(scale(look.right, -d[1]), scale(look.up, d[0]))
        if sum(dot(normal, s) for s in sides) < 0:
            normal = scale(normal, -1.0)
        on = add(scale(look.right, p[0]), scale(look.up, p[1]))
        return Trim(Plane(normal, dot(normal, on)))


def rebuild(data: bytes, name="rebuilt") -> Part:
    """The part that a sheet tells of."""
    return Reader(data).part(name)
