"""What a sheet is made of: lines, figures, dimensions, tables. Plain data in mm on paper, y up, origin at the lower left.

Renderers (SVG now; DXF and PDF with it) read nothing else. A dimension, a leader and a table stay what they are, so that a
renderer with such entities of its own can write them; `expand` breaks them into lines and figures for all others.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import Enum
from typing import Literal, TypeAlias

from build123.model.frame import Vec2


class Pen(Enum):
    """Line types (ISO 128-2)."""

    visible = "visible"
    hidden = "hidden"
    centre = "centre"
    thin = "thin"
    phantom = "phantom"
    border = "border"


PEN_WIDTH_MM: dict[Pen, float] = {
    Pen.visible: 0.5,
    Pen.hidden: 0.25,
    Pen.centre: 0.25,
    Pen.thin: 0.25,
    Pen.phantom: 0.25,
    Pen.border: 0.7,
}
"""Two widths, thick twice thin, and the frame (ISO 128-2 group 0.5/0.25; ISO 5457 frame 0.7, from memory)."""

PEN_DASHES_MM: dict[Pen, tuple[float, ...]] = {
    Pen.visible: (),
    Pen.hidden: (3.0, 0.75),
    Pen.centre: (6.0, 0.75, 0.12, 0.75),
    Pen.thin: (),
    Pen.phantom: (6.0, 0.75, 0.12, 0.75, 0.12, 0.75),
    Pen.border: (),
}
"""Dash and gap in turn: dash 12, long dash 24, gap 3, dot 0.5 line widths (ISO 128-2, from memory)."""

Turn = Literal[0, 90]
"""Text stands level or reads from the right (degrees)."""


@dataclass(frozen=True, slots=True)
class Line:
    """A straight line."""

    start: Vec2
    end: Vec2
    pen: Pen = Pen.thin


@dataclass(frozen=True, slots=True)
class Circle:
    """A circle."""

    centre: Vec2
    radius: float
    pen: Pen = Pen.thin


@dataclass(frozen=True, slots=True)
class Arc:
    """An arc, counter-clockwise from `start_deg` to `end_deg`."""

    centre: Vec2
    radius: float
    start_deg: float
    end_deg: float
    pen: Pen = Pen.thin


@dataclass(frozen=True, slots=True)
class Polyline:
    """Points (x, y, bulge); the bulge is that of `model.feature.Vertex`."""

    points: tuple[tuple[float, float, float], ...]
    closed: bool = False
    pen: Pen = Pen.thin


@dataclass(frozen=True, slots=True)
class Area:
    """A filled polygon: arrowheads and bands."""

    points: tuple[Vec2, ...]
    grey: float = 0.0


@dataclass(frozen=True, slots=True)
class Label:
    """One line of text. `at` is on the baseline at the anchor, `height` that of capitals. `grey` 0 is black, 1 white."""

    text: str
    at: Vec2
    height: float
    anchor: Literal["start", "middle", "end"] = "start"
    turn: Turn = 0
    bold: bool = False
    grey: float = 0.0


@dataclass(frozen=True, slots=True)
class LinearDimension:
    """A size between two points.

    `kind`: overall and single have two arrows; running starts at the datum `a` and has one arrow, at `b`; a number in
    brackets is a reference. `along` is the measured direction, x or y. `line_at` is the other coordinate of the
    dimension line. `value_mm` is the true size. `label` is its figure, placed. `bend` moves the outer end of b's
    extension line along the measured direction, where running figures stand close; `tick` has an oblique stroke in place
    of an arrow there. `outside` has the arrows outside, where the size is small.
    """

    kind: Literal["overall", "single", "running", "reference"]
    along: Literal["x", "y"]
    a: Vec2
    b: Vec2
    line_at: float
    value_mm: float
    label: Label
    bend: float = 0.0
    outside: bool = False
    tick: bool = False


@dataclass(frozen=True, slots=True)
class Leader:
    """A thin line from a note to what it is about: an arrow on a line, a dot inside an area."""

    points: tuple[Vec2, ...]
    ends_in: Literal["arrow", "dot"] = "arrow"


@dataclass(frozen=True, slots=True)
class Table:
    """Rows of text under a heading row; a row with an empty first cell goes on with the one before. `at` is the upper left corner; widths in mm."""

    at: Vec2
    widths: tuple[float, ...]
    row_height: float
    text_height: float
    rows: tuple[tuple[str, ...], ...]
    title: str = ""


Primitive: TypeAlias = Line | Circle | Arc | Polyline | Area | Label
Item: TypeAlias = Primitive | LinearDimension | Leader | Table


@dataclass(frozen=True, slots=True)
class Cover:
    """One size of one feature that an item gives: ("dado: shelf in side", "width")."""

    feature: str
    size: str


@dataclass(frozen=True, slots=True)
class Group:
    """Items that belong together. `role` names what they are; `features` the ids they show; `covers` the sizes they give."""

    role: Literal["frame", "title", "outline", "feature", "dimension", "note", "table", "mark", "band", "section"]
    items: tuple[Item, ...]
    features: tuple[str, ...] = ()
    covers: tuple[Cover, ...] = ()


@dataclass(frozen=True, slots=True)
class SheetView:
    """One view, placed. `origin` is where the view's coordinates (0, 0) lie on paper; one mm of wood is `scale` mm."""

    key: str
    title: str
    scale: float
    origin: Vec2
    groups: tuple[Group, ...]


@dataclass(frozen=True, slots=True)
class Size:
    """A sheet size by name, as it lies."""

    name: str
    width: float
    height: float


@dataclass(frozen=True, slots=True)
class Sheet:
    """A whole sheet. `fields` are the title block's, by name, for whoever reads the sheet without looking at it."""

    size: Size
    title: str
    description: str
    scale: str
    views: tuple[SheetView, ...]
    groups: tuple[Group, ...] = ()
    fields: tuple[tuple[str, str], ...] = field(default=())

    @property
    def all_groups(self) -> tuple[Group, ...]:
        """Every group, those of the views first."""
        return (*(group for view in self.views for group in view.groups), *self.groups)
