"""YAML with places: scalars as they were written, nothing guessed, everything bounded."""

from build123.text.nodes import Items, Node, Table
from build123.text.read import read_file, read_text

__all__ = ["Items", "Node", "Table", "read_file", "read_text"]
