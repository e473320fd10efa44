"""A sheet as DXF: views in full size, real dimensions, leaders, text, the same bytes every time.

One millimetre of wood is one unit of model space, and the datum corner of the first view lies at (0, 0); frame, text
and arrowheads are drawn so much larger that they come out right when the file is plotted at the sheet's scale. A view at
another scale has a dimension style of its own whose DIMLFAC makes its dimensions measure the true sizes. What belongs to
one feature, and to one view, is a GROUP with the feature's id, or the view's title, as its description.
"""

from __future__ import annotations

import io
import math
from collections.abc import Iterable, Iterator

from ezdxf._options import options
from ezdxf.document import Drawing
from ezdxf.entities.dxfentity import DXFEntity
from ezdxf.enums import TextEntityAlignment
from ezdxf.filemanagement import new
from ezdxf.layouts.blocklayout import BlockLayout
from ezdxf.layouts.layout import Modelspace
from ezdxf.lldxf.const import DXF2010
from typing_extensions import assert_never

from build123.drawing.dxf_styles import AREAS, DIMENSIONS, FONT_STYLE, LAYERS, TEXT, add_styles, dimension_style
from build123.drawing.expand import expand
from build123.drawing.svg import UNFIT
from build123.drawing.vocabulary import (
    Arc,
    Area,
    Circle,
    Item,
    Label,
    Leader,
    Line,
    LinearDimension,
    Polyline,
    Primitive,
    Sheet,
    SheetView,
    Table,
)
from build123.fields.quantity import Units
from build123.model.frame import Vec2

_ANCHORS = {"start": TextEntityAlignment.LEFT, "middle": TextEntityAlignment.CENTER, "end": TextEntityAlignment.RIGHT}


def render(sheet: Sheet, units: Units) -> bytes:
    """The whole file, UTF-8, release R2010. `units` are those of the sheet's figures; the file is in millimetres."""
    known = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        doc = new(DXF2010)
        _Writer(doc, sheet, units).write()
        # The library leaves the order of the classes to string hashing.
        doc.classes.add_required_classes(DXF2010)
        doc.classes.classes = dict(sorted(doc.classes.classes.items()))
        out = io.StringIO()
        doc.write(out)
    finally:
        options.write_fixed_meta_data_for_testing = known
    return out.getvalue().encode("utf-8")


def clean(text: str) -> str:
    """Text that no reader takes for a control code of DXF."""
    text = UNFIT.sub("\ufffd", text).replace("\n", " ").replace("\t", " ").replace("\r", " ")
    return text.replace("%%", "% %").replace("\\", "/").replace("^", "^ ")


