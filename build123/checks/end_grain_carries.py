"""Weight hangs on screws or nails that bite in end grain, or in the edge of a sheet, and on nothing else.

A part hangs where it neither stands nor rests on, is housed in, glued or dowelled to anything that stands, and where it lies
flat or bears what does. Screws and nails in side grain count as holding.

Why
    A thread in end grain cuts the fibres short and pulls out with little warning; the plies of a sheet's edge part. It may
    hold a joint together but gets no credit for weight that hangs on it.
    Source: SCREW-ENDGRAIN (FPL Wood Handbook ch. 8, from memory)

Change
    House the part in a dado, rest it on a cleat, add dowels, or drive the screws into side grain.

Bad
    build123: 1
    piece: Tool rack
    units: mm
    sizes: {width: 500, depth: 180, height: 400}
    stock:
      pine: {board: ponderosa pine, thickness: 20}
      ply: {sheet: birch plywood, thickness: 18}
    parts:
      side: {pair: left and right, stock: ply, x: from 0, y: 0 to depth, z: 0 to height}
      shelf: {stock: pine, x: left side to right side, y: 0 to depth, z: from 200}
      rail: {stock: pine, x: left side to right side, y: from 20, z: from 0 for 60}
    joints:
      - dado: {of: rail, in: side, depth: 6}
      - screws: {through: side, into: shelf, size: 4 x 50, count: 3}

Good
    build123: 1
    piece: Tool rack
    units: mm
    sizes: {width: 500, depth: 180, height: 400}
    stock:
      pine: {board: ponderosa pine, thickness: 20}
      ply: {sheet: birch plywood, thickness: 18}
    parts:
      side: {pair: left and right, stock: ply, x: from 0, y: 0 to depth, z: 0 to height}
      cleat: {pair: left and right, stock: pine, x: from left side, y: 10 to depth - 10, z: up to shelf for 40}
      shelf: {stock: pine, x: left side to right side, y: 0 to depth, z: from 200}
      rail: {stock: pine, x: left side to right side, y: from 20, z: from 0 for 60}
    joints:
      - dado: {of: rail, in: side, depth: 6}
      - glued: {of: left cleat, to: left side}
      - glued: {of: right cleat, to: right side}
      - rests: {of: shelf, upon: cleat}
      - screws: {through: side, into: shelf, size: 4 x 50, count: 3}
"""

from __future__ import annotations

from collections.abc import Iterator

from build123.checks.fasteners import Fastener, along_grain, fasteners, into_edge
from build123.checks.loads import Loads, loads
from build123.checks.registry import check
from build123.checks.seen import Seen
from build123.checks.wording import finding, together
from build123.model.design import Joint
from build123.problem import Finding, Severity, Span
from build123.trade.tables import rules


@check(severity=Severity.warning)
def find(seen: Seen) -> Iterator[Finding]:
    """One finding for the parts that hang so by the same lines: a warning for end grain, a note where it is only a sheet's edge."""
    rule = rules()["SCREW-ENDGRAIN"]
    held: Loads | None = None
    hung: dict[str, list[tuple[Joint, tuple[Fastener, ...]]]] = {}
    for joint, ones in fasteners(seen):
        part = seen.design.by_name[ones[0].receiver]
        if along_grain(part, ones[0].axis) or into_edge(part, ones[0].axis):
            held = held or loads(seen, side_grain_counts=True)
            low = held.hung(seen, ones[0])
            if low is not None and not (ones[0].is_nail and low == joint.member):
                hung.setdefault(low, []).append((joint, ones))
    alike: dict[tuple[str, tuple[Span | None, ...]], list[str]] = {}
    for low, joints in hung.items():
        says = _says(seen, low, joints)
        alike.setdefault((says, tuple(dict.fromkeys(joint.span for joint, _ in joints))), []).append(low)
    for (says, _), lows in alike.items():
        first, joints = hung[lows[0]][0][1][0], [each for low in lows for each in hung[low]]
        boards = any(seen.design.by_name[joint.receiver].stock.kind == "board" for joint, _ in joints)
        more = f" (and {len(lows) - 1} more)" if len(lows) > 1 else ""
        yield finding(
            __name__,
            Severity.warning if boards else Severity.note,
            f"{lows[0]}{more} hangs on {says}, and on nothing else",
            seen,
            parts=dict.fromkeys((*lows, *(name for joint, _ in joints for name in (joint.member, joint.receiver)))),
            joints=[joint for joint, _ in joints],
            at=first.into.point if first.into is not None else first.thing.placement.origin,
            numbers={"count": float(_count(hung[lows[0]]))},
            source=rule.cited,
        )


def _count(joints: list[tuple[Joint, tuple[Fastener, ...]]]) -> int:
    return sum(len({one.thing.name for one in ones}) for _, ones in joints)


def _says(seen: Seen, low: str, joints: list[tuple[Joint, tuple[Fastener, ...]]]) -> str:
    """ "4 screws in its own end grain"."""
    words = together(dict.fromkeys(ones[0].word for _, ones in joints))
    bitten = list(dict.fromkeys(joint.receiver for joint, _ in joints))
    grain = "end grain" if any(seen.design.by_name[name].stock.kind == "board" for name in bitten) else "edge"
    where = f"its own {grain}" if bitten == [low] else f"the {grain} of {together(bitten)}"
    count = _count(joints)
    return f"{count} {words}{'s' if count > 1 else ''} in {where}"
