"""Solids, meshes and measurements. Importing this package loads no geometry kernel: the first solid does."""

from build123.kernel.fault import KernelFault
from build123.kernel.store import Store

__all__ = ["KernelFault", "Store"]
