"""From features to the solids that cut them."""

from __future__ import annotations

from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox
from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt
from typing_extensions import assert_never

from build123.kernel.blank import RISE_MM, Blank
from build123.kernel.drills import drill_tools
from build123.kernel.pockets import pocket_tools, profile_tool
from build123.kernel.tool import Tool
from build123.kernel.trenches import trench_tool
from build123.model.feature import Feature, Hole, Mark, Pocket, Profile, Trench, Trim
from build123.model.frame import PLAN_MM, Frame, Plane, cross, scale, unit


def tools_of(feature: Feature, blank: Blank) -> list[Tool]:
    """The solids that a feature takes away; none for a mark, or for a trim that meets no wood.

    ValueError where the numbers of the feature contradict one another.
    """
    about, geometry = feature.about.id, feature.geometry
    match geometry:
        case Trim():
            return _trim_tools(geometry.plane, blank, about)
        case Trench():
            return [trench_tool(geometry, blank, about)]
        case Pocket():
            return pocket_tools(geometry, blank, about)
        case Hole():
            return drill_tools(geometry, blank, about)
        case Profile():
            return [profile_tool(geometry, blank, about)]
        case Mark():
            return []
        case _:
            assert_never(geometry)


def _trim_tools(plane: Plane, blank: Blank, feature: str) -> list[Tool]:
    """A box that stands on the plane and covers all of the blank beyond it."""
    if max(plane.distance(p) for p in blank.corners) <= PLAN_MM:
        return []
    z = plane.normal
    x = unit(cross((0.0, 0.0, 1.0), z)) if abs(z[2]) < 0.9 else unit(cross((0.0, 1.0, 0.0), z))
    frame = Frame(scale(z, plane.offset), x, cross(z, x), z)
    (x0, y0, _), (x1, y1, z1) = blank.reach(frame)
    low, high = (x0 - RISE_MM, y0 - RISE_MM, 0.0), (x1 + RISE_MM, y1 + RISE_MM, z1 + RISE_MM)
    place = gp_Ax2(gp_Pnt(*frame.point(low)), gp_Dir(*z), gp_Dir(*x))
    size = (high[0] - low[0], high[1] - low[1], high[2] - low[2])
    return [Tool(lambda: BRepPrimAPI_MakeBox(place, *size).Solid(), frame, low, high, feature, is_box=True)]
