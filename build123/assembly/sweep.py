"""Whether one body, moved along a straight line without end, runs into another. Exact for plane faces."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np
import shapely

from build123.assembly.profile import Floats, Profile, Side, facets, is_round, profile_of
from build123.kernel.bodies import Pose
from build123.kernel.moves import common_depth_mm, thinned
from build123.model.frame import Vec, scale
from build123.model.part import Hardware, Part

if TYPE_CHECKING:
    from build123.kernel.store import Store

DEEP_MM = 1e-3
"""What reaches less deep into another body does not collide: the limit of the interference check."""
CHORDS_MM = 0.25
"""A strip narrower than this beside a curved face may be chords only (0.1 mm on either body): the geometry kernel decides."""
BITE_MM = 1.0
"""How far one body is moved into the other for that decision."""

DECIDED = 4
"""How many narrow strips are put to the geometry kernel, the widest first; each time it looks at the whole of both bodies."""


@dataclass(frozen=True, slots=True)
class Strip:
    """Where two bodies seem to meet: how wide it is, and how far the mover goes until it is through."""

    width_mm: float
    gone_mm: float


class Sweeps:
    """Tries moves of pairs of bodies. Profiles and answers are kept by shape and pose, so equal pairs are tried once."""

    def __init__(self, store: Store) -> None:
        self._store = store
        self._profiles: dict[tuple[str, Vec], Profile] = {}
        self._round: dict[str, bool] = {}
        self._found: dict[tuple[object, ...], bool] = {}
        self.tried = 0

    def meets(self, a: Part | Hardware, b: Part | Hardware, direction: Vec, slack_mm: float = 0.0) -> bool:
        """Whether `a`, moved along a unit vector of the piece for ever, runs more than a hair (and `slack_mm`) deep into `b`.

        `slack_mm` is how deep the two are in each other where they stand: a press fit is no obstacle to its own parts.
        """
        pose = Pose.of(a.placement, b.placement)
        x, y, z = (round(c, 9) + 0.0 for c in a.placement.local_vector(direction))
        key = (a.shape_key, b.shape_key, pose.key, (x, y, z), slack_mm)
        if key not in self._found:
            self.tried += 1
            self._found[key] = self._collides(a, b, pose, (x, y, z), direction, DEEP_MM + slack_mm)
        return self._found[key]

    def _collides(self, a: Part | Hardware, b: Part | Hardware, pose: Pose, ahead: Vec, direction: Vec, deep_mm: float) -> bool:
        p = self._profile(a, ahead)
        turned = pose.turn.T @ np.array(ahead)
        q = self._profile(b, (round(float(turned[0]), 9) + 0.0, round(float(turned[1]), 9) + 0.0, round(float(turned[2]), 9) + 0.0))
        onto = np.array([p.u, p.v])
        turn = onto @ pose.turn @ np.array([q.u, q.v]).T
        front = q.front.moved(turn, onto @ pose.shift, float(np.array(ahead) @ pose.shift))
        thin: list[Strip] = []
        for strip in _strips(p.back, front, deep_mm):
            if strip.width_mm > CHORDS_MM or not (self._is_round(a) or self._is_round(b)):
                return True
            thin.append(strip)
        for strip in sorted(thin, key=lambda one: -one.width_mm)[:DECIDED]:
            back_mm = max(strip.gone_mm - BITE_MM, 0.5 * strip.gone_mm)
            if common_depth_mm(a, b, scale(direction, back_mm), self._store) > deep_mm:
                return True
        return False

    def _is_round(self, body: Part | Hardware) -> bool:
        if body.shape_key not in self._round:
            mesh = self._store.mesh(body)
            self._round[body.shape_key] = is_round(facets(mesh.vertices, mesh.faces)[1])
        return self._round[body.shape_key]

    def _profile(self, body: Part | Hardware, ahead: Vec) -> Profile:
        key = (body.shape_key, ahead)
        if key not in self._profiles:
            mesh = self._store.mesh(body)
            self._profiles[key] = profile_of(thinned(body, mesh.vertices), mesh.faces, ahead)
        return self._profiles[key]


def _strips(back: Side, front: Side, deep_mm: float) -> Iterator[Strip]:
    """Where a face of the mover that looks back lies before a face of the other that looks ahead; the likeliest first."""
    room = np.minimum(back.high[:, None], front.high[None]) - np.maximum(back.low[:, None], front.low[None])
    rows, columns = np.nonzero(np.all(room > deep_mm, axis=2) & (back.least[:, None] < front.most[None] - deep_mm))
    size = room[rows, columns].prod(axis=1)
    for k in np.argsort(-size, kind="stable").tolist():
        i, j = int(rows[k]), int(columns[k])
        region = shapely.intersection(back.outlines[i], front.outlines[j])
        slope, base = front.slope[j] - back.slope[i], float(front.base[j] - back.base[i])
        if np.any(slope != 0.0):
            region = shapely.intersection(region, _above(slope, base - deep_mm, region))
        for part in shapely.get_parts(region):
            if part.length > 0 and (width := 2 * part.area / part.length) > deep_mm:
                at = part.representative_point()
                gone = base + float(slope @ np.array([at.x, at.y]))
                if gone > deep_mm:
                    yield Strip(width, gone)


def _above(slope: Floats, base: float, region: Any) -> Any:
    """The half-plane where `base` + `slope` . p > 0, as far as a region goes."""
    if region.is_empty:
        return region
    x0, y0, x1, y1 = region.bounds
    middle = np.array([0.5 * (x0 + x1), 0.5 * (y0 + y1)])
    reach = 2.0 * float(np.hypot(x1 - x0, y1 - y0)) + 1.0
    steep = float(np.hypot(*slope))
    up = slope / steep
    foot = middle - up * (base + float(slope @ middle)) / steep
    foot = foot + np.array([-up[1], up[0]]) * float((middle - foot) @ np.array([-up[1], up[0]]))
    along = np.array([-up[1], up[0]]) * reach
    far = up * (reach + float(np.linalg.norm(middle - foot)))
    return shapely.Polygon([foot - along, foot + along, foot + along + far, foot - along + far])