class _Writer:
    def __init__(self, doc: Drawing, sheet: Sheet, units: Units) -> None:
        self.doc, self.sheet, self.units = doc, sheet, units
        self.space: Modelspace = doc.modelspace()
        first = sheet.views[0] if sheet.views else None
        self.scale = first.scale if first else 1.0
        self.origin = first.origin if first else (0.0, 0.0)
        self.features: dict[str, list[DXFEntity]] = {}
        add_styles(doc, self.scale, units)

    def write(self) -> None:
        """Everything on the sheet, the views first, then what no view holds."""
        sheet = self.sheet
        for number, view in enumerate(sheet.views, 1):
            drawn = [entity for group in view.groups for entity in self._group(group.items, group.features, view)]
            self._collect(f"VIEW_{number}", f"{view.key}: {view.title}", drawn)
        for group in sheet.groups:
            drawn = list(self._group(group.items, group.features, None))
            if group.role == "table":
                name = next((item.title for item in group.items if isinstance(item, Table)), "")
                self._collect(f"TABLE_{len(self.doc.groups) + 1}", name, drawn)
        for number, (id, drawn) in enumerate(self.features.items(), 1):
            self._collect(f"FEATURE_{number}", id, drawn)
        said = f"Drawn in full size, in millimetres. Plot at {sheet.scale} on {sheet.size.name}."
        self._primitive(Label(said, (20.0, 4.0), 1.8), self.space)
        low, high = self._at((0.0, 0.0)), self._at((sheet.size.width, sheet.size.height))
        self.doc.header["$EXTMIN"], self.doc.header["$EXTMAX"] = (*low, 0.0), (*high, 0.0)
        self.doc.set_modelspace_vport((high[1] - low[1]) * 1.05, ((low[0] + high[0]) / 2, (low[1] + high[1]) / 2))

    def _collect(self, name: str, description: str, drawn: Iterable[DXFEntity]) -> None:
        group = self.doc.groups.new(name, clean(description)[:250])
        group.extend(drawn)

    def _group(self, items: Iterable[Item], features: tuple[str, ...], view: SheetView | None) -> Iterator[DXFEntity]:
        for item in items:
            for entity in self._item(item, view):
                for id in features:
                    self.features.setdefault(id, []).append(entity)
                yield entity

    def _at(self, p: Vec2) -> Vec2:
        return ((p[0] - self.origin[0]) / self.scale, (p[1] - self.origin[1]) / self.scale)

    def _item(self, item: Item, view: SheetView | None) -> Iterator[DXFEntity]:
        match item:
            case LinearDimension():
                yield self._dimension(item, view.scale if view else self.scale)
            case Leader():
                yield self.space.add_leader(
                    [self._at(p) for p in item.points],
                    dimstyle=dimension_style(self.doc, "dotted" if item.ends_in == "dot" else "single", 1.0, self.scale, self.units),
                    dxfattribs={"layer": DIMENSIONS},
                )
            case Table() | Line() | Circle() | Arc() | Polyline() | Area() | Label():
                for primitive in expand(item):
                    yield self._primitive(primitive, self.space)
            case _:
                assert_never(item)

    def _dimension(self, d: LinearDimension, scale: float) -> DXFEntity:
        block = self.doc.blocks.new_anonymous_block(type_char="D")
        for primitive in expand(d):
            self._primitive(primitive, block)
        k = 0 if d.along == "x" else 1
        line = (d.b[0], d.line_at) if k == 0 else (d.line_at, d.b[1])
        figure = d.label
        half = figure.height / 2
        middle = (figure.at[0], figure.at[1] + half) if figure.turn == 0 else (figure.at[0] - half, figure.at[1])
        factor = self.scale / scale
        measured = abs(d.b[k] - d.a[k]) / self.scale * factor
        shown = measured / 25.4 if self.units == "in" else measured
        # Left out where the style prints the same, so that the figure follows when somebody stretches the part.
        text = "" if figure.text == printed(shown, self.units) else clean(figure.text)
        return self.space.new_entity(
            "DIMENSION",
            {
                "layer": DIMENSIONS,
                "geometry": block.name,
                "dimstyle": dimension_style(self.doc, d.kind, factor, self.scale, self.units),
                "dimtype": 160,  # linear, its block used once, its figure placed by us
                "defpoint": (*self._at(line), 0.0),
                "defpoint2": (*self._at(d.a), 0.0),
                "defpoint3": (*self._at(d.b), 0.0),
                "text_midpoint": (*self._at(middle), 0.0),
                "attachment_point": 5,
                "angle": 0.0 if k == 0 else 90.0,
                "text_rotation": float(figure.turn),
                "text": text,
                "actual_measurement": shown,
            },
        )

    def _primitive(self, item: Primitive, into: BlockLayout | Modelspace) -> DXFEntity:
        match item:
            case Line():
                return into.add_line(self._at(item.start), self._at(item.end), {"layer": LAYERS[item.pen]})
            case Circle():
                return into.add_circle(self._at(item.centre), item.radius / self.scale, {"layer": LAYERS[item.pen]})
            case Arc():
                centre, radius = self._at(item.centre), item.radius / self.scale
                return into.add_arc(centre, radius, item.start_deg, item.end_deg, True, {"layer": LAYERS[item.pen]})
            case Polyline():
                points = [(*self._at((x, y)), bulge) for x, y, bulge in item.points]
                return into.add_lwpolyline(points, format="xyb", close=item.closed, dxfattribs={"layer": LAYERS[item.pen]})
            case Area():
                return self._area(item, into)
            case Label():
                text = into.add_text(
                    clean(item.text),
                    height=item.height / self.scale,
                    rotation=float(item.turn),
                    dxfattribs={"layer": TEXT, "style": FONT_STYLE[item.bold], **_grey(item.grey)},
                )
                return text.set_placement(self._at(item.at), align=_ANCHORS[item.anchor])
            case _:
                assert_never(item)

    def _area(self, area: Area, into: BlockLayout | Modelspace) -> DXFEntity:
        corners = [self._at(p) for p in area.points]
        attributes = {"layer": AREAS, **_grey(area.grey)}
        if len(corners) == 3:
            return into.add_solid(corners, attributes)
        hatch = into.add_hatch(dxfattribs=attributes)
        hatch.paths.add_polyline_path(corners, is_closed=True)
        return hatch


def _grey(value: float) -> dict[str, int]:
    if value == 0.0:
        return {}
    level = round(255 * value)
    return {"true_color": (level << 16) | (level << 8) | level}


def printed(value: float, units: Units) -> str:
    """What a reader prints for a measured value by the sheet's dimension styles."""
    places = 4 if units == "in" else 2
    text = f"{math.floor(value * 10**places + 0.5) / 10**places:.{places}f}"
    return text.rstrip("0").rstrip(".")
