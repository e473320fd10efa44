"""STEP files of assemblies and of single parts, through the kernel's document (XCAF)."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import cadquery as cq
from OCP.Bnd import Bnd_Box
from OCP.BRepBndLib import BRepBndLib
from OCP.BRepGProp import BRepGProp
from OCP.gp import gp_Ax3, gp_Dir, gp_Pnt, gp_Trsf
from OCP.GProp import GProp_GProps
from OCP.IFSelect import IFSelect_RetDone
from OCP.Interface import Interface_Static
from OCP.Quantity import Quantity_Color, Quantity_TOC_sRGB
from OCP.STEPCAFControl import STEPCAFControl_Writer
from OCP.STEPControl import STEPControl_AsIs, STEPControl_Controller, STEPControl_Reader
from OCP.TCollection import TCollection_ExtendedString
from OCP.TDataStd import TDataStd_Name
from OCP.TDocStd import TDocStd_Document
from OCP.TopLoc import TopLoc_Location
from OCP.TopoDS import TopoDS_Shape
from OCP.TopTools import TopTools_IndexedMapOfShape
from OCP.UnitsMethods import UnitsMethods_LengthUnit
from OCP.XCAFApp import XCAFApp_Application
from OCP.XCAFDoc import XCAFDoc_ColorType, XCAFDoc_DocumentTool

from build123 import __version__
from build123.kernel.fault import KernelFault
from build123.kernel.part21 import canonical, header, word
from build123.kernel.walk import solids_in
from build123.model.frame import Box, Frame

SCHEMA = "AUTOMOTIVE_DESIGN { 1 0 10303 214 1 1 1 1 }"
"""AP214: solids, names, colours and trees are all that is written, and every reader knows them from it. AP242 would add
tolerances and notes that no file here has, and its newest edition is refused by older readers."""
MILLIMETRE = "SI_UNIT(.MILLI.,.METRE.)"


@dataclass(frozen=True)
class Definition:
    """One distinct solid in its own frame (mm), `colour` in sRGB from 0 to 1."""

    name: str
    solid: cq.Solid
    colour: tuple[float, float, float]


@dataclass(frozen=True)
class Use:
    """One placing of a definition. `path` names the assemblies that hold it within the piece, outermost first."""

    name: str
    definition: str
    placement: Frame
    path: tuple[str, ...] = ()


def write_step(title: str, description: str, definitions: Mapping[str, Definition], uses: Sequence[Use], scratch: Path) -> bytes:
    """An assembly called `title`: every definition once, every use by its own name. Same bytes from every run.

    Without uses there is one definition, which is then the file's only product. Raises KernelFault.
    """
    document = _Document()
    labels = {key: document.define(item) for key, item in definitions.items()}
    if uses:
        root = document.assembly(title)
        branches: dict[tuple[str, ...], Any] = {(): root}
        for use in uses:
            holder = _branch(document, branches, use.path)
            document.place(holder, labels[use.definition], use.placement, use.name)
        document.shapes.UpdateAssemblies()
    text = document.text(scratch / "kernel.step", title)
    if text.count(MILLIMETRE) == 0 or text.count(MILLIMETRE) != text.count("LENGTH_UNIT()"):
        raise KernelFault(title, (), "writing STEP", "the unit is not the millimetre")
    maker = f"build123 {__version__}"
    return canonical(text, header(title, description, SCHEMA, maker), document.names).encode("ascii")


def _branch(document: _Document, branches: dict[tuple[str, ...], Any], path: tuple[str, ...]) -> Any:
    """The assembly at a path, made with all that hold it. Its definition is named by the whole path, its use by the last."""
    if path not in branches:
        above = _branch(document, branches, path[:-1])
        made = document.assembly(" / ".join(path))
        branches[path] = document.place(above, made, Frame(), path[-1])
        branches[path] = made
    return branches[path]


class _Document:
    """The kernel's document. Names go in as stand-ins and are put into the text afterwards, whatever they hold."""

    def __init__(self) -> None:
        self._held = TDocStd_Document(TCollection_ExtendedString("XmlOcaf"))
        XCAFApp_Application.GetApplication_s().InitDocument(self._held)
        XCAFDoc_DocumentTool.SetLengthUnit_s(self._held, 1.0, UnitsMethods_LengthUnit.UnitsMethods_LengthUnit_Millimeter)
        self.shapes = XCAFDoc_DocumentTool.ShapeTool_s(self._held.Main())
        self._colours = XCAFDoc_DocumentTool.ColorTool_s(self._held.Main())
        self.names: dict[str, str] = {}
        self._products: set[str] = set()

    def define(self, item: Definition) -> Any:
        label = self.shapes.AddShape(item.solid.wrapped.Located(TopLoc_Location()), False)
        self._name(label, self._distinct(item.name))
        colour = Quantity_Color(*item.colour, Quantity_TOC_sRGB)
        self._colours.SetColor(label, colour, XCAFDoc_ColorType.XCAFDoc_ColorSurf)
        return label

    def assembly(self, name: str) -> Any:
        label = self.shapes.NewShape()
        self._name(label, self._distinct(name))
        return label

    def place(self, holder: Any, definition: Any, placement: Frame, name: str) -> Any:
        label = self.shapes.AddComponent(holder, definition, TopLoc_Location(_moved(placement)))
        self._name(label, name)
        return label

    def _distinct(self, name: str) -> str:
        """A product's name, which the file may hold once."""
        made, n = name, 1
        while made in self._products:
            n += 1
            made = f"{name} ({n})"
        self._products.add(made)
        return made

    def _name(self, label: Any, name: str) -> None:
        stand_in = word(len(self.names))
        self.names[stand_in] = name
        TDataStd_Name.Set_s(label, TCollection_ExtendedString(stand_in))

    def text(self, path: Path, title: str) -> str:
        STEPControl_Controller.Init_s()
        for key, value in (("write.step.schema", "AP214IS"), ("write.step.unit", "MM"), ("write.step.product.name", "piece")):
            if not Interface_Static.SetCVal_s(key, value):
                raise KernelFault(title, (), "writing STEP", f"the kernel does not take {value} for {key}")
        writer = STEPCAFControl_Writer()
        writer.SetColorMode(True)
        writer.SetNameMode(True)
        if not writer.Transfer(self._held, STEPControl_AsIs) or writer.Write(str(path)) != IFSelect_RetDone:
            raise KernelFault(title, (), "writing STEP", "the kernel did not finish")
        return path.read_text("ascii")


