"""`schema`: the spec's JSON Schema."""

from __future__ import annotations

import json
import sys
from pathlib import Path

from build123.cli.output import print_findings
from build123.cli.run import OK, USAGE


def print_schema(path: Path | None) -> int:
    """Print the schema; with a spec, its names too."""
    from build123.spec.schema import json_schema

    spec = None
    if path is not None:
        from build123.spec.parse import parse
        from build123.text.read import read_file

        tables, findings = read_file(path)
        if tables:
            spec, found = parse(tables[0])
            findings.extend(found)
        if spec is None or findings.failed:
            print_findings(findings, sys.stderr)
            return USAGE
    print(json.dumps(json_schema(spec), indent=2))
    return OK
