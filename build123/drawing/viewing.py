"""From which sides a part is looked at, and how the views lie on the sheet.

A view has coordinates of its own (u to the right, v up on the sheet, w towards the reader), in mm of wood. Sizes run from
the datum corner: x = 0, y = 0 and the worked face.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from build123.model.feature import Feature, Hole, Mark, Pocket, Surface, Trench
from build123.model.frame import Vec, cross, dot, unit
from build123.model.part import Part

Slot = Literal["face", "below", "above", "left", "right", "under", "apart"]
"""Where a view lies from the worked face in third angle: "under" below the front edge, "apart" on its own."""


@dataclass(frozen=True, slots=True)
class Viewing:
    """One direction of looking. `corner` is the datum corner of the part (bench frame)."""

    key: str
    surface: Surface
    right: Vec
    up: Vec
    towards: Vec
    corner: Vec
    slot: Slot

    def at(self, p: Vec) -> Vec:
        """A point of the bench in the view's (u, v, w)."""
        return (dot(self.right, p), dot(self.up, p), dot(self.towards, p))

    def sees(self, feature: Feature) -> bool:
        """Whether the feature is laid out on the surface that this view looks on."""
        shape = feature.geometry
        if not isinstance(shape, Trench | Pocket | Hole | Mark):
            return False
        return shape.datum.surface == self.surface and dot(shape.datum.frame.z, self.towards) > 0.9999


_X, _Y, _Z = (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)
_NX, _NY, _NZ = (-1.0, 0.0, 0.0), (0.0, -1.0, 0.0), (0.0, 0.0, -1.0)


def viewings(part: Part) -> tuple[Viewing, ...]:
    """The worked face, an end for the thickness, every side that has work on it, and the front edge where it shows more than these."""
    corner = (0.0, 0.0, part.thickness_mm)
    used = set(_surfaces(part.features))
    views = [Viewing("face", "+z", _X, _Y, _Z, corner, "face")]
    if any(_shown_on_edge(feature) for feature in part.features):
        views.append(Viewing("front edge", "-y", _X, _Z, _NY, corner, "below"))
    if "+x" in used or "-x" not in used:
        views.append(Viewing("right end", "+x", _NZ, _Y, _X, corner, "right"))
    if "-x" in used:
        views.append(Viewing("left end", "-x", _Z, _Y, _NX, corner, "left"))
    if "+y" in used:
        views.append(Viewing("back edge", "+y", _X, _NZ, _Y, corner, "above"))
    if "-z" in used:
        views.append(Viewing("underside", "-z", _X, _NY, _NZ, corner, "under"))
    views.extend(_square_to_trims(part, corner))
    return tuple(views)


def _shown_on_edge(feature: Feature) -> bool:
    """Whether the front edge shows something of it. Holes in the other edge and in ends are hidden there, and have views of their own."""
    shape = feature.geometry
    if isinstance(shape, Hole):
        return shape.datum.surface not in ("+x", "-x", "+y")
    return not isinstance(shape, Mark)


def _surfaces(features: Iterable[Feature]) -> Iterable[Surface]:
    for feature in features:
        if isinstance(feature.geometry, Trench | Pocket | Hole | Mark):
            yield feature.geometry.datum.surface


def _square_to_trims(part: Part, corner: Vec) -> list[Viewing]:
    """A view square to each trimmed face that has work on it."""
    seen: list[Vec] = []
    for feature in part.features:
        shape = feature.geometry
        if not isinstance(shape, Trench | Pocket | Hole | Mark) or shape.datum.surface != "trim":
            continue
        normal = shape.datum.frame.z
        if all(dot(normal, other) < 0.9999 for other in seen):
            seen.append(normal)
    views = []
    for number, normal in enumerate(seen, 1):
        across = _Y if abs(normal[1]) < 0.9 else _X
        right = unit(cross(across, normal))
        name = "trimmed face" if len(seen) == 1 else f"trimmed face {number}"
        views.append(Viewing(name, "trim", right, cross(normal, right), normal, corner, "apart"))
    return views
