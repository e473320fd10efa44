"""The reference of the spec as a page, made from the classes that read it and the examples in their docstrings."""

from __future__ import annotations

import inspect
import textwrap

from build123.fields.entry import Entry

HEAD = """# The spec

One YAML file (or one document of it) describes one piece. This page is made from the program's own classes
(`python -m build123.spec.reference`); every example on it is compiled by a test.

Lengths are written as the maker says them: `18`, `18 mm`, `3/4 in`, `3/4"`, `1 3/4 in`, `2' 6 1/2"`, arithmetic on them and
names (`width - 2 * ply.thickness`). A bare number is in the file's `units`. Every value is read by what its key expects: `NO`
is a name, `012` is twelve and `1/2` is half.

An extent says where a part runs along an axis, against other parts' faces:

| form | means |
| --- | --- |
| `A to B` | from A to B |
| `from A`, `up to A`, `centred on A` | one face there; the stock's thickness decides the other |
| `from A for L`, `up to A for L`, `centred on A for L` | the same with a length |
| `3 evenly A to B` | a run of three with equal clear gaps, before the first and after the last too |
| `[from 300, from 700]` | a run, one extent for each |
| `same as P` | where P runs along that axis |
| `each gap of RUN` | one part for each clear gap of a run |

A and B are a length, or a part's face with a length added or taken away: `left side` (its face that looks at the extent),
`outside left side` (the other one), `front of left side`, `floor`, `level 1800`. A pair or run makes `left side` and
`right side`, `shelf 1`, `shelf 2`; of a placed assembly the parts are `left side of bay 2`. Exactly one extent of a part of
stock gives one face and no `for`: there the thickness lies.

All files in this folder are built in CI.
"""


def summary(doc: str) -> str:
    """A docstring without its example."""
    return " ".join(doc.split("\nExample\n")[0].split())


def examples(kind: type[Entry]) -> list[str]:
    """The complete specs in a class's docstring."""
    doc = inspect.cleandoc(kind.__doc__ or "")
    return [textwrap.dedent(part).strip("\n") + "\n" for part in doc.split("\nExample\n")[1:]]


def page() -> str:
    """The whole page."""
    from build123.spec.schema import entry_classes

    parts = [HEAD]
    for heading, kind in entry_classes():
        parts.append(f"\n## {heading}\n\n{summary(inspect.cleandoc(kind.__doc__ or ''))}\n\n")
        parts.append("| key | takes | meaning | example |\n| --- | --- | --- | --- |\n" + "".join(_rows(kind)))
        parts += [f"\n```yaml\n{example}```\n" for example in examples(kind)]
    return "".join(parts)


def _rows(kind: type[Entry]) -> list[str]:
    schema = kind.model_json_schema(by_alias=True)
    found = []
    for name, field in sorted(kind.model_fields.items(), key=lambda item: not item[1].is_required()):
        key = field.alias or name
        takes = _takes(schema["properties"][key])
        need = " **Needed.**" if field.is_required() else ""
        example = _inline(field.examples[0]) if field.examples else ""
        text = (field.description or "").replace("|", "\\|")
        found.append(f"| `{key}` | {takes} | {text}{need} | {f'`{example}`' if example else ''} |\n")
    return found


def _takes(field: dict[str, object]) -> str:
    options = field.get("anyOf")
    if isinstance(options, list) and "title" not in field:
        return next((_takes(o) for o in options if o != {"type": "null"}), "")
    if "enum" in field:
        return ", ".join(f"`{w}`" for w in field["enum"])  # type: ignore[attr-defined]
    title = field.get("title")
    if title in ("length", "position", "angle", "count", "names", "extent", "lengths", "insets", "yes or no"):
        return str(title)
    if isinstance(options, list):
        return next((_takes(o) for o in options if o != {"type": "null"}), "")
    kind = field.get("type")
    return {"array": "a list", "object": "keys with values"}.get(str(kind), "" if "$ref" in field else "text")


def _inline(value: object) -> str:
    if isinstance(value, list):
        return "[" + ", ".join(_inline(v) for v in value) + "]"
    if isinstance(value, dict):
        return "{" + ", ".join(f"{k}: {_inline(v)}" for k, v in value.items()) + "}"
    return str(value)


if __name__ == "__main__":
    import sys
    from pathlib import Path

    target = Path(sys.argv[1]) if len(sys.argv) > 1 else Path("specs/README.md")
    target.write_text(page(), encoding="utf-8")
