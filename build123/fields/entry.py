"""The types of a spec's values for the classes that the schema is derived from.

Every scalar is a `Text`: it is read by what the field expects, never by YAML's guess.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Any

from pydantic import AfterValidator, BaseModel, BeforeValidator, ConfigDict, GetCoreSchemaHandler, GetJsonSchemaHandler, WithJsonSchema
from pydantic_core import core_schema

from build123.fields.words import suggestion
from build123.problem import Span, Text

_SCALAR = ["string", "number"]

Length = Annotated[Text, WithJsonSchema({"type": _SCALAR, "title": "length"})]
"""`18`, `18 mm`, `3/4 in`, arithmetic and names; a bare number is in the file's units."""

Position = Annotated[Text, WithJsonSchema({"type": _SCALAR, "title": "position"})]
"""A length or another part's face, with a length added or taken away."""

Angle = Annotated[Text, WithJsonSchema({"type": _SCALAR, "title": "angle"})]
"""Degrees: `10 deg` or a bare number."""

Count = Annotated[Text, WithJsonSchema({"type": ["string", "integer"], "title": "count"})]
"""A whole number, or the name of a size that is one."""

Word = Annotated[Text, WithJsonSchema({"type": ["string", "number"]})]
"""A name or free text."""


@dataclass(frozen=True)
class OneOf:
    """Metadata of a `Text` that must be one of some words."""

    words: tuple[str, ...]

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> core_schema.CoreSchema:
        """The text's schema, then the choice."""
        return core_schema.no_info_after_validator_function(self._chosen, handler(source))

    def __get_pydantic_json_schema__(self, schema: core_schema.CoreSchema, handler: GetJsonSchemaHandler) -> dict[str, Any]:
        """An enumeration."""
        return {"enum": [*self.words, *(int(w) for w in self.words if w.isdigit())]}

    def _chosen(self, value: Text) -> Text:
        if value not in self.words:
            words = " or ".join(filter(None, (", ".join(self.words[:-1]), self.words[-1])))
            raise ValueError(f"{str(value)!r} is not {words}{suggestion(value, self.words)}")
        return value


def _truth(value: Text) -> Text:
    if value.lower() not in ("yes", "no", "true", "false"):
        raise ValueError(f"{str(value)!r} is not yes or no")
    return value


YesNo = Annotated[
    Text, AfterValidator(_truth), WithJsonSchema({"anyOf": [{"type": "boolean"}, {"enum": ["yes", "no"]}], "title": "yes or no"})
]
Axis = Annotated[Text, OneOf(("x", "y", "z"))]
Face = Annotated[Text, OneOf(("left", "right", "front", "back", "top", "bottom"))]


def _as_list(value: Any) -> Any:
    return value if isinstance(value, list) else [value]


Names = Annotated[
    tuple[Text, ...],
    BeforeValidator(_as_list),
    WithJsonSchema({"anyOf": [{"type": _SCALAR}, {"type": "array", "items": {"type": _SCALAR}, "minItems": 1}], "title": "names"}),
]
"""One name or a list of names of parts, pairs or runs."""

Extents = Annotated[
    tuple[Text, ...],
    BeforeValidator(_as_list),
    WithJsonSchema({"anyOf": [{"type": _SCALAR}, {"type": "array", "items": {"type": _SCALAR}, "minItems": 1}], "title": "extent"}),
]
"""One extent, or a list of them for a run of parts."""

Lengths = Annotated[
    tuple[Text, ...],
    BeforeValidator(_as_list),
    WithJsonSchema({"anyOf": [{"type": _SCALAR}, {"type": "array", "items": {"type": _SCALAR}, "minItems": 1}], "title": "lengths"}),
]
"""One length or a list of them."""

Insets = Annotated[
    tuple[Text, ...],
    BeforeValidator(_as_list),
    WithJsonSchema({"anyOf": [{"type": "string"}, {"type": "array", "items": {"type": "string"}, "minItems": 1}], "title": "insets"}),
]
"""One or more of `37 mm from front`."""

Triple = Annotated[
    tuple[Text, Text, Text],
    WithJsonSchema({"type": "array", "items": {"type": _SCALAR}, "minItems": 3, "maxItems": 3}),
]


class Entry(BaseModel):
    """A mapping of the spec. Unknown keys are refused; `span` is where it stands."""

    model_config = ConfigDict(extra="forbid", frozen=True, populate_by_name=True, arbitrary_types_allowed=True)
    _span: Span | None = None

    @property
    def span(self) -> Span | None:
        """Where the entry stands, from its key on."""
        return self._span

    def placed(self, span: Span | None) -> None:
        """Remember where the entry stands; called once by the reader."""
        self._span = span
