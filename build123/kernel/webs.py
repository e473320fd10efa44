"""Wood left between faces of one part that look away from each other: under a trench, between trenches, a thin fin."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np
import shapely

from build123.kernel.contacts import BETWEEN_MM, LEAST_AREA_MM2, OPPOSED, flattened
from build123.kernel.faces import PlaneFace, ShapeFaces
from build123.model.frame import scale, sub
from build123.model.measured import Web

UNCUT_MM = 1e-6
"""A web as thick as the whole part in that direction (plan rounding) is the part itself, not something left over."""


def webs_of(faces: ShapeFaces) -> tuple[Web, ...]:
    """All webs of a solid in its own frame, thinnest first.

    Two parallel faces with opposite outward normals bound a web where they lie over one another with no third face
    between them, so that the space between is wholly wood. The part's own length, width and thickness are left out, and
    so is anything under 0.5 mm2. Only parallel plane faces bound webs: a leaning wall bounds none.
    """
    found = [web for i in range(len(faces.planes)) for web in _webs(faces, i)]
    return tuple(sorted(found, key=lambda w: (w.thickness_mm, w.at, w.normal)))


def _webs(faces: ShapeFaces, i: int) -> Iterator[Web]:
    face = faces.planes[i]
    cosines = faces.normals @ faces.normals[i]
    heights = faces.offsets * np.sign(cosines)
    thick = face.offset - heights
    over = np.all(_flat_overlap(faces, i), axis=1)
    facing = np.nonzero((cosines < -OPPOSED) & (thick > UNCUT_MM) & (thick < _extent(faces, face) - UNCUT_MM) & over)[0]
    for j in facing[facing > i].tolist():
        region = shapely.intersection(face.outline, flattened(faces.planes[j], face, None))
        if shapely.area(region) < LEAST_AREA_MM2:
            continue
        between = (np.abs(cosines) > OPPOSED) & (heights > heights[j] + BETWEEN_MM) & (heights < face.offset - BETWEEN_MM) & over
        for k in np.nonzero(between)[0].tolist():
            cover = flattened(faces.planes[k], face, None)
            if shapely.intersects(region, cover):
                region = shapely.difference(region, cover)
        yield from _parts(region, face, float(thick[j]))


def _parts(region: Any, face: PlaneFace, thickness_mm: float) -> Iterator[Web]:
    for part in shapely.get_parts(region):
        area = float(shapely.area(part))
        if part.geom_type == "Polygon" and area >= LEAST_AREA_MM2:
            centre = part.centroid
            middle = sub(face.point((centre.x, centre.y)), scale(face.normal, 0.5 * thickness_mm))
            yield Web(round(thickness_mm, 9), area, middle, face.normal)


def _extent(faces: ShapeFaces, face: PlaneFace) -> float:
    return sum(abs(n) * s for n, s in zip(face.normal, faces.box.size, strict=True))


def _flat_overlap(faces: ShapeFaces, i: int) -> Any:
    """Which faces' boxes lie over face i's: exact along the bench axes that are not its normal, always true along it."""
    square = np.abs(faces.normals[i]) > BETWEEN_MM
    return square | ((faces.lows <= faces.highs[i] - BETWEEN_MM) & (faces.highs >= faces.lows[i] + BETWEEN_MM))
