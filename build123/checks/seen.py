"""What a check looks at: the resolved design beside what was measured on its solids."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from functools import cached_property

from build123.contacts.fitted import Fitted, Pair, pair_of
from build123.fields.quantity import Units
from build123.fields.show import show_area, show_length, show_volume
from build123.model.design import Expect, ExpectKind
from build123.model.measured import ShapeFacts
from build123.model.part import Hardware, Part
from build123.model.plan import FirstFit, GlueUp
from build123.problem import Finding

__all__ = ["MEASURED_MM", "Pair", "Seen", "overlap_name", "pair_of"]

MEASURED_MM = 0.001
"""Two measured lengths that differ by less are equal: an honest limit of the kernel (techniques, "Interference")."""


def _clean(mm: float) -> float:
    """Without the rounding noise of placed coordinates."""
    return round(mm, 6) + 0.0


def overlap_name(index: int) -> str:
    """What the common volume `DryFit.overlaps[index]` is called in the report."""
    return f"overlap-{index + 1}"


@dataclass(frozen=True)
class Seen(Fitted):
    """Design and measurements, with the indexes that checks ask for. `found` is what earlier checks reported.

    `first_fit` are the odds of the first dry fit, None where nobody asked for them.
    """

    found: tuple[Finding, ...] = ()
    first_fit: FirstFit | None = None
    glue_up: GlueUp | None = None

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
    def fastened(self) -> frozenset[str]:
        """The ids of the joints that screws, nails or staples hold."""
        return frozenset(thing.joint for thing in self.design.hardware if thing.bites)

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
    def bores_expected(self) -> dict[str, tuple[Expect, ...]]:
        """The holes of dowels by each body that has a part in them."""
        found: defaultdict[str, list[Expect]] = defaultdict(list)
        for _, expect in self.expects(ExpectKind.bore):
            for body in {expect.a: None, expect.b: None} if expect.fit != "screw" else ():
                found[body].append(expect)
        return {body: tuple(expects) for body, expects in found.items()}
