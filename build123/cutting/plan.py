"""From a part's features to the files that are cut of it."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field, replace

import shapely

from build123.cutting.clearing import clear, outline, run_through
from build123.cutting.flat import Flat, flat_of, less
from build123.cutting.holes import hole_operations
from build123.cutting.operation import CutFace, Operation, Relieved, Remark, Side
from build123.cutting.relief import reliefs
from build123.cutting.remarks import elsewhere, remark, several
from build123.cutting.shapes import Taken, pocket_taken, trench_taken
from build123.cutting.sides import SIDES, extent, side_of
from build123.drawing.wording import side_name
from build123.model.feature import EndKind, Feature, Hole, Mark, Pocket, Profile, Purpose, Surface, Trench, Trim, Vertex
from build123.model.frame import Plane, Vec2
from build123.model.part import Part
from build123.trade.cutters import Cutter

SEATS = frozenset({Purpose.seat, Purpose.housing, Purpose.shoulder})
"""Something square comes home in what is cut for these."""
UPRIGHT = 1e-9
"""A trim whose normal has less than this along the thickness stands square to the face."""
FAR = 4.0
"""A half-plane is drawn this many times as large as the part."""


@dataclass
class _Work:
    """What is cut from one side; each region with whether something seats in it."""

    taken: list[tuple[Taken, bool]] = field(default_factory=list)
    holes: list[Operation] = field(default_factory=list)
    remarks: list[Remark] = field(default_factory=list)
    features: list[Feature] = field(default_factory=list)


@dataclass
class _Sorted:
    """A part's features by how they are cut. `through` are regions as seen from above."""

    work: dict[Surface, _Work]
    through: list[tuple[Taken, bool]] = field(default_factory=list)
    trims: list[Plane] = field(default_factory=list)
    told: list[Feature] = field(default_factory=list)


def cut_part(part: Part, cutters: Sequence[Cutter]) -> tuple[CutFace, ...]:
    """The files of a part in the order in which they are cut: flat ones, of which the last frees it, then edges and ends.

    `cutters` are those of one system of units, the largest first.
    """
    found = _sorted(part, cutters)
    flats: list[Surface] = [s for s in ("+z", "-z") if found.work[s].taken or found.work[s].holes] or ["+z"]
    edges = [s for s in SIDES if s[1] != "z" and (found.work[s].taken or found.work[s].holes)]
    files = [*flats, *edges]
    return tuple(_face(part, surface, files, surface == flats[-1], found, cutters) for surface in files)


def _sorted(part: Part, cutters: Sequence[Cutter]) -> _Sorted:
    found = _Sorted({surface: _Work() for surface in SIDES})
    for feature in part.features:
        shape = feature.geometry
        side = _cut_from(part, feature)
        if isinstance(shape, Trim) and abs(shape.plane.normal[2]) < UPRIGHT:
            found.trims.append(shape.plane)
        elif side is None:
            found.told.append(feature)
        else:
            _take(part, side, feature, found, cutters)
    return found


def _cut_from(part: Part, feature: Feature) -> Side | None:
    """The side that a feature is cut from with a cutter square to it; None for what is only told."""
    shape = feature.geometry
    match shape:
        case Trench():
            scooped = EndKind.scoop in (shape.start_end.kind, shape.end_end.kind)
            return None if shape.lean_deg or shape.flare_deg or scooped else side_of(part, shape.datum)
        case Pocket():
            return None if shape.far_outline not in (None, shape.outline) else side_of(part, shape.datum)
        case Hole():
            return side_of(part, shape.datum) if shape.axis[2] < UPRIGHT - 1 else None
        case Trim() | Profile() | Mark():
            return None


def _take(part: Part, side: Side, feature: Feature, found: _Sorted, cutters: Sequence[Cutter]) -> None:
    shape, own = feature.geometry, found.work[side.surface]
    own.features.append(feature)
    if isinstance(shape, Hole):
        made, remarks = hole_operations(part, side, feature, shape, cutters)
        own.holes += made
        own.remarks += remarks
        return
    seats = feature.about.purpose in SEATS
    taken = _taken(part, side, feature)
    if taken.through and side.surface[1] == "z":
        # Cut with the outline, from whichever face that is: seen from above for now.
        found.through.append((_taken(part, SIDES["+z"], feature), seats))
    else:
        own.taken.append((taken, seats))


