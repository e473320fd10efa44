"""Layers, line types, text and dimension styles of a sheet's DXF. Lengths here are millimetres of paper."""

from __future__ import annotations

from ezdxf.document import Drawing

from build123.drawing.standard import ARROW_MM, FIGURE_OFF_MM, GAP_MM, PAST_MM
from build123.drawing.vocabulary import PEN_DASHES_MM, PEN_WIDTH_MM, Pen
from build123.fields.quantity import Units

LAYERS: dict[Pen, str] = {
    Pen.visible: "01.2 VISIBLE",
    Pen.hidden: "02.1 HIDDEN",
    Pen.centre: "04.1 CENTRE",
    Pen.thin: "01.1 THIN",
    Pen.phantom: "05.1 PHANTOM",
    Pen.border: "FRAME",
}
"""Numbers of the line types in ISO 128-2 (from memory)."""
DIMENSIONS, TEXT, AREAS = "DIMENSIONS", "TEXT", "AREAS"
FONT_STYLE = {False: "SHEET", True: "SHEET BOLD"}

_LINE_TYPES = {Pen.hidden: "SHEET_HIDDEN", Pen.centre: "SHEET_CENTRE", Pen.phantom: "SHEET_PHANTOM"}


def add_styles(doc: Drawing, scale: float, units: Units) -> None:
    """Everything that entities name, the dimension styles left to their first use. `scale` is paper over wood."""
    header = doc.header
    header["$INSUNITS"], header["$MEASUREMENT"], header["$LUNITS"] = 4, 1, 2
    header["$LTSCALE"] = header["$DIMSCALE"] = 1.0 / scale
    header["$DIMASSOC"] = 1
    header["$LWDISPLAY"] = 1
    for pen, name in _LINE_TYPES.items():
        dashes = PEN_DASHES_MM[pen]
        pattern = [sum(dashes), *(d if k % 2 == 0 else -d for k, d in enumerate(dashes))]
        doc.linetypes.add(name, pattern, description=pen.value)
    for pen, name in LAYERS.items():
        doc.layers.add(name, linetype=_LINE_TYPES.get(pen, "Continuous"), lineweight=round(PEN_WIDTH_MM[pen] * 100))
    for name in (DIMENSIONS, TEXT, AREAS):
        doc.layers.add(name, lineweight=round(PEN_WIDTH_MM[Pen.thin] * 100))
    doc.styles.add(FONT_STYLE[False], font="arial.ttf")
    doc.styles.add(FONT_STYLE[True], font="arialbd.ttf")
    for block, radius in (("_ORIGIN", 0.5), ("_DOTSMALL", 0.2)):
        if block not in doc.blocks:
            doc.blocks.new(block).add_circle((0.0, 0.0), radius, {"layer": "0"})
    dimension_style(doc, "single", 1.0, scale, units)


def dimension_style(doc: Drawing, kind: str, factor: float, scale: float, units: Units) -> str:
    """The name of the style for a kind of dimension whose view is drawn `1 / factor` of the sheet's scale."""
    name = f"SHEET_{kind.upper()}" + (f"_{1 / factor:g}" if factor != 1.0 else "")
    if name in doc.dimstyles:
        return name
    style = doc.dimstyles.add(name)
    style.dxf.dimscale = 1.0 / scale
    style.dxf.dimlfac = factor / 25.4 if units == "in" else factor
    style.dxf.dimtxt, style.dxf.dimtxsty = 2.5, FONT_STYLE[False]
    style.dxf.dimasz, style.dxf.dimexo, style.dxf.dimexe, style.dxf.dimgap = ARROW_MM, GAP_MM, PAST_MM, FIGURE_OFF_MM
    style.dxf.dimtad, style.dxf.dimtih, style.dxf.dimtoh = 1, 0, 0
    style.dxf.dimdec, style.dxf.dimzin, style.dxf.dimdsep = (4 if units == "in" else 2), 8, ord(".")
    style.dxf.dimlunit = 2
    if kind == "running":
        style.dxf.dimsah, style.dxf.dimse1 = 1, 1
        style.dxf.dimblk1, style.dxf.dimblk2 = "_ORIGIN", ""
    elif kind == "dotted":
        style.dxf.dimldrblk = "_DOTSMALL"
    elif kind == "reference":
        style.dxf.dimpost = "(<>)"
    return name
