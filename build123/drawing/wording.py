"""What a note says of a feature: its trade name and the sizes that no dimension line gives."""

from __future__ import annotations

import math

from build123.drawing.numbers import Numbers
from build123.drawing.viewing import Viewing
from build123.model.feature import EndKind, Feature, Hole, Outline, Profile, Surface, Trench, TrenchEnd
from build123.model.frame import Vec, Vec2, dot, scale
from build123.model.part import Part

SURFACES: dict[Surface, Vec] = {
    "+x": (1.0, 0.0, 0.0),
    "-x": (-1.0, 0.0, 0.0),
    "+y": (0.0, 1.0, 0.0),
    "-y": (0.0, -1.0, 0.0),
    "+z": (0.0, 0.0, 1.0),
    "-z": (0.0, 0.0, -1.0),
}
SQUARE_DEG = 0.005
"""Angles smaller than this are not told."""


def side_name(part: Part, surface: Surface) -> str:
    """What the maker calls a side of the part: "front edge", "top end", "right face"."""
    kind = {"x": "end", "y": "edge", "z": "face"}.get(surface[1:], "face")
    word: str = part.looks.get(surface, "")
    if not word:
        word = {"+x": "far", "-x": "near", "+y": "far", "-y": "near", "+z": "worked", "-z": "under"}.get(surface, "trimmed")
    return f"{word} {kind}"


def nearest_side(direction: Vec) -> Surface:
    """The side of the blank that a direction on the bench points to most."""
    return max(SURFACES, key=lambda s: round(dot(SURFACES[s], direction), 6))


def towards(part: Part, direction: Vec) -> str:
    """The name of the side that a direction on the bench points to most."""
    return side_name(part, nearest_side(direction))


def listed(words: list[str]) -> str:
    """Give "a", "a and b", "a, b and c"."""
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


def trench_note(part: Part, feature: Feature, trench: Trench, stopped: tuple[bool, bool], n: Numbers) -> tuple[str, str]:
    """Words that go before the width and depth, and words that follow: which edge, lean, flare, how it ends, fit.

    `stopped` tells for start and end whether the trench ends in the wood.

    Every word that follows is told of a named side of the part, so that the trench is given without the picture.
    """
    frame = trench.datum.frame
    length = math.hypot(trench.end[0] - trench.start[0], trench.end[1] - trench.start[1])
    along = frame.vector(((trench.end[0] - trench.start[0]) / length, (trench.end[1] - trench.start[1]) / length, 0.0))
    left = frame.vector(((trench.start[1] - trench.end[1]) / length, (trench.end[0] - trench.start[0]) / length, 0.0))
    name = feature.about.label
    sides = [way for is_open, way in ((trench.open_left, left), (trench.open_right, scale(left, -1.0))) if is_open]
    if sides:
        name += f" along the {listed([towards(part, way) for way in sides])}"
    said = ""
    if trench.lean_deg:
        deeper = scale(left, math.copysign(1.0, trench.lean_deg))
        said += f", walls lean {n.angle(abs(trench.lean_deg))}, deeper towards the {towards(part, deeper)}"
    if trench.flare_deg:
        said += f", each wall flares {n.angle(trench.flare_deg)}"
    stops: dict[str, list[str]] = {}
    for end, way, stops_there in zip((trench.start_end, trench.end_end), (scale(along, -1.0), along), stopped, strict=True):
        if stops_there:
            stops.setdefault(_end_words(end, n), []).append(towards(part, way))
    for how, sides_short in stops.items():
        said += f", stopped short of the {' and the '.join(sides_short)}{how}"
    return name, said + fit_note(feature)


def _end_words(end: TrenchEnd, n: Numbers) -> str:
    """How a stopped end is shaped; nothing for a square one."""
    if end.kind is EndKind.round:
        return f", corners R{n.length(end.radius_mm)}"
    return f", scooped R{n.length(end.radius_mm)}" if end.kind is EndKind.scoop else ""


def fit_note(feature: Feature) -> str:
    """The fit, where the feature has one."""
    fit = feature.about.fit
    if not fit:
        return ""
    return f", {fit}" if "fit" in fit else f", {fit} fit"


