"""Findings with places in the text, and their renderers."""

from build123.problem.finding import Finding, Findings, Place, Severity, SpecError
from build123.problem.source import Source, Span, Text

__all__ = ["Finding", "Findings", "Place", "Severity", "Source", "Span", "SpecError", "Text"]
