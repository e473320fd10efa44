"""The resolved design beside what was measured on its solids, with the indexes that everyone asks for."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property

from build123.model.design import Design, Expect, ExpectKind, Joint
from build123.model.frame import scale
from build123.model.measured import BoreGap, DryFit, FaceGap

Pair = tuple[str, str]


def pair_of(a: str, b: str) -> Pair:
    """The two names, in order."""
    return (a, b) if a <= b else (b, a)


@dataclass(frozen=True)
class Fitted:
    """Design and measurements. Bodies are parts and hardware, by name."""

    design: Design
    fit: DryFit

    @cached_property
    def joints_of(self) -> dict[Pair, tuple[Joint, ...]]:
        """Joints by the two bodies that they join."""
        found: defaultdict[Pair, list[Joint]] = defaultdict(list)
        for joint in self.design.joints:
            pairs = {pair_of(joint.member, joint.receiver)} | {pair_of(expect.a, expect.b) for expect in joint.expects}
            for pair in pairs:
                found[pair].append(joint)
        return {pair: tuple(joints) for pair, joints in found.items()}

    def expects(self, *kinds: ExpectKind) -> Iterator[tuple[Joint, Expect]]:
        """All expectations of some kinds, in the design's order."""
        for joint in self.design.joints:
            for expect in joint.expects:
                if expect.kind in kinds:
                    yield joint, expect

    def expects_of(self, a: str, b: str, *kinds: ExpectKind) -> tuple[Expect, ...]:
        """The expectations of some kinds between two bodies, whichever is the member."""
        pair = pair_of(a, b)
        joints = self.joints_of.get(pair, ())
        return tuple(e for joint in joints for e in joint.expects if e.kind in kinds and pair_of(e.a, e.b) == pair)

    @cached_property
    def _gaps(self) -> dict[Pair, tuple[FaceGap, ...]]:
        found: defaultdict[Pair, list[FaceGap]] = defaultdict(list)
        for gap in self.fit.gaps:
            found[gap.a, gap.b].append(gap)
            found[gap.b, gap.a].append(replace(gap, a=gap.b, b=gap.a, normal=scale(gap.normal, -1.0)))
        return {pair: tuple(gaps) for pair, gaps in found.items()}

    def gaps(self, a: str, b: str) -> tuple[FaceGap, ...]:
        """Faces of two bodies that look at each other, told from `a`: the normal points out of it."""
        return self._gaps.get((a, b), ())

    @cached_property
    def _bores(self) -> dict[Pair, tuple[BoreGap, ...]]:
        found: defaultdict[Pair, list[BoreGap]] = defaultdict(list)
        for bore in self.fit.bores:
            found[pair_of(bore.a, bore.b)].append(bore)
        return {pair: tuple(bores) for pair, bores in found.items()}

    def bore_gaps(self, a: str, b: str) -> tuple[BoreGap, ...]:
        """Cylinders of two bodies that lie on nearly one axis."""
        return self._bores.get(pair_of(a, b), ())
