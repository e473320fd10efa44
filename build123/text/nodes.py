"""The tree that a YAML document becomes: text, tables and lists, each with its place."""

from __future__ import annotations

from typing import TypeAlias

from build123.problem import Span, Text

Node: TypeAlias = "Text | Table | Items"


class Table(dict[str, Node]):
    """A mapping. Its keys are `Text` with their own places, in the order in which they stand in the file."""

    __slots__ = ("span",)
    span: Span | None

    def __init__(self, span: Span | None = None) -> None:
        super().__init__()
        self.span = span

    def key(self, name: str) -> Text | None:
        """The key as it was written, with its place."""
        return next((key for key in self if key == name and isinstance(key, Text)), None)


class Items(list[Node]):
    """A list."""

    __slots__ = ("span",)
    span: Span | None

    def __init__(self, span: Span | None = None) -> None:
        super().__init__()
        self.span = span
