"""Which findings a waiver accepts."""

from __future__ import annotations

from dataclasses import replace

from build123.model.design import Design, Waiver
from build123.problem import Finding


def covers(waiver: Waiver, finding: Finding, design: Design) -> bool:
    """Whether a waiver is for this finding: the same id, and every part of the finding is named (alone or by its run)."""
    named = {part for name in waiver.parts for part in design.groups.get(name, (name,))}
    return waiver.finding == finding.id and bool(finding.parts) and named.issuperset(finding.parts)


def waived(finding: Finding, design: Design) -> Finding:
    """The finding with the reason of the first waiver that covers it."""
    for waiver in design.waivers:
        if covers(waiver, finding, design):
            return replace(finding, waived=waiver.reason)
    return finding
