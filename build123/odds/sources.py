"""What varies in a part and in its cuts: thickness of stock, trenches, tongues, sawn sizes, holes."""

from __future__ import annotations

import math
from dataclasses import dataclass

from build123.fields.quantity import Units
from build123.fields.show import show_length
from build123.model.design import Design, Joint
from build123.model.feature import Feature, Pocket, Purpose, Trench
from build123.model.frame import Vec
from build123.model.part import Part
from build123.odds.fits import Source

MEASURED_STOCK_MM = 0.05
"""What is left of a sheet's spread once it was measured where the parts come from: a calliper's own (common practice, from memory)."""
MEASURED_PART_MM = 0.1
"""What a length that was measured on the part may be off by, in place of what a saw leaves (a steel rule's, common practice, from memory)."""
GAUGED_MM = 0.02
"""What is left of a cutter's once a trial cut was gauged (common practice, from memory)."""
PLACE_SHARE = 0.5
"""Share of the variance of a stock's thickness that is from place to place; the rest is from sheet to sheet and the same for
all parts. No split is published that we know of: panel standards allow both (EN 315, from memory), so neither is left out."""
JIG_MM = 0.05
"""What is left of marking where one jig guides the bit in both parts (common practice, from memory)."""

Terms = list[tuple[Source, float]]


@dataclass(frozen=True)
class Sources:
    """The sources of a design's parts, each under the key by which others share it.

    Thickness is off from sheet to sheet, alike for all parts of a stock, and from place to place, alike at both ends of a part.
    Members of one stock in one housing are taken as cut side by side and off alike in all: that is the worse case, since
    deviations that go together do not average out. Trenches of one width come from one cutter and are off alike in width,
    those of one group from one setting and are off alike in depth. Sawn sizes and marked places vary each by itself.
    """

    design: Design

    @property
    def _units(self) -> Units:
        return "in" if self.design.units == "in" else "mm"

    def shop(self, spread: str, key: tuple[str, ...], name: str, help: str = "", helped_mm: float = 0.0) -> Source:
        """A source that varies by one of the shop's spreads, which is named by its key in the spec."""
        why = self.design.shop.why(spread)
        return Source(key, name, why.value, help, helped_mm, stated=not why.default)

    def thickness(self, part: Part, place: str = "") -> Terms:
        """Of the stock of a part: from sheet to sheet, and from place to place. `place` is shared by parts cut side by side."""
        stock = part.stock
        help = f"measuring the sheet `{stock.name}`" if stock.kind == "sheet" else f"measuring each board of `{stock.name}`"
        keys = (("stock", stock.name), ("place", stock.name, place or part.name))
        return [
            (Source(key, f"thickness of {stock.name}", stock.spread_mm * part_of, help, MEASURED_STOCK_MM * part_of, keys[0], True), 1.0)
            for key, part_of in zip(keys, (math.sqrt(1.0 - PLACE_SHARE), math.sqrt(PLACE_SHARE)), strict=True)
        ]

    def size(self, part: Part, axis: int, place: str = "") -> Terms:
        """Of a part along a bench axis: 0 its sawn length, 1 its sawn width, 2 the thickness of its stock."""
        if axis == 2:
            return self.thickness(part, place)
        word = ("length", "width")[axis]
        key, name = ("sawn", part.name, word), f"{word} of {part.name}"
        if word in part.as_cut:
            return [(Source(key, name, MEASURED_PART_MM), 1.0)]
        return [(self.shop("sawing", key, name), 1.0)]

    def width(self, feature: Feature) -> Source:
        """Of a housing."""
        match feature.geometry:
            case Trench(width_mm=wide):
                shown = show_length(wide, self._units)
                key, name, help = ("cutter", f"{wide:.3f}"), f"cutting {shown} wide", f"gauging the cutter of the {shown} housings"
            case _:
                key, name = ("pocket", feature.about.group or feature.about.id), f"cutting the {feature.about.label}"
                help = f"gauging the cutter of the {feature.about.label}"
        return self.shop("cutting", key, name, help, GAUGED_MM)

    def depth(self, feature: Feature) -> Source:
        """Of a trench or pocket below its surface."""
        about = feature.about
        return self.shop("cutting", ("depth", about.group or about.id), f"depth of the {about.label}")

    def tongue(self, part: Part, joint: Joint) -> Source | None:
        """How far the shoulder of a member lies from its end: sawn beside a fence, or marked for a notch that is cut by hand."""
        key: tuple[str, ...]
        for feature in cut_for(part, joint, Purpose.shoulder):
            match feature.geometry:
                case Trench():
                    key, spread = ("shoulder", feature.about.group or feature.about.id), "cutting"
                case Pocket(islands=islands):
                    key = ("shoulder", part.name, feature.about.id)
                    spread = "cutting" if islands else "laying out"
                case _:
                    continue
            return self.shop(spread, key, f"shoulder of {part.name}")
        return None

    def thick_in_housing(self, part: Part, joint: Joint, axis: int, place: str) -> Terms:
        """What makes a member thicker where it is housed: its stock, less what was cut off its faces for a tongue."""
        features = cut_for(part, joint, Purpose.shoulder)
        tenon = next((one for one in features if isinstance(one.geometry, Pocket) and one.geometry.islands), None)
        if tenon is not None:
            return [(self.width(tenon), 1.0)]
        terms = self.size(part, axis, place)
        for one in features:
            if isinstance(one.geometry, Trench) and along(part, part.placement.vector(one.geometry.datum.frame.z)) == axis:
                terms.append((self.depth(one), -1.0))
        return terms

    def marking(self, joint: Joint) -> Source:
        """Of the place of one hole."""
        return self.shop("laying out", ("marking", joint.id), "laying out the holes", "drilling the dowel holes from one jig", JIG_MM)

    def bit(self, diameter_mm: float) -> Source:
        """Of the diameter of holes from one bit."""
        return self.shop("drilling", ("bit", f"{diameter_mm:.3f}"), f"drilling {show_length(round(diameter_mm, 6), self._units)}")


def cut_for(part: Part, joint: Joint, purpose: Purpose) -> list[Feature]:
    """What a joint cuts into a part for one purpose."""
    return [one for one in part.features if one.about.joint == joint.id and one.about.purpose is purpose]


def along(part: Part, direction: Vec) -> int:
    """The bench axis of a part that lies most along a direction of the piece."""
    local = part.placement.local_vector(direction)
    return max(range(3), key=lambda k: (abs(local[k]), k))
