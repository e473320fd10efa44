"""Part marks on a pictorial: a number in a circle, and a leader that ends in a dot on the part (ISO 6433)."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np
import shapely

from build123.drawing.expand import expand
from build123.drawing.lettering import Rect
from build123.drawing.piece_lines import Place
from build123.drawing.piece_look import Picture
from build123.drawing.space import Space
from build123.drawing.vocabulary import Circle, Group, Item, Label, Leader, Pen
from build123.model.frame import Vec2
from build123.model.wireframe import Floats

RADIUS_MM = 4.0
FIGURE_MM = (2.8, 2.8, 2.2)
"""Height of one, two and three figures."""
FAR_MM = (7.0, 9.0, 12.0, 15.0, 19.0, 24.0, 30.0, 38.0, 48.0, 60.0, 75.0)
WAYS = 24
RANK_MM, CROSSING_MM = 2.0, 40.0
"""What a worse place of the dot and a crossed leader count, in length of leader."""
STEP_MM = 4
GRID = 7
"""Points tried along a side of each triangle."""


def anchors(picture: Picture, place: Place, ink: Sequence[tuple[Vec2, Vec2]]) -> dict[int, list[Vec2]]:
    """For each body points on what is seen of it, on paper, those farthest from any line first."""
    lines = shapely.STRtree([shapely.LineString(line) for line in ink])
    found: dict[int, list[Vec2]] = {}
    steps = [((i + 0.5) / GRID, (j + 0.5) / GRID) for i in range(GRID) for j in range(GRID - i) if i + j + 1 < GRID + 0.5]
    weights = np.array([(a, b, 1.0 - a - b) for a, b in steps if a + b < 1.0])
    for k in np.unique(picture.owner).tolist():
        triangles = picture.triangles[picture.owner == k]
        area = np.abs(np.cross(triangles[:, 1] - triangles[:, 0], triangles[:, 2] - triangles[:, 0])[:, 2])
        largest = triangles[np.argsort(-area, kind="stable")[:12]]
        points: Floats = np.einsum("wc,ncd->nwd", weights, largest).reshape(-1, 3)
        points = points[~picture.hidden(points)]
        if not len(points):
            continue
        paper = points[:, :2] * place.scale + np.array(place.origin)
        _, off = lines.query_nearest(shapely.points(paper), all_matches=False, return_distance=True)
        order = np.argsort(-np.round(off, 3), kind="stable")
        found[k] = [(float(paper[n, 0]), float(paper[n, 1])) for n in order]
    return found


class Balloons:
    """Places marks on the free paper about a picture."""

    def __init__(self, space: Space) -> None:
        self.space = space
        self.leaders: list[tuple[Vec2, Vec2]] = []

    def place(self, mark: str, points: Sequence[Vec2], body: str) -> Group | None:
        """One mark; None where there is no room."""
        best: tuple[float, Vec2, Vec2] | None = None
        for rank, at in enumerate(_spread(points)):
            for far, centre in _around(at):
                cost = far + rank * RANK_MM
                if best is not None and cost >= best[0]:
                    break
                if self._free(at, centre):
                    cost += self._crossings(at, centre) * CROSSING_MM
                    best = min(best, (cost, at, centre)) if best is not None else (cost, at, centre)
        if best is None:
            best = self._anywhere(points[0])
        if best is None:
            return None
        _, at, centre = best
        length, height = math.dist(at, centre), FIGURE_MM[min(len(mark), 3) - 1]
        rim = (centre[0] + (at[0] - centre[0]) * RADIUS_MM / length, centre[1] + (at[1] - centre[1]) * RADIUS_MM / length)
        items: tuple[Item, ...] = (
            Leader((at, rim), "dot"),
            Circle(centre, RADIUS_MM, Pen.thin),
            Label(mark, (centre[0], centre[1] - height / 2), height, "middle", bold=True),
        )
        self.leaders.append((at, rim))
        self.space.add_box(_box(centre))
        for item in items[:1]:
            for primitive in expand(item):
                self.space.add(primitive)
        return Group("note", items, (body,))

    def _anywhere(self, at: Vec2) -> tuple[float, Vec2, Vec2] | None:
        """The nearest free place on the sheet, whatever the leader crosses but text."""
        area = self.space.area
        columns = range(math.ceil(area.left + RADIUS_MM), math.floor(area.right - RADIUS_MM), STEP_MM)
        rows = range(math.ceil(area.bottom + RADIUS_MM), math.floor(area.top - RADIUS_MM), STEP_MM)
        spots = sorted((math.dist(at, (x, y)), (float(x), float(y))) for x in columns for y in rows)
        return next(((far, at, spot) for far, spot in spots if far > 2 * RADIUS_MM and self._free(at, spot)), None)

    def _free(self, at: Vec2, centre: Vec2) -> bool:
        return self.space.free(_box(centre)) and self.space.clear(at, centre)

    def _crossings(self, a: Vec2, b: Vec2) -> int:
        return sum(_cross(a, b, *other) for other in self.leaders)


def _cross(a: Vec2, b: Vec2, c: Vec2, d: Vec2) -> bool:
    """Whether two lines cross."""
    return _turn(a, b, c) * _turn(a, b, d) < 0 and _turn(c, d, a) * _turn(c, d, b) < 0


def _turn(a: Vec2, b: Vec2, c: Vec2) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def _box(centre: Vec2) -> Rect:
    return Rect(centre[0] - RADIUS_MM, centre[1] - RADIUS_MM, centre[0] + RADIUS_MM, centre[1] + RADIUS_MM)


def _spread(points: Sequence[Vec2]) -> Iterator[Vec2]:
    """The best points that lie some way from one another."""
    taken: list[Vec2] = []
    for p in points:
        if all(math.dist(p, other) > 5.0 for other in taken):
            taken.append(p)
            yield p
        if len(taken) == 8:
            return


def _around(at: Vec2) -> Iterator[tuple[float, Vec2]]:
    for far in FAR_MM:
        for k in range(WAYS):
            turn = math.tau * (k + 0.5) / WAYS
            yield far, (at[0] + far * math.cos(turn), at[1] + far * math.sin(turn))
