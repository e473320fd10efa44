"""The parts between growth and cutting: what each would measure, and what those measure that are made already."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from build123.joints.joinery import Growth, Tray
from build123.model.body import FACES, Body, FaceTag
from build123.model.part import Stock
from build123.model.why import Why
from build123.problem import Finding
from build123.resolve.as_cut import ALIKE_MM, Measured, compared
from build123.resolve.collected import Collected
from build123.resolve.faces import grain_axis
from build123.resolve.following import Following, Misfit
from build123.resolve.layout import Layout
from build123.resolve.scope import Declared
from build123.resolve.sizes import axes_of, finished_sizes


@dataclass
class Sawing:
    """All parts on their way from what is seen to what is sawn. `would` is what a part as cut would measure."""

    layout: Layout
    bodies: dict[str, tuple[Declared, Body]]
    stocks: dict[str, Stock]
    tray: Tray
    measured: dict[str, dict[str, Measured]]
    misfits: list[Misfit] = field(default_factory=list)
    would: dict[tuple[str, str], float] = field(default_factory=dict)

    def stock(self, name: str) -> Stock:
        """The stock of a part."""
        return self.stocks[str(self.bodies[name][0].entry.stock)]

    def growth(self, name: str) -> dict[FaceTag, list[Growth]]:
        """What joints add to the ends of a part."""
        return {tag: self.tray.growth[(name, tag)] for tag in FACES if (name, tag) in self.tray.growth}

    def planned(self, name: str) -> Body:
        """A body with its ends where the joints want them."""
        body = self.bodies[name][1]
        for tag, moves in self.growth(name).items():
            body = body.moved(tag, max(g.by.value for g in moves))
        return body

    def sizes(self, name: str) -> dict[str, Why]:
        """The finished sizes that a part would have."""
        one, planned = self.bodies[name][0], self.planned(name)
        ends = {tag: self.layout.end(one, tag).why for tag in FACES}
        return finished_sizes(planned, grain_axis(one, planned), self.stock(name), ends, self.growth(name))

    def real(self, name: str) -> Body:
        """A body with its ends where they are: those of a part as cut may lie elsewhere than planned."""
        body = self.planned(name)
        for tag in FACES:
            if off := self.tray.off.get((name, tag)):
                body = body.moved(tag, off.by_mm)
        return body

    def finished(self, name: str) -> dict[str, Why]:
        """The finished sizes of a part, those that were measured with that for a reason."""
        sizes = self.sizes(name)
        for word, one in self.measured.get(name, {}).items():
            alike = abs(one.why.value - sizes[word].value) <= ALIKE_MM
            sizes[word] = replace(one.why, value=sizes[word].value) if alike else one.why
        return sizes

    def take_as_cut(self, sight: dict[str, Body], stock: dict[str, Stock], told: Collected) -> None:
        """Give the parts that are made their real size."""
        self.tray.made |= set(self.measured)
        following = Following(sight, stock, self.tray, self.layout.units)
        for name, given in self.measured.items():
            sizes = self.sizes(name)
            for size in given.values():
                self.would[(name, size.word)] = sizes[size.word].value
                found = told.attempt(lambda s=size, w=sizes: self._take(s, w, following))  # type: ignore[misc]
                if isinstance(found, Misfit):
                    self.misfits.append(found)
                elif found is not None:
                    told.add(found)

    def _take(self, size: Measured, sizes: dict[str, Why], following: Following) -> Finding | Misfit | None:
        """What is told of one size; None where it is as it would be."""
        one, planned = self.bodies[size.part][0], self.planned(size.part)
        off_mm, axis = compared(size, sizes, self.layout), axes_of(planned, grain_axis(one, planned))[size.word]
        return following.take(size, sizes[size.word], off_mm, axis, axis in one.flip) if off_mm else None
