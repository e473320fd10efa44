"""Where a value stands in a file.

A `Span` holds its `Source` from the first line of code on, so that a finding
made many stages later still points at the text that caused it.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from pydantic_core import core_schema


@dataclass(frozen=True)
class Source:
    """One file of text. `name` is the path as the user gave it."""

    name: str
    text: str = field(repr=False)

    @cached_property
    def lines(self) -> list[str]:
        """The lines without their ends; line numbers count from 0 here."""
        return self.text.split("\n")


@dataclass(frozen=True, slots=True)
class Span:
    """A stretch of one source: zero-based line and column, end exclusive."""

    source: Source
    line: int
    column: int
    end_line: int
    end_column: int

    def __str__(self) -> str:
        return f"{self.source.name}:{self.line + 1}:{self.column + 1}"

    def within(self, start: int, end: int) -> Span:
        """The part of a one-line span between two offsets; the whole span where it has many lines."""
        if self.line != self.end_line:
            return self
        begin = min(self.column + start, self.end_column)
        return Span(self.source, self.line, begin, self.line, max(begin, min(self.column + end, self.end_column)))


class Text(str):
    """A scalar as it was written, with its place. Compares and hashes as the plain string.

    `plain` is false for a quoted or block scalar, whose columns do not map one to one.
    """

    __slots__ = ("plain", "span")
    span: Span | None
    plain: bool

    def __new__(cls, value: str, span: Span | None = None, plain: bool = True) -> Text:
        """Wrap `value`; `span` is None for text that a program made."""
        made = super().__new__(cls, value)
        made.span = span
        made.plain = plain
        return made

    def place(self, start: int, end: int) -> Span | None:
        """The span of the characters from `start` up to `end`."""
        if self.span is None or not self.plain:
            return self.span
        return self.span.within(start, end)

    @classmethod
    def __get_pydantic_core_schema__(cls, source: Any, handler: Any) -> core_schema.CoreSchema:
        """Take a `Text` as it is (and a plain string without a place); never coerce."""

        def take(value: Any) -> Text:
            if isinstance(value, Text):
                return value
            if isinstance(value, str):
                return cls(value)
            raise ValueError("a single value is wanted here")

        return core_schema.no_info_plain_validator_function(
            take, json_schema_input_schema=core_schema.str_schema(), serialization=core_schema.to_string_ser_schema()
        )
