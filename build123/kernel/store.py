"""Warm caches of one process: solids and meshes by shape key."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable
from typing import TYPE_CHECKING, TypeVar

from build123.model.part import Hardware, Part

if TYPE_CHECKING:
    import cadquery as cq

    from build123.kernel.measure import Measurements
    from build123.model.measured import Mesh

Made = TypeVar("Made")


class Store:
    """Solids and meshes by shape key, the least recently used dropped first. Nothing is global.

    `most` bounds the number of solids and of meshes. The geometry kernel is loaded with the first solid.
    """

    def __init__(self, most: int = 2000) -> None:
        self._most = most
        self._shapes: OrderedDict[str, cq.Solid] = OrderedDict()
        self._meshes: OrderedDict[str, Mesh] = OrderedDict()
        self._measured: Measurements | None = None

    @property
    def measured(self) -> Measurements:
        """What was measured on these solids before."""
        if self._measured is None:
            from build123.kernel.measure import Measurements

            self._measured = Measurements()
        return self._measured

    def shape(self, body: Part | Hardware) -> cq.Solid:
        """The solid in the body's own (bench) frame, not to be changed. Raises KernelFault."""
        from build123.kernel.solids import solid_of, solid_of_hardware

        return self._kept(self._shapes, body.shape_key, lambda: solid_of(body) if isinstance(body, Part) else solid_of_hardware(body))

    def mesh(self, body: Part | Hardware) -> Mesh:
        """The mesh in the body's own (bench) frame, not to be changed. Raises KernelFault."""
        from build123.kernel.mesh import mesh_of

        return self._kept(self._meshes, body.shape_key, lambda: mesh_of(self.shape(body)))

    def _kept(self, kept: OrderedDict[str, Made], key: str, make: Callable[[], Made]) -> Made:
        if key not in kept:
            kept[key] = make()
            if len(kept) > self._most:
                kept.popitem(last=False)
        kept.move_to_end(key)
        return kept[key]
