"""What a stage finds, told once however often it comes up."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from typing import TypeVar

from build123.problem import Finding, Findings, SpecError

T = TypeVar("T")


class Collected:
    """Findings of a stage, each told once however many parts of a pair, of a run or of placed assemblies run into it."""

    def __init__(self) -> None:
        self.findings = Findings()

    def add(self, finding: Finding) -> None:
        """Keep a finding."""
        self.findings.add(finding)

    def told(self) -> Findings:
        """The findings with those merged that differ in a number or a hand only."""
        alike: dict[tuple[str, str, str], list[Finding]] = {}
        for one in self.findings:
            words = re.sub(r"\d[\d/.]*|\b(left|right|front|back)\b", "#", one.message)
            alike.setdefault((one.id, words, str(one.span)), []).append(one)
        merged = []
        for first, *more in alike.values():
            others = {one.message for one in more} - {first.message}
            message = first.message + (f" (and {len(others)} more like it)" if others else "")
            merged.append(replace(first, message=message))
        return Findings(merged)

    def attempt(self, make: Callable[[], T]) -> T | None:
        """The value, or None with its finding kept."""
        try:
            return make()
        except SpecError as error:
            self.add(error.finding)
            return None
