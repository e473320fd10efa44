"""Whether a straight screwdriver and the hand on it reach the head of a screw."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

import numpy as np

from build123.kernel.bodies import Pose, placed_box
from build123.model.frame import Box
from build123.model.part import Hardware, Part, Screw

if TYPE_CHECKING:
    import manifold3d

    from build123.kernel.store import Store

SHAFT_MM = 8.0
"""Thickness of a driver's shaft, or of a bit in its holder, with a hair of room (common practice, from memory)."""
HANDLE_MM, HANDLE_THICK_MM = 100.0, 25.0
"""The handle is the last 4 in of the driver, 1 3/8 in thick less what tilting it by a degree gives (common practice, from memory)."""
HAND_SHARE = 1 / 3
"""A hand turns the handle when no more than a third of the room around it is taken (judgement: beside a wall, in a corner)."""
IN_THE_WAY_MM3 = 1.0
HAIR_MM = 1e-3
SIDES = 32


class Drivers:
    """Puts a driver to screws. Prepared meshes are kept."""

    def __init__(self, store: Store, driver_mm: float, hand_mm: float) -> None:
        self._store = store
        self._driver_mm, self._hand_mm = driver_mm, hand_mm
        self._meshes: dict[str, manifold3d.Manifold] = {}

    def in_the_way(self, thing: Hardware, others: Iterable[Part | Hardware]) -> tuple[str, ...]:
        """Bodies that the driver or the hand would have to go through, by name; none for what is not screwed in."""
        if not isinstance(thing.solid, Screw):
            return ()
        tool, hand, reach = self._tool(thing.solid)
        around = placed_box(reach, thing.placement)
        found, beside, taken = [], [], 0.0
        for body in others:
            if body is thing or not (isinstance(body, Part) and around.meets(body.box)):
                continue
            pose = Pose.of(thing.placement, body.placement)
            wood = self._mesh(body).transform(np.column_stack([pose.turn, pose.shift]))
            if (tool ^ wood).volume() > IN_THE_WAY_MM3:
                found.append(body.name)
            elif (room := (hand ^ wood).volume()) > IN_THE_WAY_MM3:
                beside.append(body.name)
                taken += room
        return tuple(found) if found or taken <= HAND_SHARE * hand.volume() else tuple(beside)

    def _tool(self, screw: Screw) -> tuple[manifold3d.Manifold, manifold3d.Manifold, Box]:
        """Shaft with handle, and the hand around it, behind the head in the screw's frame, and the box of all."""
        top = 0.0 if screw.countersunk else -screw.head_height_mm
        end, long = top - self._driver_mm, min(HANDLE_MM, self._driver_mm / 2)
        shaft, hand = min(SHAFT_MM, screw.head_mm) / 2, max(self._hand_mm, HANDLE_THICK_MM) / 2
        tool = _cylinder(self._driver_mm, shaft, end) + _cylinder(long, HANDLE_THICK_MM / 2, end)
        return tool, _cylinder(long, hand, end), Box((-hand, -hand, end), (hand, hand, top - HAIR_MM))

    def _mesh(self, body: Part | Hardware) -> manifold3d.Manifold:
        from build123.kernel.interference import manifold_of

        if body.shape_key not in self._meshes:
            self._meshes[body.shape_key] = manifold_of(self._store.mesh(body))
        return self._meshes[body.shape_key]


def _cylinder(long_mm: float, radius_mm: float, from_mm: float) -> manifold3d.Manifold:
    import manifold3d

    return manifold3d.Manifold.cylinder(long_mm, radius_mm, radius_mm, SIDES).translate([0.0, 0.0, from_mm])
