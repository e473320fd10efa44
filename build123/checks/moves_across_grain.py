"""A board is held across its grain by something that does not move with it.

Boards that are glued together with their grain one way move as one. Glue holds along the whole of a face as measured, dowels
and tight screws where they stand; a slotted or oversize hole leaves the room that is measured about its shank. The board's
movement between two such places is compared with that of whatever joins them. Nails bend and housings with an easy fit slide:
they do not hold.

Why
    A board grows and shrinks across its grain with the seasons, hardly at all along it, and a sheet hardly at all. Held over
    more than about 4 in, it cups, splits, or breaks its joint.
    Source: CROSSGRAIN (common practice, from memory)

Change
    Hold the board at one line and leave it free elsewhere: screws with `fixed:`, a housing with `glue: no`, glue over a few
    inches only.

Bad
    build123: 1
    piece: Potting table
    units: mm
    sizes: {width: 700, depth: 300, height: 300}
    stock:
      ply: {sheet: birch plywood, thickness: 18}
      oak: {board: white oak, thickness: 20}
    parts:
      side: {pair: left and right, stock: ply, x: from 0, y: 0 to depth, z: 0 to height}
      rail: {stock: ply, x: left side to right side, y: centred on depth / 2 for 70, z: up to top}
      top: {stock: oak, x: 0 to width, y: 0 to depth, z: from height}
    joints:
      - dado: {of: rail, in: side, depth: 6}
      - glued: {of: top, to: side}
      - rests: {of: top, upon: rail}

Good
    build123: 1
    piece: Potting table
    units: mm
    sizes: {width: 700, depth: 300, height: 300}
    stock:
      ply: {sheet: birch plywood, thickness: 18}
      oak: {board: white oak, thickness: 20}
    parts:
      side: {pair: left and right, stock: ply, x: from 0, y: 0 to depth, z: 0 to height}
      rail: {pair: front and back, stock: ply, x: left side to right side, y: from 10 for 70, z: up to top}
      top: {stock: oak, x: 0 to width, y: 0 to depth, z: from height}
    joints:
      - dado: {of: rail, in: side, depth: 6}
      - rests: {of: top, upon: side}
      - screws: {through: rail, into: top, size: 4 x 30, count: 3, fixed: front rail}
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations

from build123.checks.registry import check
from build123.checks.seen import MEASURED_MM, Seen
from build123.checks.ties import Tie, Ties, extent
from build123.checks.wording import finding, together
from build123.fields.show import show_number
from build123.model.part import Part
from build123.problem import Finding, Severity
from build123.trade.tables import rules

MUCH = 1.5
"""Half as much again as the limit, 6 in, is no longer a matter of judgement (common practice)."""


@dataclass(frozen=True, slots=True)
class Held:
    """A board held between two ties: how far apart, how much it moves against what joins them, the room, and what that leaves.

    `as_wide_mm` is the width of that wood that would move by what is not allowed for.
    """

    body: tuple[Part, ...]
    first: Tie
    last: Tie
    moves_mm: float
    room_mm: float
    as_wide_mm: float

    @property
    def name(self) -> str:
        """What the board is called, or the part that its boards make up."""
        made_up = {part.made_up for part in self.body}
        return made_up.pop() if len(made_up) == 1 and self.body[0].made_up else together(part.name for part in self.body)

    @property
    def wide_mm(self) -> float:
        """From tie to tie."""
        return self.last.at_mm - self.first.at_mm


@check(severity=Severity.error)
def find(seen: Seen) -> Iterator[Finding]:
    """One finding for each board that is held too widely: a warning up to half as much again as the limit, an error beyond."""
    rule = rules()["CROSSGRAIN"]
    ties = Ties(seen)
    told: list[frozenset[str]] = []
    found = [held for body in ties.boards() if (held := _held(ties, body, rule.most))]
    for held in sorted(found, key=lambda each: -each[0].as_wide_mm):
        worst, part = held[0], held[0].body[0]
        others = dict.fromkeys(tie.other for one in held for tie in (one.first, one.last))
        names = frozenset((*(one.name for one in worst.body), *others))
        if any(names <= known for known in told):
            continue
        told.append(names)
        joints = dict.fromkeys(tie.joint.id for one in held for tie in (one.first, one.last))
        shown = f"{seen.show(round(worst.moves_mm, 2))} there in a year"
        is_ = "is" if len(worst.body) == 1 or worst.name == part.made_up else "are"
        room = f" and has room for {seen.show(round(worst.room_mm, 2))}" if worst.room_mm > MEASURED_MM else ""
        yield finding(
            __name__,
            Severity.error if worst.as_wide_mm > MUCH * rule.most + MEASURED_MM else Severity.warning,
            f"{worst.name} {is_} held over {seen.show(round(worst.wide_mm, 1))} across its grain by {together(others)}, which "
            f"{'does' if len(others) == 1 else 'do'} not move with it: it moves {shown}{room} ({_climate(seen)})",
            seen,
            parts=(*(one.name for one in worst.body), *others),
            joints=[joint for joint in seen.design.joints if joint.id in joints],
            at=part.box.middle,
            numbers={
                "held_mm": worst.wide_mm,
                "moves_mm": worst.moves_mm,
                "room_mm": worst.room_mm,
                "limit_mm": rule.most,
            },
            source=f"{rule.cited}; {part.stock.moves.of[0].default}" if part.stock.moves and part.stock.moves.of else rule.cited,
            change=_change(seen, worst, rule.common),
        )


def _held(ties: Ties, body: tuple[Part, ...], limit_mm: float) -> list[Held]:
    """The ways in which a board is held too widely, the worst first; one for each two other parts."""
    part = body[0]
    along = part.placement.y
    own = part.stock.moves_along(part.placement.x, along)
    low, high = extent(body, along)
    if own <= 0.0 or high - low <= limit_mm:
        return []
    worst: dict[tuple[str, str], Held] = {}
    for first, last in combinations(ties.of(body, along), 2):
        wide = last.at_mm - first.at_mm
        room = first.slack_mm + last.slack_mm
        if wide <= limit_mm + MEASURED_MM:
            continue
        moved = ties.moved_mm(body, first, last, along)
        if moved is None:
            continue
        moves = abs(own * wide - moved)
        held = Held(body, first, last, moves, room, (moves - room) / own)
        key = (first.other, last.other)
        if held.as_wide_mm > limit_mm + MEASURED_MM and (key not in worst or held.as_wide_mm > worst[key].as_wide_mm):
            worst[key] = held
    alone = [held for held in worst.values() if held.first.other == held.last.other]
    return sorted(alone or worst.values(), key=lambda held: -held.as_wide_mm)


def _climate(seen: Seen) -> str:
    climate = seen.design.climate
    if climate is None:
        return "over a year"
    return f"{climate.name}, {show_number(climate.driest_pct)} to {show_number(climate.dampest_pct)} % humidity"


def _change(seen: Seen, worst: Held, usual_mm: float) -> str:
    if worst.first.glued or worst.last.glued:
        usual = seen.show(round(usual_mm) if seen.design.units == "mm" else usual_mm)
        return (
            f"Glue {worst.name} over {usual} at most, at one line, and leave it free elsewhere: screws with `fixed:`, "
            "which stand in slots, or a housing with `glue: middle` or `glue: no`"
        )
    play = seen.show(round(worst.moves_mm, 1))
    return f"Say `fixed:` on the screws: one line of them stays tight, the others stand in slots with {play} of play each way"
