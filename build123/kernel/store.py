"""Warm caches of one process: solids and meshes by shape key."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import cadquery as cq

    from build123.model.measured import Mesh
    from build123.model.part import Hardware, Part


class Store:
    """Solids and meshes by shape key, the least recently used dropped first. Nothing is global."""

    def shape(self, body: Part | Hardware) -> cq.Solid:
        """The solid in the body's own (bench) frame. Raises KernelFault."""
        raise NotImplementedError

    def mesh(self, body: Part | Hardware) -> Mesh:
        """The mesh in the body's own (bench) frame. Raises KernelFault."""
        raise NotImplementedError
