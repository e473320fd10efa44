"""What the text of a cut file says of a feature in one line: its trade name with all its sizes."""

from __future__ import annotations

import math

from build123.drawing.numbers import Numbers
from build123.drawing.wording import SURFACES, fit_note, radii_note, side_name, towards, trimmed
from build123.model.feature import EndKind, Feature, Pocket, Profile, Trench, Trim
from build123.model.frame import dot
from build123.model.part import Part


def trench_note(part: Part, feature: Feature, trench: Trench, n: Numbers) -> str:
    """Width, depth, lean, flare, ends."""
    into = "face" if trench.datum.surface in ("+z", "-z") else "edge" if trench.datum.surface in ("+y", "-y") else "end"
    if trench.open_left or trench.open_right:
        text = f"{feature.about.label} {n.length(trench.width_mm)} in from the edge × {n.length(trench.depth_mm)} into the {into}"
    else:
        text = f"{feature.about.label} {n.length(trench.width_mm)} wide × {n.length(trench.depth_mm)} deep"
    if trench.lean_deg:
        dx, dy = trench.end[0] - trench.start[0], trench.end[1] - trench.start[1]
        sign = math.copysign(1.0, trench.lean_deg)
        deeper = trench.datum.frame.vector((-dy * sign, dx * sign, 0.0))
        text += f", walls lean {n.angle(abs(trench.lean_deg))}, deeper towards the {towards(part, deeper)}"
    if trench.flare_deg:
        text += f", each wall flares {n.angle(trench.flare_deg)}"
    for kind, one, many in ((EndKind.round, "end corners", "end corners"), (EndKind.scoop, "scooped end", "scooped ends")):
        ends = [e.radius_mm for e in (trench.start_end, trench.end_end) if e.kind is kind]
        radii = sorted(set(ends))
        if radii:
            text += f", {one if len(ends) == 1 else many} " + " and ".join(f"R{n.length(r)}" for r in radii)
    return text + fit_note(feature)


def pocket_note(feature: Feature, pocket: Pocket, n: Numbers) -> str:
    """Depth and radii; the outline is given by dimensions."""
    deep = "through" if pocket.depth_mm is None else f"{n.length(pocket.depth_mm)} deep"
    text = f"{feature.about.label}, {deep}" + radii_note((pocket.outline, *pocket.islands), n)
    if pocket.islands:
        text += ", island left standing" if len(pocket.islands) == 1 else ", islands left standing"
    if pocket.far_outline:
        wide = max(v.x for v in pocket.far_outline) - min(v.x for v in pocket.far_outline)
        high = max(v.y for v in pocket.far_outline) - min(v.y for v in pocket.far_outline)
        text += f", {n.length(wide)} × {n.length(high)} at the far side"
    return text


def profile_note(feature: Feature, profile: Profile, n: Numbers) -> str:
    """How far the section reaches on both faces, and its radii."""
    u, v = max(-p.x for p in profile.section), max(-p.y for p in profile.section)
    return f"{feature.about.label} {n.length(u)} × {n.length(v)}" + radii_note((profile.section,), n)


def trim_note(part: Part, feature: Feature, trim: Trim, n: Numbers) -> str:
    """How far off square the cut is; in brackets, since the points are dimensioned."""
    normal = trim.plane.normal
    side = max(SURFACES, key=lambda s: round(dot(SURFACES[s], normal), 6))
    tilt = math.degrees(math.asin(max(-1.0, min(1.0, abs(normal[2])))))
    own, other = (normal[0], normal[1]) if side[1] == "x" else (normal[1], normal[0])
    turn = math.degrees(math.atan2(abs(other), abs(own)))
    said = []
    if turn > 0.005:
        said.append(f"({n.angle(turn)}) off square across the face")
    if tilt > 0.005 and side[1] != "z":
        said.append(f"({n.angle(tilt)}) off square through the thickness")
    if side[1] == "z":
        said = [f"leaning ({n.angle(90 - tilt)})"]
    return f"{trimmed(feature)} {side_name(part, side)}, " + ", ".join(said)
