"""The dry fit: everything measured on the assembled solids, once."""

from __future__ import annotations

import time
from collections.abc import Iterator
from typing import TYPE_CHECKING

from build123.kernel.damage import Damage
from build123.kernel.fault import KernelFault
from build123.model.design import Design
from build123.model.measured import BoreGap, Driven, DryFit, FaceGap, Overlap, ShapeFacts
from build123.model.part import Hardware, Part

if TYPE_CHECKING:
    from build123.kernel.bodies import Body, Pose
    from build123.kernel.measure import Measurements
    from build123.kernel.store import Store


def dry_fit(
    design: Design, store: Store, reach_mm: float = 4.0, damage: tuple[Damage, ...] = (), known: Measurements | None = None
) -> DryFit:
    """Measures a design's solids where they stand, damaged where told; the design is only read for its shapes and places.

    Faces and holes up to `reach_mm` apart are gaps. `known` carries what was measured before, for warm runs. Raises
    KernelFault for a solid that cannot be made or compared, LookupError for damage that hits nothing.
    """
    from build123.kernel.assembled import bodies_of
    from build123.kernel.bodies import Pose, near_pairs, placed_box
    from build123.kernel.measure import Measurements

    known = known if known is not None else Measurements()
    seconds: dict[str, float] = {}
    start = time.perf_counter()

    def lap(stage: str) -> None:
        nonlocal start
        now = time.perf_counter()
        seconds[stage], start = now - start, now

    bodies = bodies_of(design, store, damage)
    lap("solids")
    boxes = [placed_box(known.faces(body).box, body.placement) for body in bodies]
    lap("faces")
    shapes: dict[str, ShapeFacts] = {}
    sources: list[Part | Hardware] = [*design.parts, *design.hardware]
    for body, source in zip(bodies, sources, strict=True):
        if body.key not in shapes:
            try:
                shapes[body.key] = known.facts(body, source)
            except RuntimeError as fault:
                raise KernelFault(body.name, (), "measuring", str(fault)) from fault
    lap("shapes")
    pairs = [(bodies[i], bodies[j]) for i, j in near_pairs(boxes, reach_mm)]
    poses = [Pose.of(a.placement, b.placement) for a, b in pairs]
    gaps: list[FaceGap] = []
    bores: list[BoreGap] = []
    for (a, b), pose in zip(pairs, poses, strict=True):
        flat, round_ = known.gaps(a, b, pose, reach_mm)
        gaps.extend(gap.placed(a.name, b.name, a.placement) for gap in flat)
        bores.extend(bore.placed(a.name, b.name, a.placement) for bore in round_)
    lap("contacts")
    apart = [(a, b, pose) for (a, b), pose in zip(pairs, poses, strict=True) if not _bites(a, b)]
    overlaps = [found for a, b, pose in apart if (found := _overlap(a, b, pose, known)) is not None]
    lap("interference")
    driven = [one for a, b in pairs for one in _driven(a, b, known)]
    lap("fasteners")
    shape_of = {body.name: body.key for body in bodies}
    return DryFit(shapes, shape_of, tuple(gaps), tuple(bores), tuple(overlaps), tuple(driven), len(pairs), seconds)


def _bites(a: Body, b: Body) -> bool:
    """Whether one of two bodies is a fastener that may cut the other's wood."""
    return any(one.thing is not None and other.name in one.thing.bites for one, other in ((a, b), (b, a)))


def _driven(a: Body, b: Body, known: Measurements) -> Iterator[Driven]:
    """Fasteners as they stand in parts."""
    for one, other in ((a, b), (b, a)):
        if one.thing is not None and other.thing is None:
            for leg in known.driven(one, other):
                yield leg.placed(one.name, other.name, one.placement)


def _overlap(a: Body, b: Body, pose: Pose, known: Measurements) -> Overlap | None:
    try:
        found = known.overlap(a, b, pose)
    except RuntimeError as fault:
        raise KernelFault(a.name, (), f"comparing with {b.name}", str(fault)) from fault
    return None if found is None else found.placed(a.name, b.name, a.placement)