def hole_note(part: Part, feature: Feature, hole: Hole, n: Numbers) -> str:
    """Diameters and depths, slot, lean."""
    parts: list[str] = []
    for number, step in enumerate(hole.steps):
        last = number == len(hole.steps) - 1
        deep = "through" if last and hole.through else f"{n.length(step.depth_mm)} deep"
        wide = f"Ø{n.length(step.diameter_mm)}"
        if step.cone_deg:
            parts.append(f"{wide} countersunk {n.angle(step.cone_deg)} × {deep}")
        else:
            parts.append(f"{wide} {deep}" if deep == "through" else f"{wide} × {deep}")
    return f"{feature.about.label} " + ", then ".join(parts) + hole_words(part, hole, n) + fit_note(feature)


def step_words(hole: Hole, n: Numbers) -> str:
    """What a section of a stepped hole does not measure: that it goes through, and its cones."""
    text = ", through" if hole.through else ""
    for number, step in enumerate(hole.steps, 1):
        if step.cone_deg:
            text += f", countersunk {n.angle(step.cone_deg)}" if number == 1 else f", step {number} coned {n.angle(step.cone_deg)}"
    return text


def hole_words(part: Part, hole: Hole, n: Numbers) -> str:
    """What a hole has beside its diameters and depths: the bit's point, the slot, the lean."""
    text = ""
    if hole.tip_deg and not hole.through:
        text += f", {n.angle(hole.tip_deg)} point below that"
    frame = hole.datum.frame
    if hole.slot != (0.0, 0.0):
        steps = _by_sides(part, frame.vector((*hole.slot, 0.0)))
        text += ", slotted " + listed([f"{n.length(size)} towards the {name}" for name, size in steps]) + " between centres, half each way"
    if math.hypot(hole.axis[0], hole.axis[1]) > -hole.axis[2] * 1e-4:
        sideways = _by_sides(part, frame.vector((hole.axis[0], hole.axis[1], 0.0)))
        turns = [(name, math.degrees(math.atan2(size, -hole.axis[2]))) for name, size in sideways]
        text += ", drilled off square " + listed([f"{n.angle(turn)} towards the {name}" for name, turn in turns if turn > SQUARE_DEG])
    return text


def _by_sides(part: Part, way: Vec) -> list[tuple[str, float]]:
    """A direction as steps towards sides of the part."""
    found: list[tuple[str, float]] = []
    for k in range(3):
        step: Vec = (way[0] if k == 0 else 0.0, way[1] if k == 1 else 0.0, way[2] if k == 2 else 0.0)
        if abs(way[k]) > 1e-6:
            found.append((towards(part, step), abs(way[k])))
    return found


def trimmed(feature: Feature) -> str:
    """What a cut is called where the side that it takes off follows, which may be an edge: "trimmed" of "trimmed end"."""
    return feature.about.label.removesuffix(" end")


def radii_note(outlines: tuple[Outline, ...], n: Numbers) -> str:
    """The radii of the arcs of some outlines."""
    found: set[str] = set()
    for outline in outlines:
        for k, a in enumerate(outline):
            if a.bulge:
                b = outline[(k + 1) % len(outline)]
                found.add(n.length(radius_mm((a.x, a.y), (b.x, b.y), a.bulge)))
    return "".join(f", R{r}" for r in sorted(found, key=lambda r: (len(r), r)))


def radius_mm(a: Vec2, b: Vec2, bulge: float) -> float:
    """Of the arc between two corners."""
    return math.hypot(b[0] - a[0], b[1] - a[1]) * (1 + bulge * bulge) / (4 * abs(bulge))


def arris_words(part: Part, profile: Profile) -> str:
    """Which arris a profile is cut on."""
    return f"along the arris of the {towards(part, profile.u)} and the {towards(part, profile.v)}"


def from_side(part: Part, viewing: Viewing, axis: Vec) -> str:
    """What positions along an axis of a view are measured from: "from bottom end"."""
    if abs(axis[2]) > 0.9:
        return "from worked face"
    away = scale(axis, -1.0 if axis[0] + axis[1] > 0 else 1.0)
    return f"from {towards(part, away)}"
