"""From the tree of a document to a `Spec`: every wrong key and value at once, each at its place."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Union, get_args, get_origin

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from build123.fields.entry import Entry
from build123.fields.words import suggestion
from build123.problem import Findings, Span, Text
from build123.spec.piece import KindEntry, Spec, spec_class
from build123.text.nodes import Items, Table


def parse(table: Table, overrides: Mapping[str, Text] | None = None) -> tuple[Spec | None, Findings]:
    """A `Spec`, or None with the findings that say why not. `overrides` replace named sizes."""
    findings = Findings()
    sizes = table.get("sizes")
    for name, value in (overrides or {}).items():
        if isinstance(sizes, Table) and name in sizes:
            sizes[name] = value
        else:
            known = list(sizes) if isinstance(sizes, Table) else []
            findings.error("unknown-name", f"--set names no size of this spec: {name!r}{suggestion(name, known)}", value.span)
    if findings.failed:
        return None, findings
    model = spec_class()
    _kinds_of_lists(table, model, findings)
    try:
        spec = model.model_validate(table)
    except ValidationError as error:
        seen: set[tuple[Any, ...]] = set()
        for detail in error.errors():
            _report(detail, table, model, findings, seen)
        return None, findings
    if findings.failed:
        return None, findings
    _place(spec, table)
    _empty_lists(spec, table, findings)
    return (None if findings.failed else spec), findings


def _walk(loc: tuple[int | str, ...], table: Table) -> tuple[list[Any], list[int | str]]:
    """The nodes along a pydantic location, and the steps that led there."""
    nodes: list[Any] = [table]
    steps: list[int | str] = []
    for step in loc:
        node = nodes[-1]
        if (isinstance(node, Table) and step in node) or (isinstance(node, Items) and isinstance(step, int) and step < len(node)):
            nodes.append(node[step])  # type: ignore[index]
            steps.append(step)
    return nodes, steps


def _span(node: Any) -> Span | None:
    return getattr(node, "span", None)


def _report(detail: ErrorDetails, table: Table, model: type[Spec], findings: Findings, seen: set[tuple[Any, ...]]) -> None:
    loc, kind = detail["loc"], detail["type"]
    nodes, steps = _walk(loc, table)
    owner = nodes[-1]
    if tuple(steps) in seen and (kind != "missing" or isinstance(owner, Items)):
        return
    seen.add(tuple(steps))
    if kind == "extra_forbidden":
        holder = nodes[-2] if steps and steps[-1] == loc[-1] and len(nodes) > 1 else owner
        key = holder.key(str(loc[-1])) if isinstance(holder, Table) else None
        fields = _fields(model, steps[:-1])
        listed = ", ".join(fields)
        findings.error(
            "unknown-key",
            f"{str(loc[-1])!r} is not a key here{suggestion(str(loc[-1]), fields)}",
            key.span if key is not None else _span(owner),
            change=f"keys here: {listed}" if fields else "",
        )
    elif kind in ("missing", "too_long") and isinstance(owner, Items):
        wanted = "more" if kind == "missing" else "fewer"
        findings.error(
            "bad-value",
            f"{_what(steps)}: {wanted} values are wanted here than {len(owner)}",
            _span(owner) or _key_of(nodes, steps),
            change=_example(model, steps[:-1], str(steps[-1])) if steps else "",
        )
    elif kind == "missing":
        where = nodes[-1]
        key_span = _key_of(nodes, steps)
        findings.error(
            "key-missing",
            f"{_what(steps)} needs the key {str(loc[-1])!r}",
            key_span or _span(where),
            change=_example(model, steps, str(loc[-1])),
        )
    else:
        value = owner
        text = detail["msg"].removeprefix("Value error, ")
        if kind in ("model_type", "model_attributes_type", "dict_type", "model_class_type"):
            text = f"keys with values are wanted here, not {_shape(value)}"
        elif kind in ("list_type", "tuple_type"):
            text = f"a list is wanted here, not {_shape(value)}"
        elif kind in ("too_short", "too_long"):
            wanted = (detail.get("ctx") or {}).get("min_length") or (detail.get("ctx") or {}).get("max_length") or ""
            text = f"{wanted} values are wanted here"
        elif isinstance(value, Text) and not value.strip():
            text = f"the value of {str(steps[-1])!r} is missing" if steps else text
        findings.error("bad-value", f"{_what(steps)}: {text}", _span(value) or _key_of(nodes, steps))


def _shape(node: Any) -> str:
    if isinstance(node, Table):
        return "keys with values"
    if isinstance(node, Items):
        return "a list"
    return f"the single value {str(node)!r}" if str(node).strip() else "nothing"


def _what(steps: list[int | str]) -> str:
    words = [f"number {s + 1}" if isinstance(s, int) else str(s) for s in steps]
    return " / ".join(words) if words else "the spec"


def _key_of(nodes: list[Any], steps: list[int | str]) -> Span | None:
    if not steps:
        return None
    holder = nodes[len(steps) - 1]
    return _span(holder.key(str(steps[-1]))) if isinstance(holder, Table) else _span(nodes[-1])


def _classes(annotation: Any) -> list[Any]:
    """The entry classes, dict and list types that an annotation allows."""
    if get_origin(annotation) is Union or type(annotation).__name__ == "UnionType":
        return [c for a in get_args(annotation) for c in _classes(a)]
    return [annotation]


def _at(model: type[Entry], steps: list[int | str]) -> type[Entry] | None:
    """The entry class that a path of keys leads to."""
    current: Any = model
    for step in steps:
        options = _classes(current)
        entry = next((c for c in options if isinstance(c, type) and issubclass(c, Entry)), None)
        if entry is not None:
            field = next((f for name, f in entry.model_fields.items() if step in (f.alias, name)), None)
            if field is None:
                return None
            current = field.annotation
        else:
            holder = next((c for c in options if get_origin(c) in (dict, list)), None)
            if holder is None:
                return None
            current = get_args(holder)[-1]
    return next((c for c in _classes(current) if isinstance(c, type) and issubclass(c, Entry)), None)


def _fields(model: type[Entry], steps: list[int | str]) -> list[str]:
    entry = _at(model, steps)
    return [] if entry is None else [f.alias or name for name, f in entry.model_fields.items()]


def _example(model: type[Entry], steps: list[int | str], key: str) -> str:
    entry = _at(model, steps)
    if entry is None:
        return ""
    field = next((f for name, f in entry.model_fields.items() if key in (f.alias, name)), None)
    if field is None or not field.examples:
        return ""
    example = field.examples[0]
    return f"for example `{key}: {example if not isinstance(example, list) else '[' + ', '.join(map(str, example)) + ']'}`"


def _kinds_of_lists(table: Table, model: type[Spec], findings: Findings) -> None:
    """Joints and shapes hold exactly one key each; say so with the whole entry in view."""
    groups: list[Any] = [table]
    assemblies = table.get("assemblies")
    if isinstance(assemblies, Table):
        groups += [g for g in assemblies.values() if isinstance(g, Table)]
    for group in groups:
        for listed in ("joints", "shapes"):
            entries = group.get(listed)
            for entry in entries if isinstance(entries, Items) else []:
                if isinstance(entry, Table) and len(entry) != 1:
                    first = next(iter(entry), None)
                    findings.error(
                        "one-kind",
                        f"an entry of {listed} has one key, its kind; this one has {', '.join(entry) or 'none'}",
                        _span(list(entry)[1]) if len(entry) > 1 else _span(entry),
                        change=f"write `- {first}: {{...}}` and what belongs to it inside the braces" if first else "",
                    )


def _place(value: Any, node: Any, key: Text | None = None) -> None:
    """Give every entry its span: that of its key where there is one."""
    if isinstance(value, KindEntry) and isinstance(node, Table):
        first = next(iter(node))
        value.placed(_span(first))
        _place(value.chosen(), node[first], first if isinstance(first, Text) else None)
    elif isinstance(value, Entry) and isinstance(node, Table):
        value.placed(_span(key) or _span(node))
        for name, field in type(value).model_fields.items():
            held = node.get(field.alias or name)
            if held is not None:
                _place(getattr(value, name), held, node.key(field.alias or name))
    elif isinstance(value, Mapping) and isinstance(node, Table):
        for inner in node:
            if inner in value:
                _place(value[inner], node[inner], inner if isinstance(inner, Text) else None)
    elif isinstance(value, list) and isinstance(node, Items):
        for one, held in zip(value, node, strict=True):
            _place(one, held)


def _empty_lists(value: Any, node: Any, findings: Findings) -> None:
    """A list of names, extents or lengths holds at least one."""
    if isinstance(value, Entry) and isinstance(node, Table):
        for name, field in type(value).model_fields.items():
            key = field.alias or name
            held, made = node.get(key), getattr(value, name)
            if made == () and isinstance(held, Items):
                findings.error("bad-value", f"{key}: at least one value is wanted here", _span(held) or _span(node.key(key)))
            elif held is not None:
                _empty_lists(made, held, findings)
    elif isinstance(value, Mapping) and isinstance(node, Table):
        for key in node:
            if value.get(key) == ():
                findings.error("bad-value", f"{key}: at least one value is wanted here", _span(node[key]) or _span(key))
            else:
                _empty_lists(value.get(key), node[key], findings)
    elif isinstance(value, list) and isinstance(node, Items):
        for one, held in zip(value, node, strict=True):
            _empty_lists(one, held, findings)
