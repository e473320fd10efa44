"""A piece as it is drawn: its bodies in their places, its cuts, and where cuts show most."""

from __future__ import annotations

import itertools
import math
from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TypeAlias

import numpy as np
import shapely

from build123.drawing.piece_cut import loops, polygon
from build123.drawing.piece_look import FRONT, LEFT, RIGHT, TOP, Eye, Picture, Placed, Stroke
from build123.model.design import Design, Joint
from build123.model.frame import Box, Vec
from build123.model.part import Hardware, Part, Rod
from build123.model.wireframe import Floats, Wireframe

Wires: TypeAlias = Callable[[Part | Hardware, float], Wireframe]
"""The wireframe of a body; holes of a smaller diameter (mm) are left out."""

LEAST_ON_PAPER_MM = 1.5
"""A smaller hole is a blot on paper."""
OFF_MM = 2.0
"""A cut keeps away from faces that it would run along."""
LENGTHWISE = 0.3
"""How much of a joint shown it is worth not to cut a board along its face."""


@dataclass(frozen=True, slots=True)
class Hidden:
    """Where wood of one part lies within another: the common part of their boxes, or a pin. `axis` is the way it is longest,
    for a pin one square to it."""

    joint: Joint
    region: Box
    axis: int
    pin: bool = False


@dataclass(frozen=True, slots=True)
class Cut:
    """A plane through the piece, seen by `eye`; `depth` is its w. `shown` are the joints that it cuts across."""

    letter: str
    axis: int
    at_mm: float
    eye: Eye
    shown: tuple[Hidden, ...]

    @property
    def depth(self) -> float:
        """Where the plane lies, towards the eye."""
        return self.at_mm * self.eye.towards[self.axis]


class Scene:
    """All bodies of a piece, with pictures of them."""

    def __init__(self, design: Design, wires: Wires, scale: float) -> None:
        self.design = design
        self.bodies: Mapping[str, Part | Hardware] = dict(
            [*((part.name, part) for part in design.parts), *((thing.name, thing) for thing in design.hardware)]
        )
        self._wires, self._least = wires, LEAST_ON_PAPER_MM / scale
        wood = Box.around([p for part in design.parts for p in (part.box.low, part.box.high)])
        self._names = [name for name, body in self.bodies.items() if not _blot(body, self._least, wood)]

    def placed(self, names: Sequence[str], shifts: Mapping[str, Vec] | None = None, least_mm: float | None = None) -> list[Placed]:
        """Bodies where they are, or drawn off; holes down to `least_mm` are left in."""
        shifts, least = shifts or {}, self._least if least_mm is None else least_mm
        return [
            Placed(name, self._wires(self.bodies[name], least), self.bodies[name].placement, shifts.get(name, (0.0, 0.0, 0.0)))
            for name in names
        ]

    @cached_property
    def standing(self) -> list[Placed]:
        """Everything in its place that is large enough to be drawn."""
        return self.placed(self._names)

    @cached_property
    def box(self) -> Box:
        """The box of all solids, measured on their corners."""
        corners = np.concatenate([body.wire.corners @ body.turn.T + body.origin for body in self.standing])
        low, high = corners.min(axis=0), corners.max(axis=0)
        return Box((float(low[0]), float(low[1]), float(low[2])), (float(high[0]), float(high[1]), float(high[2])))

    def picture(self, eye: Eye) -> Picture:
        """From outside."""
        return Picture(self.standing, eye)

    def section(self, cut: Cut) -> tuple[list[Placed], list[Stroke], dict[int, shapely.Geometry]]:
        """The bodies, what is seen of them behind a cut, and the cut wood by body."""
        pinned = any(hidden.pin for hidden in cut.shown)
        bodies = [self._uncut(body, cut) for body in (self.placed(list(self.bodies), least_mm=0.0) if pinned else self.standing)]
        rings: list[tuple[int, list[Floats]]] = [(k, list(loops(b, cut.eye, cut.depth))) for k, b in enumerate(bodies) if not b.whole]
        caps = [(k, ring) for k, mine in rings for ring in mine]
        picture = Picture(bodies, cut.eye, cut.depth, caps)
        areas = {k: polygon(mine) for k, mine in rings if mine}
        pins = [_shadow(body, cut.eye) for body in bodies if body.whole]
        if pins:
            pin = shapely.union_all(pins)
            areas = {k: area.difference(pin) for k, area in areas.items()}
        return bodies, picture.strokes(), areas

    def _uncut(self, body: Placed, cut: Cut) -> Placed:
        thing = self.bodies[body.name]
        if isinstance(thing, Hardware) and thing.pin_mm is not None and abs(thing.placement.z[cut.axis]) < 1e-6:
            box = thing.box
            if box.low[cut.axis] < cut.at_mm < box.high[cut.axis]:
                return Placed(body.name, body.wire, body.placement, body.shift, whole=True)
        return body

    def wood(self, eye: Eye, depth: float) -> list[shapely.Geometry]:
        """What a plane cuts of all bodies."""
        return [polygon(mine) for body in self.standing if (mine := list(loops(body, eye, depth)))]


