"""What is measured on one solid."""

from __future__ import annotations

from typing import Any

from OCP.BRepCheck import BRepCheck_Analyzer, BRepCheck_Shell, BRepCheck_Status
from OCP.BRepGProp import BRepGProp
from OCP.GProp import GProp_GProps

from build123.kernel.bodies import Body
from build123.kernel.bores import bore_walls, bores_of
from build123.kernel.faces import ShapeFaces
from build123.kernel.union import hardware_volume_mm3, union_volume_mm3
from build123.kernel.webs import webs_of
from build123.model.measured import ShapeFacts
from build123.model.part import Hardware, Part

MANY_RIMS = 100
"""The kernel compares every two rims in a face, which grows with their square: six seconds for a thousand holes. The rims of
a face with more are compared as plane polygons instead."""


def facts_of(body: Body, source: Part | Hardware, faces: ShapeFaces) -> ShapeFacts:
    """Volumes, validity, bores, webs of a body's solid, in its own frame; `source` is what the design says it is."""
    volume, surface = GProp_GProps(), GProp_GProps()
    BRepGProp.VolumeProperties_s(body.solid.wrapped, volume)
    BRepGProp.SurfaceProperties_s(body.solid.wrapped, surface)
    wanted = union_volume_mm3(source) if isinstance(source, Part) else hardware_volume_mm3(source)
    made = isinstance(source, Part)
    return ShapeFacts(
        key=body.key,
        volume_mm3=volume.Mass(),
        area_mm2=surface.Mass(),
        box=faces.box,
        solids=len(body.solid.Solids()),
        valid=_valid(body, faces),
        union_volume_mm3=wanted,
        bores=bores_of(faces),
        webs=webs_of(faces) if made else (),
        bore_walls=bore_walls(faces) if made else (),
    )


def _valid(body: Body, faces: ShapeFaces) -> bool:
    if faces.crossed:
        return False
    found = body.solid.Faces()
    pierced = {face for face in found if face.wrapped.NbChildren() > MANY_RIMS} if len(found) > MANY_RIMS else set()
    if not pierced:
        return bool(BRepCheck_Analyzer(body.solid.wrapped).IsValid())
    closed = all(_closed(shell.wrapped) for shell in body.solid.Shells())
    return closed and all(BRepCheck_Analyzer(face.wrapped).IsValid() for face in found if face not in pierced)


def _closed(shell: Any) -> bool:
    check = BRepCheck_Shell(shell)
    sound = BRepCheck_Status.BRepCheck_NoError
    return bool(check.Closed() == sound and check.Orientation() == sound)
