"""Holes in a table: single ones, and rows at an equal pitch as one line."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from build123.drawing.numbers import Numbers
from build123.drawing.viewing import Viewing
from build123.drawing.vocabulary import Cover
from build123.model.feature import Feature
from build123.model.frame import Vec2

PITCH_MM = 0.005
"""Steps that differ by less are equal."""


@dataclass(frozen=True, slots=True)
class HoleRow:
    """A line of the table: a hole, or `count` holes at an equal pitch. `first` and `last` are in view coordinates."""

    note: str
    u_text: str
    v_text: str
    members: tuple[str, ...]
    features: tuple[str, ...]
    covers: tuple[Cover, ...]
    first: Vec2
    last: Vec2
    count: int


def hole_rows(view: Viewing, note: str, holes: Sequence[tuple[Feature, Vec2]], n: Numbers) -> list[HoleRow]:
    """The lines for holes of one kind."""
    left = sorted(holes, key=lambda h: (round(h[1][1], 3), h[1][0]))
    runs, singles = _runs(left, 0)
    upright, singles = _runs(sorted(singles, key=lambda h: (round(h[1][0], 3), h[1][1])), 1)
    corner = view.at(view.corner)
    rows: list[HoleRow] = []
    for run in [*runs, *upright, *([hole] for hole in singles)]:
        first, last = run[0][1], run[-1][1]
        if abs(first[0] - corner[0]) + abs(first[1] - corner[1]) > abs(last[0] - corner[0]) + abs(last[1] - corner[1]):
            first, last = last, first
        texts: list[str] = []
        for k in (0, 1):
            start, step = abs(first[k] - corner[k]), (abs(last[k] - corner[k]) - abs(first[k] - corner[k])) / max(1, len(run) - 1)
            many = abs(step) > PITCH_MM
            texts.append(row_text(start, step, len(run) - 1, n) if many else n.length(start))
        ids = tuple(feature.about.id for feature, _ in run)
        covers = tuple(Cover(id, size) for id in ids for size in ("across u", "across v", "diameter", "depth"))
        members = tuple(dict.fromkeys(m for feature, _ in run for m in feature.about.members))
        rows.append(HoleRow(note, texts[0], texts[1], members, ids, covers, first, last, len(run)))
    return rows


def row_text(start: float, step: float, more: int, n: Numbers) -> str:
    """A pitch that is no round figure would add up along the row, so that the last hole is given instead."""
    if more == 1:
        return f"{n.length(start)} and {n.length(start + step)}"
    if abs(step - n.value(n.length(step))) * more < PITCH_MM:
        return f"{n.length(start)}, then {more} more, {n.length(step)} apart"
    return f"{n.length(start)} to {n.length(start + step * more)} in {more} equal steps"


_Holes = list[tuple[Feature, Vec2]]


def _runs(holes: _Holes, axis: int) -> tuple[list[_Holes], _Holes]:
    """Stretches of three or more holes on one line at one pitch, or of the only two for a part, and the rest."""
    runs: list[_Holes] = []
    rest: _Holes = []
    k = 0
    while k < len(holes):
        end = k + 1
        if end < len(holes):
            pitch = holes[end][1][axis] - holes[k][1][axis]
            while (
                end < len(holes)
                and abs(holes[end][1][1 - axis] - holes[k][1][1 - axis]) < PITCH_MM
                and abs(holes[end][1][axis] - holes[end - 1][1][axis] - pitch) < PITCH_MM
                and holes[end][0].about.members == holes[k][0].about.members
            ):
                end += 1
        if end - k >= 3 or (end - k == 2 and _pair(holes, k)):
            runs.append(holes[k:end])
        else:
            end = k + 1
            rest.append(holes[k])
        k = end
    return runs, rest


def _pair(holes: _Holes, k: int) -> bool:
    """Whether a hole and the next are the only ones for their part among those that stand beside them."""
    members = holes[k][0].about.members
    beside = [*holes[max(k - 1, 0) : k], *holes[k + 2 : k + 3]]
    return bool(members) and all(one.about.members != members for one, _ in beside)
