"""What a check looks at: the resolved design beside what was measured on its solids."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property

from build123.fields.quantity import Units
from build123.fields.show import show_area, show_length, show_volume
from build123.model.design import Design, Expect, ExpectKind, Joint
from build123.model.frame import scale
from build123.model.measured import BoreGap, DryFit, FaceGap, ShapeFacts
from build123.model.part import Hardware, Part
from build123.problem import Finding

Pair = tuple[str, str]

MEASURED_MM = 0.001
"""Two measured lengths that differ by less are equal: an honest limit of the kernel (techniques, "Interference")."""


def pair_of(a: str, b: str) -> Pair:
    """The two names, in order."""
    return (a, b) if a <= b else (b, a)


def _clean(mm: float) -> float:
    """Without the rounding noise of placed coordinates."""
    return round(mm, 6) + 0.0


def overlap_name(index: int) -> str:
    """What the common volume `DryFit.overlaps[index]` is called in the report."""
    return f"overlap-{index + 1}"


@dataclass(frozen=True)
class Seen:
    """Design and measurements, with the indexes that checks ask for. `found` is what earlier checks reported."""

    design: Design
    fit: DryFit
    found: tuple[Finding, ...] = ()

    def show(self, mm: float) -> str:
        """A length in the spec's units, as findings print it."""
        return show_length(_clean(mm), self._units)

    def show_area(self, mm2: float) -> str:
        """An area in words."""
        return show_area(mm2, self._units)

    def show_volume(self, mm3: float) -> str:
        """A volume in words."""
        return show_volume(mm3, self._units)

    @property
    def _units(self) -> Units:
        return "in" if self.design.units == "in" else "mm"

    @cached_property
    def hardware(self) -> dict[str, Hardware]:
        """Hardware by name."""
        return {thing.name: thing for thing in self.design.hardware}

    @cached_property
    def order(self) -> dict[str, int]:
        """The place of each body in the design, parts first."""
        names = [*(part.name for part in self.design.parts), *(thing.name for thing in self.design.hardware)]
        return {name: n for n, name in enumerate(names)}

    @cached_property
    def shapes(self) -> tuple[tuple[ShapeFacts, tuple[Part, ...]], ...]:
        """Each distinct measured shape that is a part's, with the parts that have it, in the design's order."""
        found: dict[str, list[Part]] = {}
        for part in self.design.parts:
            if part.name in self.fit.shape_of:
                found.setdefault(self.fit.shape_of[part.name], []).append(part)
        return tuple((self.fit.shapes[key], tuple(parts)) for key, parts in found.items())

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
    def bores_expected(self) -> dict[str, tuple[Expect, ...]]:
        """The expected bores by each body that has a part in them."""
        found: defaultdict[str, list[Expect]] = defaultdict(list)
        for _, expect in self.expects(ExpectKind.bore):
            for body in {expect.a: None, expect.b: None}:
                found[body].append(expect)
        return {body: tuple(expects) for body, expects in found.items()}

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
