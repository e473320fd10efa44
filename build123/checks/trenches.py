"""The wood that is left under trenches: measured webs beside the channels of the plan."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from build123.model.feature import EndKind, Feature, Trench
from build123.model.frame import Box, Frame, Vec, Vec2, dot
from build123.model.measured import ShapeFacts, Web
from build123.model.part import Part

EDGE_MM = 0.05
"""How far outside a trench's outline a measured middle still counts as over it."""


@dataclass(frozen=True, slots=True)
class Cut:
    """One trench of a part, as lies on the bench."""

    feature: Feature
    trench: Trench

    @property
    def normal(self) -> Vec:
        """Out of the wood."""
        return self.trench.datum.frame.z

    @property
    def step(self) -> bool:
        """Whether it is a step at an edge (rabbet, tongue) and not a channel."""
        return self.trench.open_left or self.trench.open_right

    @property
    def label(self) -> str:
        """What the trade calls it."""
        return self.feature.about.label or "trench"

    def _axes(self) -> tuple[Frame, float]:
        """A bench frame at the start, x along, y to the left, z out of the wood; and the length, mm."""
        trench, datum = self.trench, self.trench.datum.frame
        run = (trench.end[0] - trench.start[0], trench.end[1] - trench.start[1])
        length = math.hypot(*run)
        along: Vec2 = (run[0] / length, run[1] / length)
        x, y = datum.vector((along[0], along[1], 0.0)), datum.vector((-along[1], along[0], 0.0))
        return Frame(datum.point((*trench.start, 0.0)), x, y, datum.z), length

    def _half_mm(self) -> float:
        slant = math.tan(math.radians(abs(self.trench.lean_deg) + abs(self.trench.flare_deg)))
        return self.trench.width_mm / 2 + slant * self.trench.depth_mm

    def over(self, at: Vec) -> bool:
        """Whether a bench point lies within the outline, seen square to the surface."""
        frame, length = self._axes()
        s, t, _ = frame.local_point(at)
        low = -math.inf if self.trench.start_end.kind is EndKind.open else -EDGE_MM
        high = math.inf if self.trench.end_end.kind is EndKind.open else length + EDGE_MM
        left = math.inf if self.trench.open_left else self._half_mm() + EDGE_MM
        right = math.inf if self.trench.open_right else self._half_mm() + EDGE_MM
        return low <= s <= high and -right <= t <= left

    def box(self) -> Box:
        """The box of the outline from the surface to the floor, on the bench."""
        frame, length = self._axes()
        half = self._half_mm()
        return Box.around([frame.point((s, t, z)) for s in (0.0, length) for t in (-half, half) for z in (0.0, -self.trench.depth_mm)])


def cuts(part: Part) -> list[Cut]:
    """The trenches of a part."""
    return [Cut(feature, feature.geometry) for feature in part.features if isinstance(feature.geometry, Trench)]


def thickness_mm(part: Part, normal: Vec) -> float:
    """The part's finished extent along a bench direction."""
    return abs(normal[0]) * part.length_mm + abs(normal[1]) * part.width_mm + abs(normal[2]) * part.thickness_mm


def judged_mm(part: Part, normal: Vec) -> float:
    """The same, on the stock's nominal thickness where the direction goes through that."""
    return thickness_mm(part, normal) if abs(normal[2]) < 0.999 else max(part.stock.judged_mm, part.thickness_mm)


@dataclass(frozen=True, slots=True)
class Floor:
    """Measured wood under trenches: `above` are those whose floor it is, `below` those that face them from behind."""

    web: Web
    above: tuple[Cut, ...]
    below: tuple[Cut, ...]


def floors(part: Part, facts: ShapeFacts) -> Iterator[Floor]:
    """Each measured web of a shape that lies under a trench, with the trenches of the plan on both sides of it."""
    made = cuts(part)
    for web in facts.webs:
        if web.thickness_mm > thickness_mm(part, web.normal) - EDGE_MM:
            continue
        over = [cut for cut in made if abs(dot(cut.normal, web.normal)) > 0.999 and cut.over(web.at)]
        above = tuple(cut for cut in over if dot(cut.normal, over[0].normal) > 0)
        below = tuple(cut for cut in over if dot(cut.normal, over[0].normal) < 0)
        if above:
            yield Floor(web, above, below)