def _moved(placement: Frame) -> gp_Trsf:
    moved = gp_Trsf()
    there = gp_Ax3(gp_Pnt(*placement.origin), gp_Dir(*placement.z), gp_Dir(*placement.x))
    moved.SetTransformation(there, gp_Ax3(gp_Pnt(0, 0, 0), gp_Dir(0, 0, 1), gp_Dir(1, 0, 0)))
    return moved


@dataclass(frozen=True)
class Extent:
    """Volume (mm3) and box of one placed solid."""

    volume_mm3: float
    box: Box


def extents_meant(definitions: Mapping[str, Definition], uses: Sequence[Use]) -> list[Extent]:
    """What `read_step` should find in the file of these."""
    placed = [(definitions[use.definition].solid.wrapped, TopLoc_Location(_moved(use.placement))) for use in uses]
    return _extents([shape.Located(place) for shape, place in placed] or [item.solid.wrapped for item in definitions.values()])


def read_step(data: bytes, scratch: Path) -> list[Extent]:
    """The solids of a file, in its order. KernelFault for a file that the kernel cannot read."""
    path = scratch / "read.step"
    path.write_bytes(data)
    reader = STEPControl_Reader()
    if reader.ReadFile(str(path)) != IFSelect_RetDone or not reader.TransferRoots():
        raise KernelFault(path.name, (), "reading STEP", "the kernel cannot read it")
    return _extents(solids_in(reader.OneShape()))


def _extents(solids: Sequence[TopoDS_Shape]) -> list[Extent]:
    """A volume is computed once for each solid, however often it is placed."""
    seen = TopTools_IndexedMapOfShape()
    volumes: dict[int, float] = {}
    found = []
    for solid in solids:
        own = solid.Located(TopLoc_Location())
        key = seen.Add(own)
        if key not in volumes:
            about = GProp_GProps()
            BRepGProp.VolumeProperties_s(own, about)
            volumes[key] = about.Mass()
        box = Bnd_Box()
        BRepBndLib.Add_s(solid, box, False)
        x0, y0, z0, x1, y1, z1 = box.Get()
        found.append(Extent(volumes[key], Box((x0, y0, z0), (x1, y1, z1))))
    return found


def faces_and_corners(solid: cq.Solid) -> tuple[int, Box]:
    """How many faces a solid has and the box of its vertices: what a file's text can be compared with."""
    return len(solid.Faces()), Box.around([vertex.toTuple() for vertex in solid.Vertices()])
