"""`schema`: the spec's JSON Schema."""

from __future__ import annotations

import json
import sys
from pathlib import Path

from build123.cli.output import print_findings
from build123.cli.run import OK, USAGE


def print_schema(path: Path | None) -> int:
    """Print the schema; with a spec, the names of its first piece too. A spec that does not resolve yet still gives its names."""
    from build123.spec.schema import json_schema

    if path is None:
        print(json.dumps(json_schema(), indent=2))
        return OK

    from build123.resolve.resolve import resolve
    from build123.spec.parse import parse
    from build123.text.read import read_file

    tables, findings = read_file(path)
    spec = None
    if tables:
        spec, found = parse(tables[0])
        findings.extend(found)
    if spec is None:
        print_findings(findings, sys.stderr)
        return USAGE
    design, _ = resolve(spec)
    sizes = [] if design is None else [size.name for size in design.sizes]
    parts = [str(name) for name in spec.parts] if design is None else [*design.by_name, *design.groups]
    print(json.dumps(json_schema(spec, sizes, parts), indent=2))
    return OK
