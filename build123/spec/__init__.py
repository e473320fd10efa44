"""The spec as it is written: classes, reading, schema."""

from build123.spec.parse import parse
from build123.spec.piece import Spec

__all__ = ["Spec", "parse"]
