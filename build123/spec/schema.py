"""The JSON Schema of a spec, derived from the classes that read it."""

from __future__ import annotations

from typing import Any

from build123.fields.entry import Entry
from build123.spec.piece import KindEntry, Spec, spec_class
from build123.spec.reference import summary

DIALECT = "https://json-schema.org/draft/2020-12/schema"


def json_schema(spec: Spec | None = None, sizes: list[str] | None = None, parts: list[str] | None = None) -> dict[str, Any]:
    """JSON Schema 2020-12 of a spec. With names, the places where parts and sizes are named complete to them too."""
    schema = spec_class().model_json_schema(by_alias=True, mode="validation")
    schema["$schema"] = DIALECT
    schema["title"] = "Piece of furniture, build123 spec version 1"
    definitions: dict[str, Any] = schema.get("$defs", {})
    for name, definition in definitions.items():
        _tidy(definition)
        if name.endswith("OfSpec"):
            _one_key(definition)
    _tidy(schema)
    if spec is not None:
        _complete(schema, sorted({*map(str, spec.sizes), *(sizes or [])}), sorted(parts or []))
    return schema


def _tidy(definition: dict[str, Any]) -> None:
    """Drop what an editor does not show well: null alternatives, Python defaults, examples inside descriptions."""
    if "description" in definition:
        definition["description"] = summary(definition["description"])
    for field in definition.get("properties", {}).values():
        options = [o for o in field.get("anyOf", []) if o != {"type": "null"}]
        if "anyOf" in field and len(options) == 1:
            del field["anyOf"]
            for key, value in options[0].items():
                field.setdefault(key, value)
        elif "anyOf" in field:
            field["anyOf"] = options
        field.pop("default", None)


def _one_key(definition: dict[str, Any]) -> None:
    definition["minProperties"] = definition["maxProperties"] = 1


def _complete(schema: dict[str, Any], sizes: list[str], parts: list[str]) -> None:
    """Offer names where they are wanted, without refusing anything else."""
    schema["$defs"] = {**schema.get("$defs", {}), "PartName": {"enum": parts}, "SizeName": {"enum": sizes}}
    offer = [{"$ref": "#/$defs/PartName"}] if parts else []
    for definition in schema["$defs"].values():
        for field in definition.get("properties", {}).values():
            if field.get("title") == "names" and offer:
                field["anyOf"] = [
                    *offer,
                    *field["anyOf"][:1],
                    {"type": "array", "items": {"anyOf": [*offer, {"type": ["string", "number"]}]}},
                ]
            elif field.get("title") in ("length", "position") and sizes:
                kinds = field.pop("type", ["string", "number"])
                field["anyOf"] = [{"$ref": "#/$defs/SizeName"}, {"type": kinds}]


def entry_classes() -> list[tuple[str, type[Entry]]]:
    """Every mapping of the spec by the heading it has in the reference, from the top down."""
    from build123 import joints, shapes
    from build123.spec.entries import (
        AsCutEntry,
        ClimateEntry,
        FitEntry,
        FrameEntry,
        MiddleEntry,
        PartEntry,
        PlaceEntry,
        ShopEntry,
        StockEntry,
        WaiverEntry,
    )

    found: list[tuple[str, type[Entry]]] = [
        ("the piece", spec_class()),
        ("stock", StockEntry),
        ("parts", PartEntry),
        ("middle", MiddleEntry),
        ("frames", FrameEntry),
        ("fits", FitEntry),
        ("climate", ClimateEntry),
        ("shop", ShopEntry),
        ("as cut", AsCutEntry),
        ("place", PlaceEntry),
        ("waivers", WaiverEntry),
    ]
    found += [(f"joints: {key}", kind) for key, kind in joints.kinds().items()]
    found += [(f"shapes: {key}", kind) for key, kind in shapes.kinds().items()]
    return [(heading, kind) for heading, kind in found if not issubclass(kind, KindEntry)]