def _taken(part: Part, side: Side, feature: Feature) -> Taken:
    shape = feature.geometry
    assert isinstance(shape, Trench | Pocket)
    return trench_taken(part, side, shape) if isinstance(shape, Trench) else pocket_taken(part, side, shape)


def _face(part: Part, surface: Surface, files: Sequence[Surface], outlined: bool, found: _Sorted, cutters: Sequence[Cutter]) -> CutFace:
    side, work = SIDES[surface], found.work[surface]
    low, high, deep = extent(part, side)
    solid = _box(low, high)
    freeing: list[Operation] = []
    if side.surface[1] == "z":
        trimmed, solid = _freed(part, found)
        circles: Sequence[Relieved] = reliefs(found.through, trimmed, cutters)
        if surface == "-z":
            solid = _turned(solid)
            circles = [replace(one, at=(0.0 - one.at[0], one.at[1])) for one in circles]
        if outlined:
            freeing = [*circles, *outline(solid, deep, cutters)]
    taken = [one for one, _ in work.taken]
    operations: list[Operation] = [*clear(taken, solid, (low, high), cutters), *reliefs(work.taken, solid, cutters)]
    operations += [*dict.fromkeys(work.holes), *freeing]
    remarks = [several(one, times) for one, times in Counter(work.remarks).items()]
    remarks += [made for one in found.told if _home(part, one, files, found) == surface and (made := remark(part, side, one))]
    if side.surface[1] == "z":
        others = Counter((s, elsewhere(part, one)) for s in files if s != surface for one in found.work[s].features)
        remarks += [Remark(f"{side_name(part, s)}: {times} x {text}; see its own file") for (s, text), times in others.items()]
    name = side_name(part, surface)
    return CutFace(part, side, name, low, high, deep, files.index(surface) + 1, len(files), outlined, tuple(operations), tuple(remarks))


def _home(part: Part, feature: Feature, files: Sequence[Surface], found: _Sorted) -> Surface:
    """The file that tells of what no operation takes: its own side's, else the one that cuts the part free."""
    shape = feature.geometry
    own = side_of(part, shape.datum) if isinstance(shape, Trench | Pocket | Hole | Mark) else None
    if own is not None and own.surface in files:
        return own.surface
    return [s for s in files if s[1] == "z"][-1]


def _box(low: Vec2, high: Vec2) -> Flat:
    return flat_of((Vertex(*low), Vertex(high[0], low[1]), Vertex(*high), Vertex(low[0], high[1])))


def _freed(part: Part, found: _Sorted) -> tuple[Flat, Flat]:
    """The part as seen from above after its upright trims, and after all that goes through it."""
    size = (part.length_mm, part.width_mm)
    trimmed = less(_box((0.0, 0.0), size), [_beyond(plane, FAR * math.hypot(*size)) for plane in found.trims])
    return trimmed, less(trimmed, [run_through(one, trimmed, ((0.0, 0.0), size)) for one, _ in found.through])


def _beyond(plane: Plane, far: float) -> Flat:
    """All outside of an upright plane, as far as it matters."""
    nx, ny, _ = plane.normal
    x, y = nx * plane.offset, ny * plane.offset
    corners = (
        (x + ny * far, y - nx * far),
        (x + (nx + ny) * far, y + (ny - nx) * far),
        (x + (nx - ny) * far, y + (ny + nx) * far),
        (x - ny * far, y + nx * far),
    )
    return flat_of(tuple(Vertex(*p) for p in corners))


def _turned(flat: Flat) -> Flat:
    """The same wood from below, turned over end for end."""
    rounds = tuple((0.0 - x, y, r) for x, y, r in flat.rounds)
    return Flat(shapely.transform(flat.shape, lambda p: p * [-1.0, 1.0]), rounds)
