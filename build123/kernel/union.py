"""The volume of a part by another road: polyhedra and another library, none of the code that makes its solid."""

from __future__ import annotations

import math
from dataclasses import dataclass

import manifold3d
import numpy as np
from typing_extensions import assert_never

from build123.kernel.bodies import near_pairs
from build123.kernel.union_shapes import Floats, frusta, prism, ring, ruled
from build123.model.feature import Datum, EndKind, Geometry, Hole, Mark, Pocket, Profile, Trench, TrenchEnd, Trim
from build123.model.frame import EXACT_MM, PLAN_MM, Box, Frame, Vec, Vec2, add, cross, dot, norm, scale, sub, unit
from build123.model.part import Block, Hardware, Part, Rod, Screw, Staple

OVER_MM = 1.0
"""How far a cutter stands out of the wood."""
SCOOP_STEPS = 180


def union_volume_mm3(part: Part) -> float:
    """The volume of the blank less the union of its features.

    Full circles count with their own area, other arcs to 0.005 % of their disc. RuntimeError for a feature without a body.
    """
    wood = manifold3d.Manifold.cube([part.length_mm, part.width_mm, part.thickness_mm])
    blank = _Blank(part)
    cutters: list[manifold3d.Manifold] = []
    for feature in part.features:
        cutters += _cutters(feature.geometry, blank)
    return float(wood.volume()) - sum(_common_mm3(wood, blank, group) for group in _groups(cutters))


def _groups(cutters: list[manifold3d.Manifold]) -> list[list[manifold3d.Manifold]]:
    """Cutters that could meet, by their boxes: different groups take different wood, so their volumes add up."""
    bounds = [cutter.bounding_box() for cutter in cutters]
    parent = list(range(len(cutters)))

    def root(n: int) -> int:
        while parent[n] != n:
            parent[n] = n = parent[parent[n]]
        return n

    for i, j in near_pairs([Box((b[0], b[1], b[2]), (b[3], b[4], b[5])) for b in bounds], PLAN_MM):
        parent[root(i)] = root(j)
    groups: dict[int, list[manifold3d.Manifold]] = {}
    for n, cutter in enumerate(cutters):
        groups.setdefault(root(n), []).append(cutter)
    return list(groups.values())


def _common_mm3(wood: manifold3d.Manifold, blank: _Blank, group: list[manifold3d.Manifold]) -> float:
    taken = group[0] if len(group) == 1 else manifold3d.Manifold.batch_boolean(group, manifold3d.OpType.Add)
    return float(taken.volume() if blank.holds(taken.bounding_box()) else (wood ^ taken).volume())


def hardware_volume_mm3(hardware: Hardware) -> float:
    """The volume of a thing that is bought."""
    match hardware.solid:
        case Rod(diameter, length):
            return math.pi / 4 * diameter**2 * length
        case Block((x, y, z)):
            return x * y * z
        case Screw() as screw:
            return _screw_mm3(screw)
        case Staple(crown, wire, length):
            return wire**2 * (crown + 2 * (length - wire))
        case _:
            assert_never(hardware.solid)


def _screw_mm3(screw: Screw) -> float:
    """Head, washer, shank and point by the formulas of cone and cylinder."""
    d, head, high = screw.diameter_mm, screw.head_mm, screw.head_height_mm
    around, thick = screw.washer_mm
    point = d**3 / 3
    if screw.countersunk:
        whole = high / 3 * (head**2 + head * d + d**2) + d**2 * (screw.length_mm - d - high) + point
    else:
        whole = head**2 * high + around**2 * thick + d**2 * (screw.length_mm - d - thick) + point
    return math.pi / 4 * whole


def _cutters(geometry: Geometry, blank: _Blank) -> list[manifold3d.Manifold]:
    match geometry:
        case Trim():
            return _trim(geometry, blank)
        case Trench():
            return [_trench(geometry, blank)]
        case Pocket():
            return [_pocket(geometry, blank)]
        case Hole():
            return _hole(geometry, blank)
        case Profile():
            return [_profile(geometry, blank)]
        case Mark():
            return []
        case _:
            assert_never(geometry)


