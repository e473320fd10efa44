"""From a body in the piece with features in the piece's frame to a part on the bench: blank, trims, pose, keys."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import cast

from build123.model.body import DIRECTIONS, FACES, Body, FaceTag
from build123.model.feature import (
    About,
    Datum,
    Feature,
    Geometry,
    Hole,
    Mark,
    Outline,
    Pocket,
    Profile,
    Purpose,
    Surface,
    Trench,
    Trim,
    Vertex,
)
from build123.model.frame import PLAN_MM, Frame, Vec, add, cross, dot, scale
from build123.model.part import Direction, Part, Stock
from build123.model.why import Why
from build123.problem import Span
from build123.resolve.keys import TURNS, Form, Turn, forms, key_of, same
from build123.resolve.tidy import tidy
from build123.resolve.trenches import settle

SURFACES: tuple[tuple[Surface, Vec], ...] = (
    ("+x", (1.0, 0.0, 0.0)),
    ("-x", (-1.0, 0.0, 0.0)),
    ("+y", (0.0, 1.0, 0.0)),
    ("-y", (0.0, -1.0, 0.0)),
    ("+z", (0.0, 0.0, 1.0)),
    ("-z", (0.0, 0.0, -1.0)),
)


@dataclass(frozen=True, slots=True)
class Sawn:
    """What is known of a part before it is laid on the bench. `features` are in the piece's frame."""

    name: str
    family: str
    path: tuple[str, ...]
    made_up: str
    loose: bool
    stock: Stock
    body: Body
    grain_axis: int
    show: str
    ends: dict[FaceTag, Why]
    sizes: dict[str, Why]
    as_cut: tuple[str, ...]
    features: list[Feature]
    span: Span | None = None


@dataclass(frozen=True, slots=True)
class Laid:
    """A distinct part with its form as it lies, and the forms of its mirror image."""

    part: Part
    form: Form
    mirrored: tuple[Form, ...]


class Bench:
    """Lays parts down one after the other, each in the pose of an earlier equal one where there is one."""

    def __init__(self) -> None:
        self._laid: dict[tuple[Vec, int], list[Laid]] = {}
        self._parts: list[Part] = []

    def lay(self, sawn: Sawn) -> None:
        """Put a part on the bench."""
        body = sawn.body
        frame, size = _pose(body, _worked_face(sawn), sawn.grain_axis)
        features = _on_bench(sawn, body, frame, size)
        allowed = [turn for turn in TURNS if _keeps_up(features, turn)]
        alike = self._laid.setdefault((tuple(round(s, 6) for s in size), len(features)), [])  # type: ignore[arg-type]
        form = forms(tuple(features), Turn(TURNS[0], size))
        for turn in allowed:
            turned = forms(tuple(features), Turn(turn, size))
            first = next((laid for laid in alike if same(turned, laid.form)), None)
            if first is not None:
                if any(turn):
                    frame = _half_turn(frame, size, turn)
                    features = _on_bench(sawn, body, frame, size)
                self._parts.append(_part(sawn, frame, size, features, first.part.shape_key))
                return
        part = _part(sawn, frame, size, features, key_of(form, size))
        mirrored = tuple(forms(tuple(features), Turn((f[0], not f[1], f[2]), size)) for f in allowed)
        alike.append(Laid(part, form, mirrored))
        self._parts.append(part)

    def parts(self) -> tuple[Part, ...]:
        """All parts in the order in which they were laid down, told which others are of opposite hand."""
        hands: dict[str, str] = {}
        for alike in self._laid.values():
            for one in alike:
                other = next((laid for laid in alike if any(same(m, laid.form) for m in one.mirrored)), None)
                size = (one.part.length_mm, one.part.width_mm, one.part.thickness_mm)
                hands[one.part.shape_key] = other.part.shape_key if other else key_of(one.mirrored[0], size)
        return tuple(replace(part, hand_key=hands[part.shape_key]) for part in self._parts)


def _part(sawn: Sawn, frame: Frame, size: Vec, features: list[Feature], key: str) -> Part:
    looks = {surface: _word(frame.vector(normal)) for surface, normal in SURFACES}
    return Part(
        name=sawn.name,
        stock=sawn.stock,
        placement=tidy(frame),
        length_mm=size[0],
        width_mm=size[1],
        thickness_mm=size[2],
        features=tuple(sorted(features, key=lambda f: f.about.id)),
        looks=looks,
        show=next(surface for surface, word in looks.items() if word == sawn.show and surface in ("+z", "-z")),
        shape_key=key,
        hand_key="",
        family=sawn.family,
        path=sawn.path,
        made_up=sawn.made_up,
        loose=sawn.loose,
        sizes=sawn.sizes,
        as_cut=sawn.as_cut,
        span=sawn.span,
    )


def _word(direction: Vec) -> Direction:
    return cast(Direction, max(DIRECTIONS, key=lambda w: round(dot(DIRECTIONS[w], direction), 9)))


