"""The resolved design: frozen, in millimetres, ordered. The narrow waist of the program."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import Enum
from functools import cached_property
from typing import Literal

from build123.model.frame import Box, Vec
from build123.model.part import Hardware, Part, Stock
from build123.model.why import Why
from build123.problem.source import Span


class ExpectKind(Enum):
    """What is expected of two faces.

    seat: they touch (a floor, a shoulder, a bearing face, a glued or a resting face) · gap: they stay apart, facing each
    other (a floor under a shoulder, an end with room) · clearance: the sum of the two opposed gaps along an axis
    (a housing about its member) · bore: two holes, or a hole and a rod, on one axis.
    """

    seat = "seat"
    gap = "gap"
    clearance = "clearance"
    bore = "bore"


@dataclass(frozen=True, slots=True)
class Expect:
    """One expected contact between part `a` (the member) and `b` (the receiver), to be found on the solids.

    `direction`: seat and gap: the outward normal of a's face; clearance and bore: the axis. `near` is the region in the
    piece's frame where it lies. `low_mm`..`high_mm` is what is accepted, `nominal_mm` what is meant. `what` completes
    "X ... on the floor of the dado in Y". `fit` names the fit, "screw" for a clearance hole over its pilot hole. `glued` faces count as glue area, of which `glued_mm` is the length in the middle that
    glue goes on, None for all of it. `more` are further members that share the
    housing: their thicknesses add up.
    """

    kind: ExpectKind
    a: str
    b: str
    direction: Vec
    near: Box
    low_mm: float = 0.0
    high_mm: float = 0.0
    nominal_mm: float = 0.0
    what: str = ""
    fit: str = ""
    glued: bool = False
    glued_mm: float | None = None
    shoulder: bool = False
    more: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class JointSize:
    """A number of a joint with its reason; `default` tells that the spec left it to common practice."""

    name: str
    why: Why

    @property
    def default(self) -> bool:
        """Whether common practice supplied it."""
        return bool(self.why.default)


@dataclass(frozen=True, slots=True)
class Joint:
    """One member in one receiver.

    `id` reads "dado: bottom in left side" and is unique. `opens` is the direction in the piece in which the member leaves
    the receiver, None where it may leave any way. `rests` tells that bare touching is all that was declared.
    """

    id: str
    kind: str
    member: str
    receiver: str
    opens: Vec | None
    expects: tuple[Expect, ...] = ()
    sizes: tuple[JointSize, ...] = ()
    rests: bool = False
    span: Span | None = None


@dataclass(frozen=True, slots=True)
class Waiver:
    """A finding that the maker has looked at and accepts, with the reason."""

    finding: str
    parts: tuple[str, ...]
    reason: str
    span: Span | None = None


@dataclass(frozen=True, slots=True)
class Shop:
    """How exactly the shop works, and what it drives screws with. Lengths in mm.

    Each spread is the largest minus the smallest of what comes out: `cutting` is the width and depth of a trench from one
    setup, `sawing` a length off a stop, `drilling` a hole's diameter, `laying_out` a position marked with rule and square.
    `screwdriver` is the driver's length with its handle, `hand` the room that a hand needs around the head of a screw.
    `marking` is the stroke that shoulders of trenches are marked to on the sheets, 0 for their exact place.
    `reasons` are those of the values that the spec gives, by the names of its keys; the others are `default`.
    """

    cutting_mm: float = 0.10
    sawing_mm: float = 0.25
    drilling_mm: float = 0.05
    laying_out_mm: float = 0.25
    screwdriver_mm: float = 250.0
    hand_mm: float = 60.0
    marking_mm: float = 0.0
    reasons: tuple[Why, ...] = ()
    default: str = "common practice of a small shop, from memory"

    @property
    def given(self) -> frozenset[str]:
        """The keys that the spec gives."""
        return frozenset(why.what for why in self.reasons)

    def why(self, key: str) -> Why:
        """The reason of a value by its key ("laying out"); KeyError for what a shop does not have."""
        values = {
            "cutting": self.cutting_mm,
            "sawing": self.sawing_mm,
            "drilling": self.drilling_mm,
            "laying out": self.laying_out_mm,
            "screwdriver": self.screwdriver_mm,
            "hand": self.hand_mm,
            "marking": self.marking_mm,
        }
        return next((why for why in self.reasons if why.what == key), Why(key, values[key], default=self.default))


@dataclass(frozen=True, slots=True)
class Climate:
    """Where the piece stands: the driest and the dampest air of a year, % relative humidity, and what wood makes of it.

    `change` is the change of moisture content between the two, in points.
    """

    name: str
    driest_pct: float
    dampest_pct: float
    temperature_c: float
    change: Why
    source: str


@dataclass(frozen=True, slots=True)
class Size:
    """A named size of the spec."""

    name: str
    why: Why


@dataclass(frozen=True)
class Design:
    """A piece, whole. `notes` are the counts that the resolver prints ("dado: 6 of shelf in side")."""

    piece: str
    slug: str
    units: Literal["mm", "in"]
    parts: tuple[Part, ...]
    hardware: tuple[Hardware, ...] = ()
    joints: tuple[Joint, ...] = ()
    stocks: tuple[Stock, ...] = ()
    sizes: tuple[Size, ...] = ()
    waivers: tuple[Waiver, ...] = ()
    notes: tuple[str, ...] = ()
    groups: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    shop: Shop = Shop()
    climate: Climate | None = None
    span: Span | None = None

    @cached_property
    def by_name(self) -> dict[str, Part]:
        """Parts by name."""
        return {part.name: part for part in self.parts}

    @cached_property
    def kinds(self) -> dict[str, tuple[Part, ...]]:
        """Distinct parts: members by shape key and stock, in order of the first member."""
        found: dict[str, list[Part]] = {}
        for part in self.parts:
            found.setdefault(f"{part.shape_key} {part.stock.name}", []).append(part)
        return {key: tuple(parts) for key, parts in found.items()}
