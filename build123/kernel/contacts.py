"""Plane faces of two bodies that look at each other, from the solids alone."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely

from build123.kernel.bodies import Pose
from build123.kernel.faces import Floats, PlaneFace, ShapeFaces, box_of
from build123.model.frame import Frame, Vec
from build123.model.measured import FaceGap

OPPOSED = 1.0 - 5e-9
"""Cosine above which two planes are parallel: 1e-4 rad, a tenth of a millimetre over a metre."""
INSIDE_MM = 3.0
"""Faces are followed this far into the other body. Deeper, and the bodies' common volume says more than a gap."""
LEAST_AREA_MM2 = 0.5
BETWEEN_MM = 1e-6
"""A face stands between two others when it is further than this from both (plan rounding)."""


@dataclass(frozen=True, eq=False)
class LocalGap:
    """A gap in the frame of body a; `rim` (n, 3) are the corners of the shared region on a's face."""

    normal: Vec
    gap_mm: float
    area_mm2: float
    at: Vec
    rim: Floats

    def placed(self, a: str, b: str, frame: Frame) -> FaceGap:
        """The gap in the piece's frame, with `frame` the placement of a."""
        turn = np.array([frame.x, frame.y, frame.z])
        near = box_of(self.rim @ turn + np.array(frame.origin))
        return FaceGap(a, b, frame.vector(self.normal), self.gap_mm, self.area_mm2, frame.point(self.at), near)


def face_gaps(a: ShapeFaces, b: ShapeFaces, pose: Pose, reach_mm: float) -> tuple[LocalGap, ...]:
    """All pairs of opposed plane faces from `INSIDE_MM` inside each other to `reach_mm` apart; b lies in a's frame at `pose`.

    Two faces look at each other where no third face of either body stands between them: so the space between is wholly
    air (gap above 0) or wholly wood of both (below 0). Where bodies are in each other, the faces count only over a region
    wider than the gap: a narrower one is the trace of two walls, which have a gap of their own. Each connected region of
    two faces is one entry.
    """
    if not a.planes or not b.planes:
        return ()
    pair = _Pair(a, b, pose)
    return tuple(gap for i, j in pair.candidates(reach_mm) for gap in pair.gaps(i, j, reach_mm))


class _Pair:
    def __init__(self, a: ShapeFaces, b: ShapeFaces, pose: Pose) -> None:
        self.a, self.b, self.pose = a, b, pose
        self.normals = pose.vectors(b.normals)
        self.offsets = b.offsets + self.normals @ pose.shift
        self.lows, self.highs = pose.boxes(b.lows, b.highs)

    def candidates(self, reach_mm: float) -> Iterator[tuple[int, int]]:
        """Faces i of a and j of b that are opposed and whose boxes come within reach."""
        far = max(reach_mm, INSIDE_MM)
        rows = np.nonzero(np.all((self.a.lows <= self.highs.max(axis=0) + far) & (self.a.highs >= self.lows.min(axis=0) - far), axis=1))[0]
        low, high = self.a.lows[rows].min(axis=0, initial=np.inf), self.a.highs[rows].max(axis=0, initial=-np.inf)
        columns = np.nonzero(np.all((self.lows <= high + far) & (self.highs >= low - far), axis=1))[0]
        opposed = self.a.normals[rows] @ self.normals[columns].T < -OPPOSED
        for r, c in np.argwhere(opposed).tolist():
            i, j = int(rows[r]), int(columns[c])
            if np.all(self.a.lows[i] <= self.highs[j] + far) and np.all(self.a.highs[i] >= self.lows[j] - far):
                yield i, j

    def outline(self, j: int, onto: PlaneFace) -> Any:
        """The outline of b's face j in the plane coordinates of a's face."""
        return flattened(self.b.planes[j], onto, self.pose)

    def gaps(self, i: int, j: int, reach_mm: float) -> Iterator[LocalGap]:
        """The regions where faces i and j look at each other."""
        face = self.a.planes[i]
        rough = -float(self.offsets[j]) - face.offset
        if not -INSIDE_MM - 1.0 <= rough <= reach_mm + 1.0:
            return
        region = shapely.intersection(face.outline, self.outline(j, face))
        if shapely.area(region) < LEAST_AREA_MM2:
            return
        if abs(rough) > 2 * BETWEEN_MM:
            region = self.seen(region, face, *sorted((face.offset, face.offset + rough)))
        for part in shapely.get_parts(region):
            area = float(shapely.area(part))
            if area < LEAST_AREA_MM2 or part.geom_type != "Polygon":
                continue
            centre = part.centroid
            at = face.point((centre.x, centre.y))
            gap = self.gap_at(at, face.normal, j)
            if not -INSIDE_MM <= gap <= reach_mm or (gap < 0 and 2 * area / part.length < -gap):
                continue
            yield LocalGap(face.normal, gap, area, at, face.points(np.asarray(part.exterior.coords)))

    def gap_at(self, at: Vec, normal: Vec, j: int) -> float:
        """From a point of a's face along its normal to b's face j."""
        n = self.normals[j]
        gap = (self.offsets[j] - n @ np.array(at)) / (n @ np.array(normal))
        return round(float(gap), 9) + 0.0

    def seen(self, region: Any, face: PlaneFace, low: float, high: float) -> Any:
        """The region less what third faces cover between the two."""
        normal = np.array(face.normal)
        for normals, offsets, mine in ((self.a.normals, self.a.offsets, True), (self.normals, self.offsets, False)):
            cosines = normals @ normal
            heights = offsets * np.sign(cosines)
            between = (np.abs(cosines) > OPPOSED) & (heights > low + BETWEEN_MM) & (heights < high - BETWEEN_MM)
            for k in np.nonzero(between)[0].tolist():
                cover = flattened(self.a.planes[k], face, None) if mine else self.outline(k, face)
                if shapely.intersects(region, cover):
                    region = shapely.difference(region, cover)
        return region


def flattened(face: PlaneFace, onto: PlaneFace, pose: Pose | None) -> Any:
    """The outline of `face`, placed by `pose`, seen square to the face `onto`, in the plane coordinates of `onto`."""
    axes, foot = np.array([face.u, face.v]), np.array(face.normal) * face.offset
    if pose is not None:
        axes, foot = pose.vectors(axes), pose.points(foot)
    plane = np.array([onto.u, onto.v]).T
    turn, shift = axes @ plane, foot @ plane
    return shapely.transform(face.outline, lambda flat: flat @ turn + shift)
