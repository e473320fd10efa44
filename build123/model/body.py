"""A convex body between six planes: what is seen of a part, and the same after its joints have moved its ends."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import TypeAlias

from build123.model.frame import PLAN_MM, Box, Frame, Plane, Vec, Vec2, add, cross, dot, scale, sub, unit

FaceTag: TypeAlias = tuple[int, int]
"""An end of a body: axis 0, 1, 2 of its frame and side -1 or +1."""

FACES: tuple[FaceTag, ...] = ((0, -1), (0, 1), (1, -1), (1, 1), (2, -1), (2, 1))

DIRECTIONS: dict[str, Vec] = {
    "left": (-1.0, 0.0, 0.0),
    "right": (1.0, 0.0, 0.0),
    "front": (0.0, -1.0, 0.0),
    "back": (0.0, 1.0, 0.0),
    "bottom": (0.0, 0.0, -1.0),
    "top": (0.0, 0.0, 1.0),
}
"""The words for the faces of a piece and where they look to."""


def meet_planes(a: Plane, b: Plane, c: Plane) -> Vec:
    """The point on three planes. ZeroDivisionError when two are parallel."""
    bc, ca, ab = cross(b.normal, c.normal), cross(c.normal, a.normal), cross(a.normal, b.normal)
    det = dot(a.normal, bc)
    if abs(det) < 1e-12:
        raise ZeroDivisionError("parallel planes")
    return scale(add(add(scale(bc, a.offset), scale(ca, b.offset)), scale(ab, c.offset)), 1.0 / det)


@dataclass(frozen=True, slots=True)
class Body:
    """Six planes in the piece's frame (mm), two for each axis of `axes`.

    `thickness_axis` is the axis that the stock's thickness lies on.
    """

    name: str
    axes: Frame
    planes: Mapping[FaceTag, Plane]
    thickness_axis: int

    def axis(self, k: int) -> Vec:
        """Unit vector of axis `k` in the piece."""
        return (self.axes.x, self.axes.y, self.axes.z)[k]

    def nominal_normal(self, face: FaceTag) -> Vec:
        """Where the face looks to if it is square."""
        return scale(self.axis(face[0]), float(face[1]))

    def looking(self, direction: Vec) -> FaceTag:
        """The face that looks most to a direction of the piece."""
        return max(FACES, key=lambda f: (round(dot(self.nominal_normal(f), direction), 9), f))

    def direction_of(self, face: FaceTag) -> str:
        """The word for where a face mostly looks to."""
        normal = self.nominal_normal(face)
        return max(DIRECTIONS, key=lambda w: round(dot(DIRECTIONS[w], normal), 9))

    def corners(self, face: FaceTag) -> list[Vec]:
        """The four corners of a face, counter-clockwise seen from outside."""
        b, c = [k for k in range(3) if k != face[0]]
        ring = [(-1, -1), (1, -1), (1, 1), (-1, 1)]
        if dot(cross(self.axis(b), self.axis(c)), self.nominal_normal(face)) < 0:
            ring.reverse()
        return [meet_planes(self.planes[face], self.planes[(b, i)], self.planes[(c, j)]) for i, j in ring]

    def all_corners(self) -> list[Vec]:
        """The eight corners."""
        return self.corners((2, -1)) + self.corners((2, 1))

    @property
    def box(self) -> Box:
        """The box around the body in the piece's frame."""
        return Box.around(self.all_corners())

    def moved(self, face: FaceTag, by_mm: float) -> Body:
        """With one end moved outwards."""
        planes = dict(self.planes)
        planes[face] = planes[face].moved(by_mm)
        return replace(self, planes=planes)

    def holds(self, p: Vec, within_mm: float = 0.0) -> bool:
        """Whether a point is inside, or outside by no more than `within_mm`."""
        return all(plane.distance(p) <= within_mm for plane in self.planes.values())

    def exit(self, p: Vec, direction: Vec) -> float:
        """How far one can go from `p` along a unit direction before leaving the body (negative when past it already)."""
        far = float("inf")
        for plane in self.planes.values():
            along = dot(plane.normal, direction)
            if along > 1e-12:
                far = min(far, -plane.distance(p) / along)
        return far

    def span(self, direction: Vec) -> tuple[float, float]:
        """Least and greatest coordinate along a unit direction, mm."""
        at = [dot(direction, p) for p in self.all_corners()]
        return min(at), max(at)


