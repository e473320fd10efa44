"""Holes of two bodies that should be on one axis, and rods in holes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from build123.kernel.bodies import Pose, as_vec
from build123.kernel.faces import CylinderFace, Floats, ShapeFaces
from build123.model.frame import Frame, Vec, dot, norm, scale, sub
from build123.model.measured import BoreGap

TILT_COSINE = 0.9945
"""Axes up to 6 degrees apart may be meant as one: 3 mm over a hole 30 mm deep."""
OFFSET_MM = 3.0
"""Holes further apart than this, and than their radius, were not meant for each other."""
INSIDE_MM = 3.0
STRETCH_MM = 1e-3


@dataclass(frozen=True, slots=True)
class LocalBoreGap:
    """A pair of cylinders in the frame of body a."""

    axis: Vec
    at: Vec
    radius_a_mm: float
    radius_b_mm: float
    offset_mm: float
    length_mm: float
    depth_a_mm: float
    depth_b_mm: float

    def placed(self, a: str, b: str, frame: Frame) -> BoreGap:
        """The pair in the piece's frame, with `frame` the placement of a."""
        return BoreGap(
            a,
            b,
            frame.vector(self.axis),
            frame.point(self.at),
            self.radius_a_mm,
            self.radius_b_mm,
            self.offset_mm,
            self.length_mm,
            self.depth_a_mm,
            self.depth_b_mm,
        )


def bore_gaps(a: ShapeFaces, b: ShapeFaces, pose: Pose, reach_mm: float) -> tuple[LocalBoreGap, ...]:
    """Hole against hole where mouths meet within reach (or stretches overlap), and rod in hole. b lies in a's frame at `pose`."""
    found: list[LocalBoreGap] = []
    for ones, others, both in ((a.holes, b.holes, True), (a.rods, b.holes, False), (a.holes, b.rods, False)):
        for one, other in _close(ones, others, pose, reach_mm):
            gap = _mouths(one, other, reach_mm) if both else None
            gap = gap or _stretch(one, other)
            if gap is not None:
                found.append(gap)
    return tuple(found)


def _close(
    ones: tuple[CylinderFace, ...], others: tuple[CylinderFace, ...], pose: Pose, reach_mm: float
) -> Iterator[tuple[CylinderFace, CylinderFace]]:
    """Pairs nearly parallel whose axes come near each other; the second is given in the first's frame."""
    if not ones or not others:
        return
    base_a, tip_a = _ends(ones)
    base_b, tip_b = (pose.points(p) for p in _ends(others))
    far = reach_mm + max(OFFSET_MM, *(c.radius_mm for c in (*ones, *others)))
    low_a, high_a = np.minimum(base_a, tip_a), np.maximum(base_a, tip_a)
    low_b, high_b = np.minimum(base_b, tip_b) - far, np.maximum(base_b, tip_b) + far
    rows = np.nonzero(np.all((low_a <= high_b.max(axis=0)) & (high_a >= low_b.min(axis=0)), axis=1))[0]
    for i in rows.tolist():
        for j in np.nonzero(np.all((low_b <= high_a[i]) & (high_b >= low_a[i]), axis=1))[0].tolist():
            moved = _moved(others[j], base_b[j], tip_b[j])
            if abs(dot(ones[i].axis, moved.axis)) > TILT_COSINE:
                yield ones[i], moved


def _ends(faces: tuple[CylinderFace, ...]) -> tuple[Floats, Floats]:
    return np.array([f.base for f in faces]), np.array([f.tip for f in faces])


def _moved(face: CylinderFace, base: Floats, tip: Floats) -> CylinderFace:
    return CylinderFace(as_vec(base), as_vec(tip), face.radius_mm, face.hollow, face.whole, face.open_base, face.open_tip, face.point_mm)


def _open_ends(face: CylinderFace) -> list[tuple[Vec, Vec]]:
    """Open ends with the direction out of the wood."""
    axis = face.axis
    ends = [(face.base, scale(axis, -1.0))] if face.open_base else []
    return [*ends, (face.tip, axis)] if face.open_tip else ends


def _mouths(a: CylinderFace, b: CylinderFace, reach_mm: float) -> LocalBoreGap | None:
    best: tuple[float, Vec, Vec, Vec] | None = None
    for at_a, out_a in _open_ends(a):
        for at_b, out_b in _open_ends(b):
            apart = dot(sub(at_b, at_a), out_a)
            if dot(out_a, out_b) < 0 and -INSIDE_MM <= apart <= reach_mm and (best is None or abs(apart) < best[0]):
                best = (abs(apart), at_a, at_b, out_a)
    if best is None:
        return None
    _, at_a, at_b, out = best
    if max(_from_axis(at_b, a), _from_axis(at_a, b)) >= _limit(a, b):
        return None
    offset = max(*(_from_axis(p, a) for p in (b.base, b.tip)), *(_from_axis(p, b) for p in (a.base, a.tip)))
    middle = scale((at_a[0] + at_b[0], at_a[1] + at_b[1], at_a[2] + at_b[2]), 0.5)
    return LocalBoreGap(out, middle, a.radius_mm, b.radius_mm, round(offset, 9), 0.0, a.length_mm, b.length_mm)


def _stretch(a: CylinderFace, b: CylinderFace) -> LocalBoreGap | None:
    axis = a.axis
    b0, b1 = sorted((dot(sub(b.base, a.base), axis), dot(sub(b.tip, a.base), axis)))
    low, high = max(0.0, b0), min(a.length_mm, b1)
    if high - low < STRETCH_MM:
        return None
    ends = [tuple(a.base[k] + axis[k] * s for k in range(3)) for s in (low, high)]
    offset = max(_from_axis((p[0], p[1], p[2]), b) for p in ends)
    if offset >= _limit(a, b):
        return None
    middle = 0.5 * (low + high)
    at: Vec = (a.base[0] + axis[0] * middle, a.base[1] + axis[1] * middle, a.base[2] + axis[2] * middle)
    return LocalBoreGap(axis, at, a.radius_mm, b.radius_mm, round(offset, 9), high - low, a.length_mm, b.length_mm)


def _limit(a: CylinderFace, b: CylinderFace) -> float:
    return max(OFFSET_MM, a.radius_mm, b.radius_mm)


def _from_axis(p: Vec, face: CylinderFace) -> float:
    """Distance of a point from a cylinder's axis, without end."""
    rel, axis = sub(p, face.base), face.axis
    return norm(sub(rel, scale(axis, dot(rel, axis))))
