"""Faces and solids of a shape, in the kernel's order."""

from __future__ import annotations

from OCP.TopAbs import TopAbs_FACE, TopAbs_SOLID
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS, TopoDS_Face, TopoDS_Shape, TopoDS_Solid


def solids_in(shape: TopoDS_Shape) -> list[TopoDS_Solid]:
    """Every solid of a shape."""
    found = []
    walk = TopExp_Explorer(shape, TopAbs_SOLID)
    while walk.More():
        found.append(TopoDS.Solid_s(walk.Current()))
        walk.Next()
    return found


def faces_of(shape: TopoDS_Shape) -> list[TopoDS_Face]:
    """Every face of a shape, oriented as in it."""
    found = []
    walk = TopExp_Explorer(shape, TopAbs_FACE)
    while walk.More():
        found.append(TopoDS.Face_s(walk.Current()))
        walk.Next()
    return found