@dataclass(frozen=True, slots=True)
class Touching:
    """Where two bodies lie against each other: the faces, and the shared region as a polygon in the piece's frame.

    `normal` points out of `b`, towards `a`.
    """

    a_face: FaceTag
    b_face: FaceTag
    normal: Vec
    region: tuple[Vec, ...]
    area_mm2: float


def plane_frame(plane: Plane, along: Vec) -> Frame:
    """A frame on a plane: z its normal, x the part of `along` that lies in it."""
    x = unit(sub(along, scale(plane.normal, dot(along, plane.normal))))
    return Frame(scale(plane.normal, plane.offset), x, cross(plane.normal, x), plane.normal)


def clip(subject: list[Vec2], window: list[Vec2]) -> list[Vec2]:
    """The common part of two convex polygons, both counter-clockwise (Sutherland and Hodgman)."""
    out = subject
    for k, (ax, ay) in enumerate(window):
        bx, by = window[(k + 1) % len(window)]
        kept: list[Vec2] = []
        side = [(bx - ax) * (y - ay) - (by - ay) * (x - ax) for x, y in out]
        for n, p in enumerate(out):
            m = (n + 1) % len(out)
            if side[n] >= 0:
                kept.append(p)
            if (side[n] > 0 > side[m]) or (side[n] < 0 < side[m]):
                f = side[n] / (side[n] - side[m])
                kept.append((p[0] + f * (out[m][0] - p[0]), p[1] + f * (out[m][1] - p[1])))
        out = kept
        if len(out) < 3:
            return []
    return out


def area(polygon: list[Vec2]) -> float:
    """Signed area, positive when counter-clockwise."""
    return 0.5 * sum(polygon[k - 1][0] * polygon[k][1] - polygon[k][0] * polygon[k - 1][1] for k in range(len(polygon)))


LEAST_CONTACT_MM2 = 1.0
"""A smaller common face is a touch at an edge or a corner (common practice: nothing can be joined there)."""


def touching(a: Body, b: Body) -> list[Touching]:
    """Every pair of faces of two bodies that lie against each other, the largest first."""
    if not a.box.grown(PLAN_MM).meets(b.box):
        return []
    found = []
    for fa, pa in a.planes.items():
        for fb, pb in b.planes.items():
            if abs(dot(pa.normal, pb.normal) + 1.0) > 1e-9 or abs(pa.offset + pb.offset) > PLAN_MM:
                continue
            frame = plane_frame(pb, b.axis((fb[0] + 1) % 3))
            on_a = [frame.local_point(p)[:2] for p in a.corners(fa)]
            on_b = [frame.local_point(p)[:2] for p in b.corners(fb)]
            shared = clip(list(reversed(on_a)), on_b)
            size = area(shared) if shared else 0.0
            if size >= LEAST_CONTACT_MM2:
                found.append(Touching(fa, fb, pb.normal, tuple(frame.point((x, y, 0.0)) for x, y in shared), size))
    return sorted(found, key=lambda t: -t.area_mm2)


def apart(a: Body, b: Body) -> tuple[float, str]:
    """How far two bodies are from meeting: the widest gap along an axis of the piece, and which way b lies from a.

    0 with an empty word when their boxes meet.
    """
    box_a, box_b = a.box, b.box
    gaps = [(box_b.low[k] - box_a.high[k], ("right", "back", "top")[k]) for k in range(3)]
    gaps += [(box_a.low[k] - box_b.high[k], ("left", "front", "bottom")[k]) for k in range(3)]
    gap, way = max(gaps)
    return (gap, way) if gap > PLAN_MM else (0.0, "")
