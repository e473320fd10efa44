"""A part can neither be brought in nor taken out: others hold it from all sides.

Taken apart in thought from the finished piece, on the measured contacts and the solids: every part, and every set of parts
together, is tried along the axes of the piece, the contacts, the joints and the bores. A made-up part is tried as one, since
it is glued before the rest.

Why
    Parts go together by straight moves. What nothing can part in the finished piece could not have been put together.
    Source: Geometric reasoning about mechanical assembly, Artificial Intelligence 71 (1994), 371-396

Change
    Leave one of the parts that hold it to a later stage, let a housing run out at one end, or turn the dowels of one joint
    the way the other joints close.

Bad
    build123: 1
    piece: Cold frame light
    units: mm
    sizes: {width: 500, height: 700}
    stock:
      larch: {board: larch, thickness: 30}
      thin: {sheet: birch plywood, thickness: 6}
    parts:
      stile: {pair: left and right, stock: larch, x: from 0 for 60, y: from 0, z: 0 to height}
      rail: {stock: larch, x: left stile to right stile, y: from 0, z: [from 0 for 60, up to height for 60]}
      panel: {stock: thin, x: left stile to right stile, y: centred on 15, z: rail 1 to rail 2}
    made up:
      frame: [stile, rail]
    joints:
      - groove: {of: panel, in: [stile, rail], depth: 8, fit: easy}
      - dowels: {of: rail, to: stile, count: 2, ends: 20, diameter: 8}

Good
    build123: 1
    piece: Cold frame light
    units: mm
    sizes: {width: 500, height: 700}
    stock:
      larch: {board: larch, thickness: 30}
      thin: {sheet: birch plywood, thickness: 6}
    parts:
      stile: {pair: left and right, stock: larch, x: from 0 for 60, y: from 0, z: 0 to height}
      rail: {stock: larch, x: left stile to right stile, y: from 0, z: [from 0 for 60, up to height for 60]}
      panel: {stock: thin, x: left stile to right stile, y: centred on 15, z: rail 1 to rail 2}
    joints:
      - groove: {of: panel, in: [stile, rail], depth: 8, fit: easy}
      - dowels: {of: rail, to: stile, count: 2, ends: 20, diameter: 8}
"""

from __future__ import annotations

from collections.abc import Iterator

from build123.checks.registry import check
from build123.checks.seen import Seen, pair_of
from build123.checks.wording import finding, together
from build123.model.plan import Trapped
from build123.problem import Finding, Severity


@check(severity=Severity.error)
def find(seen: Seen) -> Iterator[Finding]:
    """An error for each set of parts that no straight move parts; nothing where no order was looked for."""
    for one in seen.glue_up.trapped if seen.glue_up is not None else ():
        yield finding(
            __name__,
            Severity.error,
            f"{together(one.parts)} cannot be brought in by any straight move: {_held(one)}",
            seen,
            parts=(*one.parts, *one.by),
            joints=[joint for part in one.parts for other in one.by for joint in seen.joints_of.get(pair_of(part, other), ())],
            at=seen.design.by_name[one.parts[0]].box.middle if one.parts[0] in seen.design.by_name else None,
            numbers={"parts": len(one.parts) + len(one.by)},
        )


def _held(one: Trapped) -> str:
    return f"{together(one.by)} hold{'s' if len(one.by) == 1 else ''} it from all sides"
