"""When two parts are one part: a form of the geometry that no name, place or choice of datum changes."""

from __future__ import annotations

import hashlib
import math
from dataclasses import dataclass
from typing import Any

from typing_extensions import assert_never

from build123.model.feature import Feature, Geometry, Hole, Mark, Outline, Pocket, Profile, Trench, Trim
from build123.model.frame import Frame, Plane, Vec, add, cross, scale

Form = tuple[Any, ...]

TURNS: tuple[tuple[bool, bool, bool], ...] = ((False, False, False), (True, True, False), (True, False, True), (False, True, True))
"""The half turns of a blank onto itself, as the axes that they turn round: as it lies, about z, about y, about x."""

_ROUND = 1e6
"""Numbers are compared to 1e-6 mm (design, "Equal parts must hash equal")."""


@dataclass(frozen=True, slots=True)
class Turn:
    """A symmetry of the blank's box: along each flipped axis p becomes size - p. An odd number of flips is a reflection."""

    flips: tuple[bool, bool, bool]
    size: Vec
    flat: int | None = None

    def through(self, direction: Vec) -> Turn:
        """The same for what goes right through along an axis: from which face it was started does not count."""
        axis = next((k for k in range(3) if abs(direction[k]) == 1.0), None)
        return Turn(self.flips, self.size, axis)

    def point(self, p: Vec) -> tuple[int, int, int]:
        """A point, moved and rounded."""
        moved = [s - c if f else c for f, s, c in zip(self.flips, self.size, p, strict=True)]
        if self.flat is not None:
            moved[self.flat] = 0.0
        return _rounded((moved[0], moved[1], moved[2]))

    def vector(self, v: Vec) -> tuple[int, int, int]:
        """A direction, moved and rounded."""
        moved = [-c if f else c for f, c in zip(self.flips, v, strict=True)]
        if self.flat is not None:
            moved[self.flat] = abs(moved[self.flat])
        return _rounded((moved[0], moved[1], moved[2]))


def _rounded(v: Vec) -> tuple[int, int, int]:
    return (round(v[0] * _ROUND), round(v[1] * _ROUND), round(v[2] * _ROUND))


def _number(value: float) -> int:
    return round(value * _ROUND)


def _segments(frame: Frame, outline: Outline, turn: Turn, z: float = 0.0) -> Form:
    """An outline as its lines and arcs (by their middles), in no order and no sense."""
    found = []
    for k, a in enumerate(outline):
        b = outline[(k + 1) % len(outline)]
        middle = ((a.x + b.x) / 2 + a.bulge * (b.y - a.y) / 2, (a.y + b.y) / 2 - a.bulge * (b.x - a.x) / 2)
        ends = sorted(turn.point(frame.point((p.x, p.y, z))) for p in (a, b))
        found.append((ends[0], ends[1], turn.point(frame.point((middle[0], middle[1], z)))))
    return tuple(sorted(found))


def form_of(geometry: Geometry, turn: Turn) -> Form:
    """A feature's geometry as numbers, after a turn of the blank."""
    match geometry:
        case Trim(plane):
            return _trim(plane, turn)
        case Trench():
            return _trench(geometry, turn)
        case Pocket(datum, outline, islands, depth, far):
            if depth is None and far is None:
                turn = turn.through(datum.frame.z)
            return (
                "pocket",
                turn.vector(datum.frame.z),
                _segments(datum.frame, outline, turn),
                tuple(sorted(_segments(datum.frame, i, turn) for i in islands)),
                -1 if depth is None else _number(depth),
                () if far is None else _segments(datum.frame, far, turn, -(depth or 0.0)),
            )
        case Hole(datum, point, steps, axis, through, tip, slot):
            if through and len(steps) == 1:
                turn = turn.through(datum.frame.vector(axis))
            slots = sorted(turn.vector(datum.frame.vector((s * slot[0], s * slot[1], 0.0))) for s in (1.0, -1.0))
            return (
                "hole",
                turn.point(datum.frame.point((point[0], point[1], 0.0))),
                turn.vector(datum.frame.vector(axis)),
                turn.vector(datum.frame.z),
                tuple((_number(s.diameter_mm), _number(s.depth_mm), _number(s.cone_deg)) for s in steps),
                through,
                _number(tip),
                slots[0],
            )
        case Profile(start, end, u, v, section, run_start, run_end):
            first = Frame(start, u, v, cross(u, v))
            last = Frame(end, u, v, cross(u, v))
            runs = sorted([(turn.point(start), _number(run_start)), (turn.point(end), _number(run_end))])
            return ("profile", tuple(sorted([_segments(first, section, turn), _segments(last, section, turn)])), tuple(runs))
        case Mark():
            return ()
        case _:
            assert_never(geometry)


def _trim(plane: Plane, turn: Turn) -> Form:
    normal = turn.vector(plane.normal)
    on = tuple(s - c if f else c for f, s, c in zip(turn.flips, turn.size, scale(plane.normal, plane.offset), strict=True))
    turned = tuple(-c if f else c for f, c in zip(turn.flips, plane.normal, strict=True))
    return ("trim", normal, _number(sum(a * b for a, b in zip(on, turned, strict=True))))


def _trench(t: Trench, turn: Turn) -> Form:
    frame = t.datum.frame
    start, end = frame.point((*t.start, 0.0)), frame.point((*t.end, 0.0))
    dx, dy = t.end[0] - t.start[0], t.end[1] - t.start[1]
    length = math.hypot(dx, dy)
    left = frame.vector((-dy / length, dx / length, 0.0))
    lean = math.radians(t.lean_deg)
    down = add(scale(frame.z, -math.cos(lean)), scale(left, math.sin(lean)))
    ends = sorted((turn.point(p), e.kind.value, _number(e.radius_mm)) for p, e in ((start, t.start_end), (end, t.end_end)))
    sides = sorted((turn.vector(v), o) for v, o in ((left, t.open_left), (scale(left, -1.0), t.open_right)))
    return (
        "trench",
        tuple(ends),
        tuple(sides),
        turn.vector(frame.z),
        turn.vector(down),
        _number(t.width_mm),
        _number(t.depth_mm),
        _number(t.flare_deg),
    )


def forms(features: tuple[Feature, ...], turn: Turn) -> Form:
    """All features of a part, in no order."""
    found = {form_of(f.geometry, turn) for f in features}
    return tuple(sorted((f for f in found if f), key=repr))


def key_of(form: Form, size: Vec) -> str:
    """A short name of a form."""
    text = repr((_rounded(size), form))
    return hashlib.sha256(text.encode()).hexdigest()[:16]


def same(a: Form, b: Form) -> bool:
    """Whether two forms are one but for rounding, whatever the order of their features."""
    if a == b:
        return True
    if len(a) != len(b):
        return False
    left = list(b)
    for one in a:
        k = next((k for k, other in enumerate(left) if _near(one, other)), None)
        if k is None:
            return False
        del left[k]
    return True


def _near(a: Any, b: Any) -> bool:
    """Equal, or numbers that rounding has put on two sides of a step (the sixth place, twice)."""
    if isinstance(a, tuple):
        return isinstance(b, tuple) and len(a) == len(b) and all(_near(p, q) for p, q in zip(a, b, strict=True))
    if isinstance(a, int) and isinstance(b, int) and not isinstance(a, bool):
        return abs(a - b) <= 2
    return bool(a == b)
