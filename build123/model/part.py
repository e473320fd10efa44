"""Stock, parts and hardware of a resolved design."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from build123.model.feature import Feature, Surface
from build123.model.frame import Box, Frame, Vec
from build123.model.why import Why
from build123.problem.source import Span

StockKind = Literal["sheet", "board"]
Direction = Literal["left", "right", "front", "back", "top", "bottom"]


@dataclass(frozen=True, slots=True)
class Stock:
    """What is in the shop. Lengths in mm; sizes that the spec leaves out are None.

    `grain` says whether the grain runs along the sheet's length, its width, or does not matter. `nominal_mm` labels and
    sets the thirds and halves of joinery rules; it never fits anything. `density_kg_m3` may come from the species table.
    """

    name: str
    kind: StockKind
    material: str
    thickness_mm: float
    spread_mm: float = 0.0
    nominal_mm: float | None = None
    length_mm: float | None = None
    width_mm: float | None = None
    grain: Literal["length", "width", "none"] = "length"
    density_kg_m3: float | None = None
    colour: tuple[float, float, float] = (0.8, 0.65, 0.45)
    span: Span | None = None

    @property
    def judged_mm(self) -> float:
        """The thickness that rules of thumb are judged on: nominal where it is known, else as measured."""
        return self.nominal_mm if self.nominal_mm is not None else self.thickness_mm


@dataclass(frozen=True, slots=True)
class Part:
    """One finished board or panel.

    `name` is unique in the piece and readable ("left side", "shelf 2 of cell 3"). `placement` takes bench coordinates to
    the piece. The blank is the box 0..length x 0..width x 0..thickness on the bench. `looks` names each bench face by
    the direction in the piece that it mostly looks to. `show` is the bench face that is seen. `sizes` holds the reason
    of each finished size by name: length, width, thickness. `path` are the assemblies that hold the part, outermost
    first. `made_up` names the made-up part it belongs to. `shape_key` is equal for parts of equal geometry; `hand_key`
    is the shape key of its mirror image, so that two parts are of opposite hand when each has the other's. `as_cut` names the
    sizes that the spec gives as the part was measured, since it is made already.
    """

    name: str
    stock: Stock
    placement: Frame
    length_mm: float
    width_mm: float
    thickness_mm: float
    features: tuple[Feature, ...]
    looks: Mapping[Surface, Direction]
    show: Surface
    shape_key: str
    hand_key: str
    family: str = ""
    path: tuple[str, ...] = ()
    made_up: str = ""
    loose: bool = False
    sizes: Mapping[str, Why] = field(default_factory=dict)
    as_cut: tuple[str, ...] = ()
    span: Span | None = None

    @property
    def box(self) -> Box:
        """The blank's box in the piece's frame."""
        corners: list[Vec] = [
            self.placement.point((x, y, z)) for x in (0.0, self.length_mm) for y in (0.0, self.width_mm) for z in (0.0, self.thickness_mm)
        ]
        return Box.around(corners)


@dataclass(frozen=True, slots=True)
class Rod:
    """A cylinder along +z from the origin, mm."""

    diameter_mm: float
    length_mm: float


@dataclass(frozen=True, slots=True)
class Block:
    """A box from the origin, mm."""

    size_mm: Vec


@dataclass(frozen=True, slots=True)
class Hardware:
    """A thing that is bought, not made: a solid with no blank and no drawing.

    `placement` takes the solid's own frame to the piece. `label` is what it is called in lists ("dowel 8 x 40").
    """

    name: str
    label: str
    solid: Rod | Block
    placement: Frame
    joint: str = ""
    path: tuple[str, ...] = ()
    span: Span | None = None

    @property
    def shape_key(self) -> str:
        """Equal for equal solids."""
        return repr(self.solid)
