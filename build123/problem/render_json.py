"""Findings for programs: every field, places from line 1 and column 1."""

from __future__ import annotations

import json
import math
from collections.abc import Iterable
from typing import Any

from build123.problem.finding import Finding
from build123.problem.source import Span


def span_data(span: Span | None) -> dict[str, Any] | None:
    """File, line and column from 1; the end is exclusive. Columns count characters."""
    if span is None:
        return None
    return {
        "file": span.source.name,
        "line": span.line + 1,
        "column": span.column + 1,
        "end_line": span.end_line + 1,
        "end_column": span.end_column + 1,
    }


def finding_data(finding: Finding) -> dict[str, Any]:
    """One finding as JSON values. Numbers that JSON cannot hold (not finite) are null."""
    return {
        "id": finding.id,
        "severity": finding.severity.name,
        "message": finding.message,
        "places": [{**(span_data(place.span) or {}), "label": place.label} for place in finding.places],
        "parts": list(finding.parts),
        "joint": finding.joint,
        "at_mm": None if finding.at_mm is None else [_number(mm) for mm in finding.at_mm],
        "numbers": {name: _number(value) for name, value in sorted(finding.numbers.items())},
        "why": finding.why,
        "source": finding.source,
        "change": finding.change,
        "overlap": finding.overlap,
        "waived": finding.waived,
    }


def render_json(findings: Iterable[Finding]) -> str:
    """A list of findings in the order given, as one JSON text. Characters outside ASCII are escaped."""
    return json.dumps([finding_data(one) for one in findings], indent=2, allow_nan=False) + "\n"


def _number(value: float) -> float | None:
    return round(value, 6) + 0.0 if math.isfinite(value) else None
