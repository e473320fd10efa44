"""What has been measured, kept for the next run: by shape key, and by two shape keys and how one lies in the other."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable
from typing import TYPE_CHECKING, Generic, TypeVar

from build123.kernel.bodies import Body, Pose
from build123.model.measured import ShapeFacts
from build123.model.part import Hardware, Part

if TYPE_CHECKING:
    from build123.kernel.coaxial import LocalBoreGap
    from build123.kernel.contacts import LocalGap
    from build123.kernel.driven import LocalDriven, Wood
    from build123.kernel.faces import ShapeFaces
    from build123.kernel.interference import Claim, LocalOverlap

Key = TypeVar("Key")
Value = TypeVar("Value")
SHAPES_KEPT = 4_000
PAIRS_KEPT = 40_000


class Recent(Generic[Key, Value]):
    """A dictionary that forgets what was used longest ago."""

    def __init__(self, limit: int) -> None:
        self._limit = limit
        self._kept: OrderedDict[Key, Value] = OrderedDict()

    def __len__(self) -> int:
        return len(self._kept)

    def get(self, key: Key, make: Callable[[], Value]) -> Value:
        """What is kept under `key`, made where it is not."""
        if key in self._kept:
            self._kept.move_to_end(key)
            return self._kept[key]
        value = self._kept[key] = make()
        if len(self._kept) > self._limit:
            self._kept.popitem(last=False)
        return value


class Measurements:
    """Facts about shapes and pairs of shapes. A function of shapes and poses alone, so a warm run gives what a cold one does."""

    def __init__(self) -> None:
        self._faces: Recent[str, ShapeFaces] = Recent(SHAPES_KEPT)
        self._facts: Recent[tuple[str, str], ShapeFacts] = Recent(SHAPES_KEPT)
        self._claims: Recent[str, Claim] = Recent(SHAPES_KEPT)
        self._gaps: Recent[tuple[object, ...], tuple[tuple[LocalGap, ...], tuple[LocalBoreGap, ...]]] = Recent(PAIRS_KEPT)
        self._overlaps: Recent[tuple[object, ...], LocalOverlap | None] = Recent(PAIRS_KEPT)
        self._wood: Recent[str, Wood] = Recent(SHAPES_KEPT)
        self._driven: Recent[tuple[object, ...], tuple[LocalDriven, ...]] = Recent(PAIRS_KEPT)

    def faces(self, body: Body) -> ShapeFaces:
        """The faces of a body, in its own frame."""
        from build123.kernel.read_faces import read_faces

        return self._faces.get(body.key, lambda: read_faces(body.solid))

    def facts(self, body: Body, source: Part | Hardware) -> ShapeFacts:
        """What is measured on one shape; `source` says what it should be. RuntimeError where a volume cannot be had."""
        from build123.kernel.facts import facts_of

        return self._facts.get((body.key, source.shape_key), lambda: facts_of(body, source, self.faces(body)))

    def gaps(self, a: Body, b: Body, pose: Pose, reach_mm: float) -> tuple[tuple[LocalGap, ...], tuple[LocalBoreGap, ...]]:
        """Opposed faces and coaxial cylinders of two bodies, in a's frame."""
        from build123.kernel.coaxial import bore_gaps
        from build123.kernel.contacts import face_gaps

        def made() -> tuple[tuple[LocalGap, ...], tuple[LocalBoreGap, ...]]:
            fa, fb = self.faces(a), self.faces(b)
            return face_gaps(fa, fb, pose, reach_mm), bore_gaps(fa, fb, pose, reach_mm)

        return self._gaps.get((a.key, b.key, pose.key, reach_mm), made)

    def overlap(self, a: Body, b: Body, pose: Pose) -> LocalOverlap | None:
        """The overlap of two bodies, in a's frame. RuntimeError where the kernel gives up."""
        from build123.kernel.interference import boxes_meet, overlap_of

        def made() -> LocalOverlap | None:
            meet = boxes_meet(self.faces(a).box, self.faces(b).box, pose)
            return overlap_of(self._claim(a), self._claim(b), pose) if meet else None

        return self._overlaps.get((a.key, b.key, pose.key), made)

    def driven(self, thing: Body, part: Body) -> tuple[LocalDriven, ...]:
        """How the legs of a fastener stand in a part, in the frame of the fastener."""
        from build123.kernel.driven import Wood, driven_in, legs_of

        legs = legs_of(thing.thing) if thing.thing is not None else ()
        if not legs:
            return ()
        pose = Pose.of(thing.placement, part.placement)
        return self._driven.get(
            (thing.key, legs, part.key, pose.key), lambda: driven_in(legs, self._wood.get(part.key, lambda: Wood.of(part.mesh())), pose)
        )

    def _claim(self, body: Body) -> Claim:
        from build123.kernel.interference import claim_of

        return self._claims.get(body.key, lambda: claim_of(body, self.faces(body)))
