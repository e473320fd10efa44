"""The common volume of two placed solids, by OCC."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import cadquery as cq
from OCP.Bnd import Bnd_Box
from OCP.BRepAlgoAPI import BRepAlgoAPI_Common
from OCP.BRepBndLib import BRepBndLib
from OCP.BRepGProp import BRepGProp
from OCP.gp import gp_Trsf
from OCP.GProp import GProp_GProps
from OCP.Standard import Standard_Failure
from OCP.TopAbs import TopAbs_ShapeEnum
from OCP.TopExp import TopExp_Explorer
from OCP.TopLoc import TopLoc_Location
from OCP.TopoDS import TopoDS
from OCP.TopTools import TopTools_ListOfShape

from build123.kernel.bodies import Pose
from build123.model.frame import Box, Vec


@dataclass(frozen=True, slots=True)
class Piece:
    """One lump of common volume in the frame of body a."""

    solid: cq.Solid
    volume_mm3: float
    depth_mm: float
    at: Vec
    box: Box


def common_pieces(a: cq.Shape, b: cq.Shape, pose: Pose) -> list[Piece]:
    """The lumps that both solids fill, b lying in a's frame at `pose`; none where they only touch.

    Raises RuntimeError where the kernel gives up.
    """
    operation = BRepAlgoAPI_Common()
    operation.SetArguments(_listed(a.wrapped))
    operation.SetTools(_listed(_placed(b.wrapped, pose)))
    operation.SetToFillHistory(False)
    operation.SetNonDestructive(True)
    try:
        operation.Build()
    except Standard_Failure as fault:
        raise RuntimeError(f"the common volume could not be computed: {fault}") from fault
    if not operation.IsDone():
        raise RuntimeError("the common volume could not be computed")
    pieces = []
    explorer = TopExp_Explorer(operation.Shape(), TopAbs_ShapeEnum.TopAbs_SOLID)
    while explorer.More():
        pieces.append(_piece(TopoDS.Solid_s(explorer.Current())))
        explorer.Next()
    return [piece for piece in pieces if piece.volume_mm3 > 0.0]


def _piece(solid: Any) -> Piece:
    volume, surface = GProp_GProps(), GProp_GProps()
    BRepGProp.VolumeProperties_s(solid, volume)
    BRepGProp.SurfaceProperties_s(solid, surface)
    box = Bnd_Box()
    BRepBndLib.AddOptimal_s(solid, box, False, False)
    box.SetGap(0.0)
    x0, y0, z0, x1, y1, z1 = box.Get()
    centre = volume.CentreOfMass()
    area = surface.Mass()
    depth = 2 * volume.Mass() / area if area > 0 else 0.0
    return Piece(cq.Solid(solid), volume.Mass(), depth, (centre.X(), centre.Y(), centre.Z()), Box((x0, y0, z0), (x1, y1, z1)))


def _listed(shape: Any) -> TopTools_ListOfShape:
    one = TopTools_ListOfShape()
    one.Append(shape)
    return one


def _placed(shape: Any, pose: Pose) -> Any:
    (a, b, c), (d, e, f), (g, h, i) = pose.turn.tolist()
    x, y, z = pose.shift.tolist()
    move = gp_Trsf()
    move.SetValues(a, b, c, x, d, e, f, y, g, h, i, z)
    return shape.Moved(TopLoc_Location(move))
