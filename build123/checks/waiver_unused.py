"""A waiver that no finding needs.

Why
    A waiver that has outlived its reason would hide the next mistake.
    Source: common practice

Change
    Take the waiver out, or correct its finding's id or its parts: every part of the finding must be named.

Bad
    build123: 1
    piece: Seed tray
    units: mm
    sizes: {width: 400, depth: 200, height: 300}
    stock:
      ply: {sheet: birch plywood, thickness: 18}
    parts:
      side: {pair: left and right, stock: ply, x: from 0, y: 0 to depth, z: 0 to height}
      shelf: {stock: ply, x: left side to right side, y: 0 to depth, z: from 100}
    joints:
      - dado: {of: shelf, in: side, depth: 6}
    waivers:
      - {finding: thin-under-trench, parts: [left side, right side], reason: the shelf carries seed packets only}

Good
    build123: 1
    piece: Seed tray
    units: mm
    sizes: {width: 400, depth: 200, height: 300}
    stock:
      ply: {sheet: birch plywood, thickness: 18}
    parts:
      side: {pair: left and right, stock: ply, x: from 0, y: 0 to depth, z: 0 to height}
      shelf: {stock: ply, x: left side to right side, y: 0 to depth, z: from 100}
    joints:
      - dado: {of: shelf, in: side, depth: 14}
    waivers:
      - {finding: thin-under-trench, parts: [left side, right side], reason: the shelf carries seed packets only}
"""

from __future__ import annotations

from collections.abc import Iterator

from build123.checks.registry import all_checks, check
from build123.checks.seen import Seen
from build123.checks.waivers import covers
from build123.checks.wording import together
from build123.fields.words import did_you_mean
from build123.problem import Finding, Place, Severity


@check(severity=Severity.warning, last=True)
def find(seen: Seen) -> Iterator[Finding]:
    """Waivers that cover nothing of what was found."""
    for waiver in seen.design.waivers:
        if any(covers(waiver, found, seen.design) for found in seen.found):
            continue
        known = [one.id for one in all_checks()]
        close = did_you_mean(waiver.finding, known) if waiver.finding not in known else None
        yield Finding(
            id="waiver-unused",
            severity=Severity.warning,
            message=f"nothing needs the waiver of {waiver.finding} for {together(waiver.parts)}",
            places=() if waiver.span is None else (Place(waiver.span, "this waiver"),),
            parts=waiver.parts,
            change=f"Did you mean {close}?" if close else "",
        )