def _blot(body: Part | Hardware, least_mm: float, wood: Box) -> bool:
    """Whether a fitting is too thin to be drawn; one that stands out of the piece is drawn all the same."""
    if not (isinstance(body, Hardware) and body.pin_mm is not None and body.pin_mm < least_mm):
        return False
    box = body.box
    return wood.holds(box.low) and wood.holds(box.high)


def _shadow(body: Placed, eye: Eye) -> shapely.Geometry:
    return shapely.convex_hull(shapely.MultiPoint(body.seen(eye, body.wire.corners)[:, :2]))


def hidden_joints(design: Design) -> list[Hidden]:
    """The joints in which wood lies within wood, by the boxes of their parts."""
    found = []
    boxes = {part.name: part.box for part in design.parts}
    for joint in design.joints:
        if joint.rests or joint.member not in boxes or joint.receiver not in boxes:
            continue
        a, b = boxes[joint.member], boxes[joint.receiver]
        low = tuple(max(x, y) for x, y in zip(a.low, b.low, strict=True))
        high = tuple(min(x, y) for x, y in zip(a.high, b.high, strict=True))
        size = [y - x for x, y in zip(low, high, strict=True)]
        if min(size) > 0.1:
            axis = max(range(3), key=lambda k: size[k])
            found.append(Hidden(joint, Box((low[0], low[1], low[2]), (high[0], high[1], high[2])), axis))
    return found


def pins(design: Design) -> list[Hidden]:
    """The pins of a piece that has no housings, with the axis of the piece that the cut through most of them is square to."""
    joints = {joint.id: joint for joint in design.joints}
    found: list[list[Hidden]] = []
    for axis in range(3):
        lying = [
            Hidden(joints[thing.joint], thing.box, axis, pin=True)
            for thing in design.hardware
            if thing.joint in joints and isinstance(thing.solid, Rod) and not thing.bites and abs(thing.placement.z[axis]) < 1e-6
        ]
        levels = Counter(round(hidden.region.middle[axis], 2) for hidden in lying)
        level = max(levels, key=lambda at: (levels[at], at), default=0.0)
        found.append([hidden for hidden in lying if abs(hidden.region.middle[axis] - level) < OFF_MM])
    return max(found, key=len, default=[])


def cuts(design: Design, projection: str) -> list[Cut]:
    """At most one cut square to each axis of the piece: where it crosses most joints, away from faces and not along a board."""
    joints = hidden_joints(design) or pins(design)
    found: list[Cut] = []
    for axis, eye in ((1, FRONT), (0, LEFT if projection == "first" else RIGHT), (2, TOP)):
        across = [joint for joint in joints if joint.axis == axis]
        at = _best(design, across, axis)
        if across and across[0].pin:
            at = across[0].region.middle[axis]
        if at is not None:
            shown = tuple(j for j in across if j.region.low[axis] < at < j.region.high[axis])
            found.append(Cut("ABC"[len(found)], axis, at, eye, shown))
    return found


def _best(design: Design, across: Sequence[Hidden], axis: int) -> float | None:
    if not across:
        return None
    spans = [(j.region.low[axis], j.region.high[axis]) for j in across]
    boards = [part.box for part in design.parts]
    flat = [(b.low[axis], b.high[axis]) for b in boards if b.size[axis] <= min(b.size) + 1e-6]
    rims = sorted({c for box in boards for c in (box.low[axis], box.high[axis])} | {c for span in spans for c in span})
    middle = (rims[0] + rims[-1]) / 2
    best: tuple[float, float] | None = None
    where = math.nan
    for low, high in itertools.pairwise(rims):
        if high - low < 2 * OFF_MM:
            continue
        at = min(max(middle, low + OFF_MM), high - OFF_MM)
        if abs(at - middle) > 1e-9:
            at = (low + high) / 2
        score = sum(a < at < b for a, b in spans) - LENGTHWISE * sum(a < at < b for a, b in flat)
        rank = (round(score, 6), -abs(at - middle))
        if score > 0 and (best is None or rank > best):
            best, where = rank, at
    return None if best is None else where
