"""Builds a part again from the DXF of its sheet: from dimension entities, notes and tables alone."""

import math
import re

from read_dxf import VIEWS, WORD, SheetRead, View

from build123.model.feature import (
    About,
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


class Reader(SheetRead):
    """The features that a sheet tells of."""

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
        side = self.sides[re.search(WORD, shown.walls[0].rpartition(": ")[2])[0]]
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
        if m := re.fullmatch(r"([\d ./-]+) and ([\d ./-]+)", text):
            return [self.number(m[1]), self.number(m[2])]
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
            if note.endswith("nothing drilled"):
                continue
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
