"""The bodies of a design as they are measured: solids from the store, damaged where told."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from typing_extensions import assert_never

from build123.kernel.bodies import Body
from build123.kernel.damage import Damage, DrillAgain, Fill, Shift, Thicken, Turn, Widen
from build123.model.design import Design
from build123.model.feature import Feature, Hole, Trench
from build123.model.frame import Frame, Vec, add, cross, dot, scale, sub, unit
from build123.model.part import Hardware, Part

if TYPE_CHECKING:
    import cadquery as cq

    from build123.kernel.store import Store
    from build123.model.measured import Mesh


def bodies_of(design: Design, store: Store, damage: tuple[Damage, ...] = ()) -> list[Body]:
    """Parts, then hardware, in the design's order. The design stays as it is.

    LookupError for damage that hits nothing; KernelFault for a solid that cannot be made.
    """
    left = list(damage)
    bodies = [_part_body(part, store, [d for d in damage if _hits(d, part, left)]) for part in design.parts]
    for hardware in design.hardware:
        mine = [d for d in damage if isinstance(d, Shift | Turn) and d.part == hardware.name]
        left = [d for d in left if d not in mine]
        body = Body(hardware.name, hardware.shape_key, hardware.placement, store.shape(hardware), _later(store, hardware), hardware)
        bodies.append(_moved(body, mine))
    if left:
        raise LookupError(f"nothing is there for {left[0]}")
    return bodies


def _later(store: Store, body: Part | Hardware) -> Callable[[], Mesh]:
    return lambda: store.mesh(body)


def _hits(damage: Damage, part: Part, left: list[Damage]) -> bool:
    """Whether a damage is for this part; it is then no longer among those left."""
    match damage:
        case Fill() | Widen():
            hit = damage.part in ("", part.name) and any(_is(feature, damage.feature) for feature in part.features)
        case Shift() | Turn() | Thicken() | DrillAgain():
            hit = damage.part == part.name
        case _:
            assert_never(damage)
    if hit and damage in left:
        left.remove(damage)
    return hit


def _is(feature: Feature, name: str) -> bool:
    return name in (feature.about.id, feature.about.joint)


def _part_body(part: Part, store: Store, damage: list[Damage]) -> Body:
    solid_damage = [d for d in damage if not isinstance(d, Shift | Turn)]
    if not solid_damage:
        return _moved(Body(part.name, part.shape_key, part.placement, store.shape(part), _later(store, part)), damage)
    from build123.kernel.mesh import mesh_of
    from build123.kernel.solids import solid_of

    cut = part
    for d in solid_damage:
        if isinstance(d, Fill | Widen):
            cut = replace(cut, features=tuple(_recut(cut.features, d)))
    solid: cq.Shape = solid_of(cut)
    for d in solid_damage:
        if isinstance(d, Thicken):
            solid = _thickened(solid, d)
        elif isinstance(d, DrillAgain):
            solid = _drilled(solid, d, part.placement)
    key = f"{part.shape_key} damaged {solid_damage!r} at {part.placement!r}"
    return _moved(Body(part.name, key, part.placement, solid, lambda: mesh_of(solid)), damage)


def _recut(features: Iterable[Feature], damage: Fill | Widen) -> Iterable[Feature]:
    for feature in features:
        if not _is(feature, damage.feature):
            yield feature
        elif isinstance(damage, Widen):
            yield replace(feature, geometry=_wider(feature, damage.by_mm))


def _wider(feature: Feature, by_mm: float) -> Trench | Hole:
    match feature.geometry:
        case Trench() as trench:
            return replace(trench, width_mm=trench.width_mm + by_mm)
        case Hole() as hole:
            return replace(hole, steps=tuple(replace(step, diameter_mm=step.diameter_mm + by_mm) for step in hole.steps))
        case other:
            raise LookupError(f"{feature.about.id}: a {type(other).__name__.lower()} has no one width")


def _moved(body: Body, damage: Sequence[Damage]) -> Body:
    for d in damage:
        if isinstance(d, Shift):
            body = replace(body, placement=replace(body.placement, origin=add(body.placement.origin, d.by)))
        elif isinstance(d, Turn):
            centre = body.solid.Center()
            middle = body.placement.point((centre.x, centre.y, centre.z))
            body = replace(body, placement=_turned(body.placement, middle, unit(d.axis), math.radians(d.deg)))
    return body


def _turned(frame: Frame, middle: Vec, axis: Vec, angle: float) -> Frame:
    def vector(v: Vec) -> Vec:
        along = scale(axis, dot(axis, v) * (1 - math.cos(angle)))
        return add(add(scale(v, math.cos(angle)), scale(cross(axis, v), math.sin(angle))), along)

    return Frame(add(middle, vector(sub(frame.origin, middle))), vector(frame.x), vector(frame.y), vector(frame.z))


def _thickened(solid: cq.Shape, damage: Thicken) -> cq.Shape:
    """The outermost plane faces of that side drawn out, so that mouths of trenches and holes stay open."""
    import cadquery as cq

    axis = "xyz".index(damage.face[1])
    sign = 1.0 if damage.face[0] == "+" else -1.0
    out = cq.Vector(*(sign if k == axis else 0.0 for k in range(3)))
    faces = [face for face in solid.Faces() if face.geomType() == "PLANE" and face.normalAt().dot(out) > 1 - 1e-9]
    far = max(face.Center().dot(out) for face in faces)
    outer = [face for face in faces if face.Center().dot(out) > far - 1e-6]
    prisms = [cq.Solid.extrudeLinear(face, out * damage.by_mm) for face in outer]
    return solid.fuse(*prisms).clean() if damage.by_mm > 0 else solid.cut(*prisms).clean()


def _drilled(solid: cq.Shape, damage: DrillAgain, placement: Frame) -> cq.Shape:
    import cadquery as cq

    axis = placement.local_vector(unit(damage.direction))
    start = sub(placement.local_point(damage.at), axis)
    return solid.cut(cq.Solid.makeCylinder(damage.diameter_mm / 2, damage.depth_mm + 1.0, cq.Vector(*start), cq.Vector(*axis)))
