"""What a whole piece asks of a shop that cuts it: files in order, tools, stocks, what needs holding, what is left by hand."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from build123.cutting.figures import MM
from build123.cutting.operation import Cleared, CutFace, Drilled, Relieved
from build123.cutting.remarks import NOT_CUT
from build123.drawing.numbers import Numbers
from build123.fields.quantity import Units
from build123.fields.show import plural
from build123.model.frame import EXACT_MM
from build123.model.part import Part
from build123.trade.cutters import Cutter, cutters

NARROW_MM = 75.0
SMALL_CM2 = 250.0
"""A part that is narrower or smaller slips under the cutter when it comes free: vacuum, tape or a few tabs hold by area, the cutter pulls
the same (common practice, from memory)."""


@dataclass(frozen=True)
class Handed:
    """A distinct part with its files, in the order in which they are cut."""

    parts: Sequence[Part]
    faces: Sequence[CutFace]
    files: Sequence[str]

    @property
    def small(self) -> bool:
        """Whether it needs more to hold it than others."""
        first = self.parts[0]
        return min(first.width_mm, first.length_mm) < NARROW_MM or first.width_mm * first.length_mm < SMALL_CM2 * 100


def tools(handed: Iterable[Handed], units: Units) -> list[tuple[str, str]]:
    """Each tool with all that it does: cutters, the largest first, then drills, the smallest first, then countersinks.

    Drills are said as the spec's units say them, with mm beside, which is what the layers say.
    """
    sold = cutters(units)
    milled: dict[Cutter | None, Counter[str]] = {}
    drills: dict[float, list[tuple[float | None, float]]] = {}
    sinks: dict[float, Counter[float]] = {}
    for one in handed:
        for face in one.faces:
            for operation in face.operations * len(one.parts):
                match operation:
                    case Cleared():
                        milled.setdefault(operation.cutter, Counter())[operation.kind.value] += 1
                    case Relieved():
                        one_of = next((cutter for cutter in sold if abs(cutter.radius_mm - operation.radius_mm) < EXACT_MM), None)
                        milled.setdefault(one_of, Counter())["RELIEF"] += 1
                    case Drilled(cone_deg=0.0):
                        deep = None if operation.through else operation.depth_mm
                        drills.setdefault(operation.diameter_mm, []).append((deep, operation.tip_deg))
                    case Drilled():
                        sinks.setdefault(operation.cone_deg, Counter())[operation.diameter_mm] += 1
    known = sorted((one for one in milled if one is not None), key=lambda cutter: -cutter.diameter_mm)
    rows = [(f"cutter, {one.label} or less", _counted(milled[one])) for one in known]
    if None in milled:
        rows.append(("a cutter smaller than common ones", _counted(milled[None])))
    rows += [(f"drill, {_drill(diameter, units)}", _holes(steps)) for diameter, steps in sorted(drills.items())]
    return [*rows, *((f"countersink, {MM.angle(cone)}", _sunk(wide)) for cone, wide in sorted(sinks.items()))]


def _drill(diameter_mm: float, units: Units) -> str:
    in_mm = f"{MM.length(diameter_mm)} mm"
    return in_mm if units == "mm" else f"{Numbers(units).length(diameter_mm)} {units} ({in_mm})"


def _counted(kinds: Counter[str]) -> str:
    return ", ".join(f"{times} x {kind}" for kind, times in sorted(kinds.items()))


def _holes(steps: Sequence[tuple[float | None, float]]) -> str:
    depths = sorted({depth for depth, _ in steps if depth is not None})
    said = plural(len(steps), "hole")
    if depths:
        said += f", {MM.length(depths[0])}" + (f" to {MM.length(depths[-1])}" if len(depths) > 1 else "") + " deep"
    through = sum(depth is None for depth, _ in steps)
    if through:
        said += f", {through} through"
    return said + "".join(f", point of {MM.angle(tip)} below that" for tip in sorted({tip for _, tip in steps if tip}))


def _sunk(wide: Counter[float]) -> str:
    return ", ".join(f"{plural(times, 'hole')}, {MM.length(diameter)} mm across at the face" for diameter, times in sorted(wide.items()))


def overrun_mm(handed: Iterable[Handed]) -> float:
    """How far lines run past the edge of a part at most."""
    past = [0.0]
    for one in handed:
        for face in one.faces:
            for operation in face.operations:
                for v in (v for ring in operation.rings for v in ring) if isinstance(operation, Cleared) else ():
                    past += [face.low[0] - v.x, v.x - face.high[0], face.low[1] - v.y, v.y - face.high[1]]
    return max(past)


def by_hand(handed: Iterable[Handed]) -> list[str]:
    """What no file cuts, part by part."""
    found: dict[str, None] = {}
    for one in handed:
        for face in one.faces:
            told = (remark.text.removeprefix(NOT_CUT) for remark in face.remarks if remark.missing)
            found.update(dict.fromkeys(f"{one.parts[0].name}: {text}" for text in told))
    return list(found)