def _worked_face(sawn: Sawn) -> FaceTag:
    """The thickness face that is cut most; the one that is not seen where both are cut alike."""
    axis = sawn.body.thickness_axis
    count = {-1: 0, 1: 0}
    for feature in sawn.features:
        geometry = feature.geometry
        if isinstance(geometry, Mark | Trim | Profile) or (isinstance(geometry, Pocket) and geometry.depth_mm is None):
            continue
        along = dot(geometry.datum.frame.z, sawn.body.axis(axis))
        if abs(along) > 0.5:
            count[1 if along > 0 else -1] += 1
    if count[-1] != count[1]:
        return (axis, -1 if count[-1] > count[1] else 1)
    seen = sawn.body.looking(DIRECTIONS[sawn.show])
    return (axis, -seen[1]) if seen[0] == axis else (axis, 1)


def _pose(body: Body, up: FaceTag, grain_axis: int) -> tuple[Frame, Vec]:
    """The bench frame: worked face up, front (else lower, else left) edge towards the reader, and the blank's size."""
    z = body.nominal_normal(up)
    width_axis = next(k for k in range(3) if k not in (up[0], grain_axis))
    y = body.axis(width_axis)
    big = max(range(3), key=lambda k: round(abs(y[k]), 9))
    if y[big] < 0:
        y = scale(y, -1.0)
    x = cross(y, z)
    spans = [body.span(v) for v in (x, y, z)]
    origin = add(add(scale(x, spans[0][0]), scale(y, spans[1][0])), scale(z, spans[2][0]))
    size = tuple(round(high - low, 9) for low, high in spans)
    return Frame(origin, x, y, z), size  # type: ignore[return-value]


def _half_turn(frame: Frame, size: Vec, flips: tuple[bool, bool, bool]) -> Frame:
    signs = [-1.0 if f else 1.0 for f in flips]
    corner: Vec = tuple(s if f else 0.0 for f, s in zip(flips, size, strict=True))  # type: ignore[assignment]
    return Frame(frame.point(corner), scale(frame.x, signs[0]), scale(frame.y, signs[1]), scale(frame.z, signs[2]))


def _keeps_up(features: list[Feature], turn: tuple[bool, bool, bool]) -> bool:
    """Whether a turn of the blank leaves the most worked face up."""
    if not turn[2]:
        return True
    up = down = 0
    for feature in features:
        geometry = feature.geometry
        if isinstance(geometry, Trench | Hole) or (isinstance(geometry, Pocket) and geometry.depth_mm is not None):
            up += geometry.datum.surface == "+z"
            down += geometry.datum.surface == "-z"
    return up == down


def _on_bench(sawn: Sawn, body: Body, frame: Frame, size: Vec) -> list[Feature]:
    trims = [
        Feature(
            Trim(plane),
            About(
                id=f"end {body.direction_of(tag)}",
                label="trimmed end",
                purpose=Purpose.shape,
                group="trimmed end",
                why={"position": sawn.ends[tag]},
            ),
        )
        for tag, plane in ((tag, body.planes[tag].into(frame)) for tag in FACES)
        if max(abs(c) for c in plane.normal) < 1.0 - 1e-12
    ]
    moved = [Feature(_into(f.geometry, frame, size), f.about) for f in sawn.features]
    return [replace(f, geometry=tidy(f.geometry)) for f in settle(_distinct(moved + trims))]


def _distinct(features: list[Feature]) -> list[Feature]:
    """Ids made unique: features that two joints of one name put into a part are numbered."""
    seen: dict[str, int] = {}
    found = []
    for feature in features:
        n = seen[feature.about.id] = seen.get(feature.about.id, 0) + 1
        found.append(feature if n == 1 else replace(feature, about=replace(feature.about, id=f"{feature.about.id} ({n})")))
    return found


def _into(geometry: Geometry, frame: Frame, size: Vec) -> Geometry:
    """A geometry of the piece's frame in the bench frame."""
    if isinstance(geometry, Trim):
        return Trim(geometry.plane.into(frame))
    if isinstance(geometry, Profile):
        return replace(
            geometry,
            start=frame.local_point(geometry.start),
            end=frame.local_point(geometry.end),
            u=frame.local_vector(geometry.u),
            v=frame.local_vector(geometry.v),
        )
    local = frame.local_frame(geometry.datum.frame)
    datum = Datum(local, _surface(local, size))
    if isinstance(geometry, Pocket) and geometry.depth_mm is None and geometry.far_outline is None and datum.surface == "-z":
        return _from_above(replace(geometry, datum=datum), size)
    return replace(geometry, datum=datum)


def _from_above(pocket: Pocket, size: Vec) -> Pocket:
    """The same cut right through, laid out on the worked face."""

    def mirrored(outline: Outline) -> Outline:
        backwards = [(outline[k], outline[k - 1].bulge) for k in range(len(outline) - 1, -1, -1)]
        return tuple(Vertex(v.x, -v.y, bulge) for v, bulge in backwards)

    f = pocket.datum.frame
    frame = Frame(add(f.origin, (0.0, 0.0, size[2])), f.x, scale(f.y, -1.0), scale(f.z, -1.0))
    return Pocket(Datum(frame, "+z"), mirrored(pocket.outline), tuple(mirrored(i) for i in pocket.islands))


def _surface(datum: Frame, size: Vec) -> Surface:
    """The face of the blank that a datum lies on; "trim" for one that a trim made."""
    for surface, normal in SURFACES:
        axis = "xyz".index(surface[1])
        at = size[axis] if surface[0] == "+" else 0.0
        if dot(datum.z, normal) > 1 - 1e-9 and abs(datum.origin[axis] - at) < PLAN_MM:
            return surface
    return "trim"
