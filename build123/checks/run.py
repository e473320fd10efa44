"""Run all checks on what was measured."""

from __future__ import annotations

from dataclasses import replace

from build123.checks.docs import explain
from build123.checks.registry import Check, all_checks
from build123.checks.seen import Seen
from build123.checks.waivers import waived
from build123.problem import Finding


def run(seen: Seen) -> tuple[Finding, ...]:
    """Findings of all checks with their reasons, the waived ones marked: by weight, then part, then joint.

    `seen.found` are the findings of earlier stages, which waivers may also name; they come back among the rest.
    """
    found = [waived(one, seen.design) for one in seen.found]
    for check in all_checks():
        look = replace(seen, found=tuple(found)) if check.last else seen
        found += [waived(_explained(check, one), seen.design) for one in check.find(look)]
    return tuple(sorted(found, key=lambda one: _order(seen, one)))


def _explained(check: Check, finding: Finding) -> Finding:
    """Fill in what the check leaves to its docstring."""
    said = explain(check.id)
    return replace(finding, why=finding.why or said.why, source=finding.source or said.source, change=finding.change or said.change)


def _order(seen: Seen, finding: Finding) -> tuple[object, ...]:
    places = tuple(seen.order.get(part, len(seen.order)) for part in finding.parts)
    return (-finding.severity, places, finding.joint, finding.id, finding.at_mm or (), finding.message)
