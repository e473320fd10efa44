"""The opposite hand of a part on the same sheet: its worked face, small, with its ends and edges named."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from build123.drawing.bores import hole_items
from build123.drawing.curves import with_arcs
from build123.drawing.layout import Block
from build123.drawing.lettering import text_width, wrapped
from build123.drawing.linework import Seen
from build123.drawing.standard import Standard
from build123.drawing.viewing import Viewing
from build123.drawing.vocabulary import Circle, Group, Item, Label, Pen, Polyline, SheetView
from build123.drawing.wording import side_name, towards
from build123.model.feature import Hole
from build123.model.frame import Vec2, scale
from build123.model.part import Part

SIZE_MM = (66.0, 34.0)
"""The largest view on paper."""
NAMES_MM = 5.0
WIDE_MM = 78.0


@dataclass(frozen=True, slots=True)
class OppositeHand:
    """The other hand's worked face, still to be placed. It has no dimensions: they run from the ends and edges of the same names."""

    parts: Sequence[Part]
    viewing: Viewing
    seen: Seen
    standard: Standard

    @property
    def factor(self) -> float:
        """The largest standard scale that has room."""
        wide, high = self.seen.high[0] - self.seen.low[0], self.seen.high[1] - self.seen.low[1]
        return next((s for _, s in self.standard.scales if wide * s <= SIZE_MM[0] and high * s <= SIZE_MM[1]), self.standard.scales[-1][1])

    @property
    def lines(self) -> tuple[str, ...]:
        """What is said over the view."""
        part = self.parts[0]
        said = f"{', '.join(p.name for p in self.parts[:2])}{f' and {len(self.parts) - 2} more' if len(self.parts) > 2 else ''}"
        text = f"make {len(self.parts)}: {said}; {side_name(part, '+z')} up, all sizes as given, from the ends and edges of the same names"
        return wrapped(text, self.standard.text_mm, WIDE_MM, 4)

    def _side_room(self) -> float:
        """Beside the view for the names of its sides; level where the view is too low for them to stand."""
        return NAMES_MM if self._upright() else self._longest() + 3.0

    def _longest(self) -> float:
        ways = (self.viewing.right, scale(self.viewing.right, -1.0))
        return max(text_width(towards(self.parts[0], way), self.standard.text_mm) for way in ways)

    def _upright(self) -> bool:
        return (self.seen.high[1] - self.seen.low[1]) * self.factor + 2 * NAMES_MM > self._longest()

    @property
    def block(self) -> Block:
        """The room that it takes."""
        height = self.standard.text_mm * 1.7 * (len(self.lines) + 1) + 2.0
        wide = (self.seen.high[0] - self.seen.low[0]) * self.factor + 2 * self._side_room()
        return Block(max(WIDE_MM, wide) + 2.0, height + (self.seen.high[1] - self.seen.low[1]) * self.factor + 2 * NAMES_MM + 2.0)

    def placed(self, corner: tuple[float, float]) -> SheetView:
        """The view with the upper left corner of its block there."""
        height, factor, part = self.standard.text_mm, self.factor, self.parts[0]
        title = "opposite hand"
        y = corner[1] - height
        labels: list[Item] = [Label(title, (corner[0], y), height, bold=True)]
        for line in self.lines:
            y -= height * 1.7
            labels.append(Label(line, (corner[0], y), height))
        wide, high = ((self.seen.high[k] - self.seen.low[k]) * factor for k in (0, 1))
        left, top = corner[0] + (self.block.width - wide) / 2, y - 2.0 - NAMES_MM
        origin = (left - self.seen.low[0] * factor, top - self.seen.high[1] * factor)
        outline: list[Item] = []
        for edge in self.seen.edges:
            if edge.hidden:
                continue
            points = tuple((origin[0] + x * factor, origin[1] + z * factor, bulge) for x, z, bulge in with_arcs(edge.points))
            closed = len(points) > 3 and points[0][:2] == points[-1][:2]
            outline.append(Polyline(points[:-1] if closed else points, closed, Pen.visible))
        look = self.viewing

        def paper(p: Vec2) -> Vec2:
            return (origin[0] + p[0] * factor, origin[1] + p[1] * factor)

        for feature in part.features:
            if isinstance(feature.geometry, Hole) and look.sees(feature):
                rings = hole_items(part, feature.geometry, look, paper, factor)
                outline += [item for item in rings if isinstance(item, Circle | Polyline) and item.pen is Pen.visible]
        middle, centre = left + wide / 2, top - high / 2
        for way, base in ((look.up, top + 1.5), (scale(look.up, -1.0), top - high - 1.2 - height)):
            labels.append(Label(towards(part, way), (middle, base), height, "middle"))
        for way, at in ((scale(look.right, -1.0), left - 1.5), (look.right, left + wide + 1.2)):
            name = towards(part, way)
            if self._upright():
                labels.append(Label(name, (at if at < left else at + height, centre), height, "middle", 90))
            else:
                labels.append(Label(name, (at, centre - height / 2), height, "end" if at < left else "start"))
        return SheetView("opposite", title, factor, origin, (Group("note", tuple(labels)), Group("section", tuple(outline))))
