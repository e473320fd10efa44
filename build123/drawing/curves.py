"""Arcs that were followed in steps, as arcs again."""

from __future__ import annotations

import math
from collections.abc import Sequence

from build123.model.frame import Vec2

_LEAST = 3
"""Steps that make an arc."""


def with_arcs(points: Sequence[Vec2]) -> tuple[tuple[float, float, float], ...]:
    """A run of points as (x, y, bulge): steps of one length and one turn are joined to one arc."""
    done: list[tuple[float, float, float]] = []
    k = 0
    while k < len(points) - 1:
        end = _arc_end(points, k)
        if end - k >= _LEAST:
            turn = _turn(points, k + 1) * (end - k)
            if abs(turn) < 1.95 * math.pi:
                done.append((*points[k], math.tan(turn / 4)))
                k = end
                continue
        done.append((*points[k], 0.0))
        k += 1
    done.append((*points[-1], 0.0))
    return tuple(done)


def _length(points: Sequence[Vec2], k: int) -> float:
    return math.dist(points[k], points[k + 1])


def _turn(points: Sequence[Vec2], k: int) -> float:
    (ax, ay), (bx, by), (cx, cy) = points[k - 1], points[k], points[k + 1]
    one, two = math.atan2(by - ay, bx - ax), math.atan2(cy - by, cx - bx)
    return (two - one + math.pi) % math.tau - math.pi


def _arc_end(points: Sequence[Vec2], start: int) -> int:
    end = start + 1
    if end + 1 >= len(points):
        return end
    length, turn = _length(points, start), _turn(points, start + 1)
    if not 0.01 < abs(turn) < 0.3:
        return end
    while end + 1 < len(points) and abs(_length(points, end) - length) < 0.003 and abs(_turn(points, end) - turn) < 0.01:
        end += 1
    return end
