"""Screws, nails, pins, brads and staples: their sizes, the holes they want, the lengths they are sold in."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Literal, cast

from build123.trade.tables import INCH_MM, Row, length_mm, rows, table

NailKind = Literal["pin", "brad", "finish nail", "staple"]


@dataclass(frozen=True, slots=True)
class ScrewSize:
    """One size of countersunk wood screw, mm. `label` is as the trade says it: "No. 8", "4 mm".

    `head_mm` is the sharp edge of the head, `countersink_deg` the included angle of its cone.
    Root, clearance and pilots are None for the gauges whose source gives none.
    """

    id: str
    label: str
    metric: bool
    diameter_mm: float
    root_mm: float | None
    pitch_mm: float
    head_mm: float
    head_height_mm: float
    countersink_deg: float
    clearance_mm: float | None
    pilot_soft_mm: float | None
    pilot_hard_mm: float | None
    length_min_mm: float
    length_max_mm: float
    note: str
    source: str
    confidence: str

    @property
    def threads_per_in(self) -> float:
        """Threads in one inch."""
        return float(INCH_MM) / self.pitch_mm

    @property
    def complete(self) -> bool:
        """Whether holes can be drilled for it from the table alone."""
        return None not in (self.root_mm, self.clearance_mm, self.pilot_soft_mm, self.pilot_hard_mm)


@dataclass(frozen=True, slots=True)
class PanHead:
    """The pan head of a screw that must let the wood move, and the washer under it, mm (outer diameter, thickness)."""

    screw: str
    head_mm: float
    head_height_mm: float
    washer_mm: float
    washer_thickness_mm: float
    note: str
    source: str
    confidence: str


@dataclass(frozen=True, slots=True)
class NailSize:
    """A nail, pin or brad as driven by air, or a staple: then `diameter_mm` is one leg and `crown_mm` the width outside the legs."""

    id: str
    label: str
    kind: NailKind
    diameter_mm: float
    crown_mm: float | None
    length_min_mm: float
    length_max_mm: float
    note: str
    source: str
    confidence: str


@cache
def screws() -> Mapping[str, ScrewSize]:
    """Wood screws by gauge ("8"), then metric ones by diameter ("4 mm"), small ones first."""

    def made(row: Row) -> ScrewSize:
        unit, name = row["unit"], row["screw"]
        metric = unit == "mm"

        def size(column: str) -> float:
            return length_mm(row[column], unit)

        def size_if_known(column: str) -> float | None:
            return size(column) if row[column] else None

        return ScrewSize(
            id=name,
            label=name if metric else f"No. {name}",
            metric=metric,
            diameter_mm=size("diameter"),
            root_mm=size_if_known("root"),
            pitch_mm=size("pitch"),
            head_mm=size("head"),
            head_height_mm=size("head_height"),
            countersink_deg=float(row["countersink_deg"]),
            clearance_mm=size_if_known("clearance"),
            pilot_soft_mm=size_if_known("pilot_soft"),
            pilot_hard_mm=size_if_known("pilot_hard"),
            length_min_mm=size("length_min"),
            length_max_mm=size("length_max"),
            note=row["note"],
            source=row["source"],
            confidence=row["confidence"],
        )

    return table("screws", "screw", made)


@cache
def pan_heads() -> Mapping[str, PanHead]:
    """Pan heads and washers by the id of their screw."""

    def made(row: Row) -> PanHead:
        unit = row["unit"]
        head = (length_mm(row["head"], unit), length_mm(row["head_height"], unit))
        washer = (length_mm(row["washer"], unit), length_mm(row["washer_thickness"], unit))
        return PanHead(row["screw"], *head, *washer, row["note"], row["source"], row["confidence"])

    return table("pan_heads", "screw", made)


@cache
def nails() -> Mapping[str, NailSize]:
    """Pins, brads, finish nails and staples by row id."""

    def made(row: Row) -> NailSize:
        crown = float(row["crown_mm"]) if row["crown_mm"] else None
        lengths = (float(row["length_min_mm"]), float(row["length_max_mm"]))
        about = (row["note"], row["source"], row["confidence"])
        return NailSize(row["nail"], row["label"], cast(NailKind, row["kind"]), float(row["diameter_mm"]), crown, *lengths, *about)

    return table("nails", "nail", made)


def screw_lengths_mm(screw: str) -> tuple[float, ...]:
    """The lengths a shop usually has of one screw, shortest first. KeyError where there is no such screw (common practice)."""
    size = screws()[screw]
    unit = "mm" if size.metric else "in"
    usual = next(row["lengths"] for row in rows("screw_lengths") if row["unit"] == unit).split(";")
    return tuple(found for found in (length_mm(text, unit) for text in usual) if size.length_min_mm <= found <= size.length_max_mm)