@dataclass(frozen=True)
class _Blank:
    part: Part

    @property
    def size(self) -> Vec:
        return (self.part.length_mm, self.part.width_mm, self.part.thickness_mm)

    @property
    def diagonal(self) -> float:
        return norm(self.size) + 10 * OVER_MM

    def corners(self) -> Floats:
        return np.array([[x, y, z] for x in (0.0, self.size[0]) for y in (0.0, self.size[1]) for z in (0.0, self.size[2])])

    def outermost(self, direction: Vec) -> float:
        """How far the box goes in a direction."""
        return float((self.corners() @ np.array(direction)).max())

    def holds(self, bounds: tuple[float, ...]) -> bool:
        """Whether a box lies in the blank, up to rounding."""
        return all(bounds[k] >= -EXACT_MM and bounds[k + 3] <= self.size[k] + EXACT_MM for k in range(3))

    def at_rim(self, p: Vec, direction: Vec) -> bool:
        """Whether a point lies at or beyond the boundary, looking in a direction."""
        ahead = [k for k in range(3) if abs(direction[k]) > PLAN_MM]
        return any(p[k] >= self.size[k] - PLAN_MM if direction[k] > 0 else p[k] <= PLAN_MM for k in ahead)

    def over(self, datum: Datum) -> float:
        """How far a cutter may rise over its datum: not where wood stands above it."""
        sunk = self.outermost(datum.frame.z) - dot(datum.frame.z, datum.frame.origin) > PLAN_MM
        return 0.0 if sunk and datum.surface != "trim" else OVER_MM

    def under(self, z: Vec, floor_at: float) -> float:
        """How far a cutter may go below its floor: only where no wood is left there; `floor_at` is its height along z."""
        return OVER_MM if -self.outermost(scale(z, -1.0)) >= floor_at - PLAN_MM else 0.0


def _trim(trim: Trim, blank: _Blank) -> list[manifold3d.Manifold]:
    if blank.outermost(trim.plane.normal) <= trim.plane.offset + PLAN_MM:
        return []
    around = manifold3d.Manifold.hull_points((blank.corners() - np.array(blank.size) / 2) * 3 + np.array(blank.size) / 2)
    return [around.trim_by_plane(trim.plane.normal, trim.plane.offset)]


def _trench(trench: Trench, blank: _Blank) -> manifold3d.Manifold:
    datum = trench.datum.frame
    first, last = datum.point((*trench.start, 0.0)), datum.point((*trench.end, 0.0))
    along = unit(sub(last, first))
    frame = Frame(first, along, cross(datum.z, along), datum.z)
    length, far = norm(sub(last, first)), blank.diagonal
    lean, flare = math.radians(trench.lean_deg), math.radians(trench.flare_deg)
    half = trench.width_mm / math.cos(lean) / 2
    middle = frame.point((length / 2, 0.0, 0.0))
    no_left = trench.open_left and blank.at_rim(add(middle, scale(frame.y, half)), frame.y)
    no_right = trench.open_right and blank.at_rim(add(middle, scale(frame.y, -half)), scale(frame.y, -1.0))
    runs_in = trench.start_end.kind is EndKind.open and blank.at_rim(first, scale(along, -1.0))
    runs_out = trench.end_end.kind is EndKind.open and blank.at_rim(last, along)
    scooped = EndKind.scoop in (trench.start_end.kind, trench.end_end.kind)

    def plan(z: float) -> Floats:
        left = far if no_left else half - z * math.tan(lean + flare)
        right = -far if no_right else -half - z * math.tan(lean - flare)
        wider = -z * math.tan(flare)
        ends = []
        for end, x, out, runs in ((trench.start_end, 0.0, -1.0, runs_in), (trench.end_end, length, 1.0, runs_out)):
            round_ = end.kind is EndKind.round
            radius = end.radius_mm / math.cos(lean) + wider if round_ else 0.0
            ends.append((x + out * (far if runs else wider if round_ else 0.0), radius))
        (x0, r0), (x1, r1) = ends
        corners = [(x0, right, r0, not no_right), (x1, right, r1, not no_right), (x1, left, r1, not no_left), (x0, left, r0, not no_left)]
        return np.concatenate([_rounded((x, y), r if walled else 0.0, k) for k, (x, y, r, walled) in enumerate(corners)])

    top = blank.over(trench.datum)
    floor = -trench.depth_mm
    if not scooped:
        floor -= blank.under(frame.z, dot(frame.z, first) + floor)
    body = ruled(plan(floor), plan(top), floor, top, frame)
    if scooped:
        ends_x = (-far if runs_in else 0.0, length + far if runs_out else length)
        body = body ^ _scoops(trench, frame, ends_x, (floor, top), far)
    return body


def _rounded(corner: Vec2, radius: float, quarter: int) -> Floats:
    """A corner of a counter-clockwise rectangle as an arc; `quarter` counts from the lower left one."""
    if radius <= 0.0:
        return np.array([corner])
    turns = math.pi + quarter * math.pi / 2 + np.linspace(0.0, math.pi / 2, 91)
    inward = np.array([1.0 if quarter in (0, 3) else -1.0, 1.0 if quarter in (0, 1) else -1.0])
    return np.array(corner) + radius * (inward + np.stack([np.cos(turns), np.sin(turns)], axis=1))


def _scoops(trench: Trench, frame: Frame, ends_x: Vec2, heights: Vec2, far: float) -> manifold3d.Manifold:
    """What a round cutter sweeps, seen from the side: the floor rises in an arc that meets the surface at the end."""
    floor, top = heights
    up = _rising(trench.start_end, ends_x[0], -1.0, floor, top)
    down = _rising(trench.end_end, ends_x[1], 1.0, floor, top)
    side = np.concatenate([up, down[::-1]])
    return prism(side, -far * 2, far * 2, Frame(frame.origin, frame.x, frame.z, scale(frame.y, -1.0)))


