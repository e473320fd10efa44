"""Stock, parts and hardware of a resolved design."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from typing_extensions import assert_never

from build123.model.feature import Feature, Surface
from build123.model.frame import Box, Frame, Vec, Vec2, dot
from build123.model.why import Why
from build123.problem.source import Span

StockKind = Literal["sheet", "board"]
Direction = Literal["left", "right", "front", "back", "top", "bottom"]


@dataclass(frozen=True, slots=True)
class Stock:
    """What is in the shop. Lengths in mm; sizes that the spec leaves out are None.

    `grain` says whether the grain runs along the sheet's length, its width, or does not matter. `nominal_mm` labels and
    sets the thirds and halves of joinery rules; it never fits anything. `density_kg_m3` may come from the species table.
    `rings` tells how the growth rings lie across a board's width. `moves` is how much one mm of it changes across the grain over a
    year where the piece stands; a sheet's holds for length and width alike.
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
    rings: Literal["flat-sawn", "quarter-sawn"] | None = None
    moves: Why | None = None

    def moves_along(self, grain: Vec, direction: Vec) -> float:
        """How much one mm changes along a unit direction over a year, `grain` being that of the part; wood stays as long as it is."""
        if self.moves is None:
            return 0.0
        return self.moves.value * (1.0 if self.kind == "sheet" else max(0.0, 1.0 - dot(grain, direction) ** 2))

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
class Screw:
    """A screw along +z from the plane that its length is counted from, mm.

    A countersunk head lies below that plane, from z 0 to `head_height_mm`; a pan head lies above it, on its washer. Shank and
    thread have the full diameter, the point is a cone as long as the screw is thick. `washer_mm` is outer diameter and
    thickness of a washer that lies from z 0 to its thickness, (0, 0) for none.
    """

    diameter_mm: float
    length_mm: float
    head_mm: float
    head_height_mm: float
    countersunk: bool
    washer_mm: Vec2 = (0.0, 0.0)

    @property
    def section(self) -> tuple[Vec2, ...]:
        """Radius and height of the corners of half its section, from the head to the point; the axis closes it."""
        r, point = self.diameter_mm / 2, self.length_mm - self.diameter_mm
        if self.countersunk:
            return ((self.head_mm / 2, 0.0), (r, self.head_height_mm), (r, point), (0.0, self.length_mm))
        around, thick = self.washer_mm
        top = ((self.head_mm / 2, -self.head_height_mm), (self.head_mm / 2, 0.0))
        washer = ((around / 2, 0.0), (around / 2, thick)) if thick else ()
        return (*top, *washer, (r, thick), (r, point), (0.0, self.length_mm))


@dataclass(frozen=True, slots=True)
class Staple:
    """A staple of square wire in the xz plane about the z axis, mm: its crown below z 0, its legs down to `length_mm`."""

    crown_mm: float
    wire_mm: float
    length_mm: float


@dataclass(frozen=True, slots=True)
class Hardware:
    """A thing that is bought, not made: a solid with no blank and no drawing.

    `placement` takes the solid's own frame to the piece. `label` is what it is called in lists ("dowel 8 x 40"). `bites` are the
    parts whose wood its thread or shank may cut: an overlap that is declared.
    """

    name: str
    label: str
    solid: Rod | Block | Screw | Staple
    placement: Frame
    joint: str = ""
    path: tuple[str, ...] = ()
    span: Span | None = None
    bites: tuple[str, ...] = ()

    @property
    def shape_key(self) -> str:
        """Equal for equal solids."""
        return repr(self.solid)

    @property
    def pin_mm(self) -> float | None:
        """How thick it is, for what is long and round about z: a dowel, a screw, a nail; None for anything else."""
        return self.solid.diameter_mm if isinstance(self.solid, Rod | Screw) else None

    @property
    def box(self) -> Box:
        """Its box in the piece's frame."""
        low, high = _own_box(self.solid)
        return Box.around(
            [self.placement.point((x, y, z)) for x in (low[0], high[0]) for y in (low[1], high[1]) for z in (low[2], high[2])]
        )


def _own_box(solid: Rod | Block | Screw | Staple) -> tuple[Vec, Vec]:
    match solid:
        case Rod(diameter, length):
            r = diameter / 2
            return (-r, -r, 0.0), (r, r, length)
        case Block(size):
            return (0.0, 0.0, 0.0), size
        case Screw():
            r = max(radius for radius, _ in solid.section)
            return (-r, -r, solid.section[0][1]), (r, r, solid.length_mm)
        case Staple(crown, wire, length):
            return (-crown / 2, -wire / 2, 0.0), (crown / 2, wire / 2, length)
        case _:
            assert_never(solid)
