"""From the spec as written to the resolved design."""

from build123.resolve.resolve import resolve

__all__ = ["resolve"]