def _rising(end: TrenchEnd, x: float, out: float, floor: float, top: float) -> Floats:
    """One end from the top down to the floor."""
    if end.kind is not EndKind.scoop:
        return np.array([[x, top], [x, floor]])
    radius = end.radius_mm
    depth = min(-floor, radius)
    centre = x - out * math.sqrt(radius**2 - (radius - depth) ** 2)
    heights = np.linspace(min(top, floor + radius), floor, SCOOP_STEPS + 1)
    below = np.clip(floor + radius - heights, 0.0, radius)
    arc = np.column_stack([centre + out * np.sqrt(radius**2 - below**2), heights])
    return np.concatenate([[[arc[0, 0], top]], arc]) if heights[0] < top else arc


def _pocket(pocket: Pocket, blank: _Blank) -> manifold3d.Manifold:
    frame = pocket.datum.frame
    surface = dot(frame.z, frame.origin)
    depth = surface + blank.outermost(scale(frame.z, -1.0)) if pocket.depth_mm is None else pocket.depth_mm
    over, under = blank.over(pocket.datum), blank.under(frame.z, surface - depth)
    outline, far = pocket.outline, pocket.far_outline or pocket.outline
    near_ring, far_ring = ring(outline, far), ring(far, outline)
    if any(a.bulge != b.bulge for a, b in zip(outline, far, strict=True)):
        over = under = 0.0
    slope = (far_ring - near_ring) / depth
    body = ruled(near_ring + slope * (depth + under), near_ring - slope * over, -depth - under, over, frame)
    for island in pocket.islands:
        body = body - prism(ring(island), -depth - 2 * OVER_MM, 2 * OVER_MM, frame)
    return body


def _hole(hole: Hole, blank: _Blank) -> list[manifold3d.Manifold]:
    datum = hole.datum.frame
    down = unit(datum.vector(hole.axis))
    at = datum.point((*hole.point, 0.0))
    widest = max(step.diameter_mm for step in hole.steps) / 2
    slant = widest * norm(cross(down, datum.z)) / abs(dot(down, datum.z))
    section = [(hole.steps[0].diameter_mm / 2, blank.over(hole.datum) + slant if slant > EXACT_MM else 0.0)]
    depth = 0.0
    for k, step in enumerate(hole.steps):
        last = k + 1 == len(hole.steps)
        radius = step.diameter_mm / 2
        floor = blank.diagonal if last and hole.through else step.depth_mm
        section.append((radius, -depth))
        if step.cone_deg > 0:
            following = 0.0 if last else hole.steps[k + 1].diameter_mm / 2
            narrowing = math.tan(math.radians(step.cone_deg / 2))
            until = min(floor, depth + (radius - following) / narrowing)
            radius -= (until - depth) * narrowing
            section.append((max(0.0, radius), -until))
        section.append((max(0.0, radius), -floor))
        depth = floor
    if hole.tip_deg > 0 and not hole.through and radius > 0:
        section.append((0.0, -depth - radius / math.tan(math.radians(hole.tip_deg / 2))))
    x = unit(cross(down, datum.x if abs(dot(down, datum.x)) < 0.9 else datum.y))
    up = scale(down, -1.0)
    slot = datum.vector((*hole.slot, 0.0))
    shifts = [scale(slot, -0.5), scale(slot, 0.5)] if norm(slot) > 0 else [(0.0, 0.0, 0.0)]
    return frusta(section, Frame(at, x, cross(up, x), up), shifts)


def _profile(profile: Profile, blank: _Blank) -> manifold3d.Manifold:
    along = unit(sub(profile.end, profile.start))
    low = -profile.run_start_mm
    high = norm(sub(profile.end, profile.start)) + profile.run_end_mm
    square = max(abs(c) for c in along) > 1 - 1e-9
    if square and blank.at_rim(add(profile.start, scale(along, low)), scale(along, -1.0)):
        low -= OVER_MM
    if square and blank.at_rim(add(profile.start, scale(along, high)), along):
        high += OVER_MM
    plane = np.array([profile.u, profile.v])
    side = cross(along, profile.u)
    frame = Frame(profile.start, profile.u, side, along)
    flat = np.column_stack([plane @ np.array(profile.u), plane @ np.array(side)])
    return prism(_counter_clockwise(_section(profile, flat)), low, high, frame)


def _section(profile: Profile, flat: Floats) -> Floats:
    """The section in a square frame; its arcs are circles there, so corners are moved before arcs are drawn."""
    hand = math.copysign(1.0, float(np.linalg.det(flat)))
    corners = [np.array([c.x, c.y]) @ flat for c in profile.section]
    return ring([type(c)(float(p[0]), float(p[1]), hand * c.bulge) for c, p in zip(profile.section, corners, strict=True)])


def _counter_clockwise(corners: Floats) -> Floats:
    x, y = corners[:, 0], corners[:, 1]
    area = float(x @ np.roll(y, -1) - y @ np.roll(x, -1))
    return corners if area > 0 else corners[::-1]
