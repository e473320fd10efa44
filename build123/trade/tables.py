"""The data tables, read when first asked for and kept.

Every row carries `source` and `confidence`: "confirmed" was seen in a public text, "from memory" was not.
"""

from __future__ import annotations

import csv
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from importlib.resources import files
from types import MappingProxyType
from typing import TypeVar

INCH_MM = Fraction(254, 10)
"""Exact by definition (international inch, 1959)."""

Row = Mapping[str, str]
T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Fit:
    """Total clearance of a housing about its member, mm; negative is a squeeze. `rule` is where the range is from."""

    name: str
    nominal_mm: float
    low_mm: float
    high_mm: float
    rule: str
    note: str
    source: str
    confidence: str


@dataclass(frozen=True, slots=True)
class DowelSize:
    """One diameter of dowel pin with the lengths it is sold in. `label` is the diameter as the trade says it."""

    id: str
    label: str
    diameter_mm: float
    lengths_mm: tuple[float, ...]
    metric: bool
    kind: str
    note: str
    source: str
    confidence: str


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule of thumb. `low`, `high` and `usual` count `unit` (in, mm, count, or a share or multiple of `relative_to`).

    A value that the source does not give is None.
    """

    id: str
    topic: str
    says: str
    low: float | None
    high: float | None
    usual: float | None
    unit: str
    relative_to: str
    note: str
    source: str
    confidence: str

    @property
    def cited(self) -> str:
        """The source as findings print it: "DADO-FACING (common practice, from memory)"."""
        return f"{self.id} ({self.source}, {self.confidence})" if self.confidence != "confirmed" else f"{self.id} ({self.source})"

    @property
    def least(self) -> float:
        """The lower limit: lengths in mm, else as the unit says. ValueError where the rule has none."""
        return self._number(self.low)

    @property
    def most(self) -> float:
        """The upper limit, likewise."""
        return self._number(self.high)

    @property
    def common(self) -> float:
        """The usual value, likewise."""
        return self._number(self.usual)

    def _number(self, value: float | None) -> float:
        if value is None:
            raise ValueError(f"rule {self.id} gives no such value")
        return value * float(INCH_MM) if self.unit == "in" else value


@dataclass(frozen=True, slots=True)
class Species:
    """A wood. `specific_gravity` is oven-dry weight on the volume at 12 % moisture content, None where not published so.

    `radial_per_pct`, `tangential_per_pct` are the change in size per percent of moisture content (share of the width).
    """

    id: str
    name: str
    botanical: str
    hardwood: bool
    specific_gravity: float | None
    radial_per_pct: float
    tangential_per_pct: float
    note: str
    source: str
    confidence: str
    confidence_of_moves: str

    @property
    def density_kg_m3(self) -> float | None:
        """Weight at 12 % moisture content: specific gravity × 1000 × 1.12 (definition of specific gravity)."""
        return None if self.specific_gravity is None else self.specific_gravity * 1120.0

    @property
    def source_of_moves(self) -> str:
        """The last of the sources: they are in the order of strength, shrinkage, coefficients."""
        return self.source.split("; ")[-1]


@dataclass(frozen=True, slots=True)
class Panel:
    """A sheet material with its density.

    `moves_per_pct` is the change in length or width per percent of moisture content (share of it), by `moves_source`, from memory.
    """

    material: str
    density_kg_m3: float
    note: str
    moves_per_pct: float
    moves_source: str
    source: str
    confidence: str


@dataclass(frozen=True, slots=True)
class Sheet:
    """A size that sheets are sold in, mm; `length_mm` is along the face grain unless the note says else."""

    id: str
    product: str
    length_mm: float
    width_mm: float
    note: str
    source: str
    confidence: str


@cache
def fits() -> Mapping[str, Fit]:
    """Named fits: press, slip, easy."""

    def made(row: Row) -> Fit:
        numbers = (float(row["nominal_mm"]), float(row["low_mm"]), float(row["high_mm"]))
        return Fit(row["fit"], *numbers, row["rule"], row["note"], row["source"], row["confidence"])

    return table("fits", "fit", made)


@cache
def dowels() -> Mapping[str, DowelSize]:
    """Dowel pins by row id, inch sizes first, small ones first."""

    def made(row: Row) -> DowelSize:
        unit = row["unit"]
        lengths = tuple(length_mm(text, unit) for text in row["lengths"].split(";"))
        label = f"{row['diameter']} {unit}"
        about = (row["kind"], row["note"], row["source"], row["confidence"])
        return DowelSize(row["dowel"], label, length_mm(row["diameter"], unit), lengths, unit == "mm", *about)

    return table("dowels", "dowel", made)


@cache
def rules() -> Mapping[str, Rule]:
    """Rules of thumb for joints, by id."""

    def made(row: Row) -> Rule:
        numbers = (_maybe(row["low"]), _maybe(row["high"]), _maybe(row["usual"]))
        about = (row["unit"], row["relative_to"], row["note"], row["source"], row["confidence"])
        return Rule(row["rule"], row["topic"], row["says"], *numbers, *about)

    return table("joinery", "rule", made)


@cache
def species() -> Mapping[str, Species]:
    """Woods by id."""

    def made(row: Row) -> Species:
        moves = (float(row["coef_CR_per_pct_mc"]), float(row["coef_CT_per_pct_mc"]))
        about = (row["note"], row["source"], row["confidence"])
        hardwood, sure = row["group"] == "hardwood", row["confidence_coefficients"]
        gravity = _maybe(row["specific_gravity_12pct_mc"])
        return Species(row["species_id"], row["trade_name"], row["botanical_name"], hardwood, gravity, *moves, *about, sure)

    return table("species", "species_id", made)


@cache
def panels() -> Mapping[str, Panel]:
    """Sheet materials by name."""

    def made(row: Row) -> Panel:
        density, moves = float(row["density_kg_m3"]), float(row["coef_per_pct_mc"])
        return Panel(row["material"], density, row["note"], moves, row["coef_source"], row["source"], row["confidence"])

    return table("panels", "material", made)


@cache
def sheets() -> Mapping[str, Sheet]:
    """Sheet sizes by row id."""

    def made(row: Row) -> Sheet:
        sizes = (float(row["length_mm"]), float(row["width_mm"]))
        return Sheet(row["sheet"], row["product"], *sizes, row["note"], row["source"], row["confidence"])

    return table("sheets", "sheet", made)


def density_kg_m3(material: str) -> float | None:
    """Density of a material by its trade name ("white oak", "ash", "birch plywood"); None where it is not known.

    A wood answers to its name with or without the bracketed kind, where only one wood has that name.
    """
    wanted = material.strip().lower()
    if wanted in panels():
        return panels()[wanted].density_kg_m3
    exact = [wood for wood in species().values() if wood.name.lower() == wanted]
    plain = [wood for wood in species().values() if wood.name.lower().split(" (")[0] == wanted]
    found = exact or plain
    return found[0].density_kg_m3 if len(found) == 1 else None


def table(name: str, key: str, made: Callable[[Row], T]) -> Mapping[str, T]:
    """One table, a row made into a thing, by its key column. ValueError where a key comes twice."""
    things: dict[str, T] = {}
    for row in rows(name):
        if row[key] in things:
            raise ValueError(f"{name}.csv has {row[key]} twice")
        things[row[key]] = made(row)
    return MappingProxyType(things)


@cache
def rows(name: str) -> tuple[Row, ...]:
    """The rows of one table as text, by column."""
    text = (files("build123.trade") / "data" / f"{name}.csv").read_text(encoding="utf-8")
    return tuple(csv.DictReader(text.splitlines()))


TABLES = (
    *("fits", "dowels", "joinery", "species", "panels", "sheets"),
    *("screws", "screw_lengths", "pan_heads", "nails", "emc", "climate", "strength", "lateral"),
)


def _maybe(text: str) -> float | None:
    """A plain number, or None for what is not one ("actual panel thickness + 0.005")."""
    try:
        return float(text)
    except ValueError:
        return None


def length_mm(text: str, unit: str) -> float:
    """A length such as "1 1/2", "0.164" or "40" in `in` or `mm`."""
    value = sum((Fraction(piece) for piece in text.split()), Fraction(0))
    return float(value * INCH_MM if unit == "in" else value)
