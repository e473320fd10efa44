"""Stock, parts, hardware and shapes in the report."""

from __future__ import annotations

from typing import Any, Final

from typing_extensions import assert_never

from build123.exports.drawings import sheet_path
from build123.exports.figures import box, direction, figure, figure_or_none, matrix, point, volume_sum
from build123.exports.job import Job
from build123.exports.report_features import feature_data
from build123.exports.report_places import Places
from build123.exports.report_reasons import Reasons
from build123.model.design import Climate
from build123.model.measured import Driven
from build123.model.part import Block, Hardware, Part, Rod, Screw, Staple, Stock
from build123.shop.cutlist import symmetric

KG_IN_MM3: Final = 1e-9
"""Kilograms of a cubic millimetre at 1 kg/m3."""


def climate_data(climate: Climate | None, reasons: Reasons) -> dict[str, Any] | None:
    """Where the piece will stand."""
    if climate is None:
        return None
    return {
        "name": climate.name,
        "driest_pct": figure(climate.driest_pct),
        "dampest_pct": figure(climate.dampest_pct),
        "temperature_c": figure(climate.temperature_c),
        "change": reasons.index(climate.change),
        "source": climate.source,
    }


def stock_data(stock: Stock, reasons: Reasons, places: Places) -> dict[str, Any]:
    """One stock."""
    return {
        "name": stock.name,
        "kind": stock.kind,
        "material": stock.material,
        "thickness_mm": figure(stock.thickness_mm),
        "spread_mm": figure(stock.spread_mm),
        "nominal_mm": figure_or_none(stock.nominal_mm),
        "length_mm": figure_or_none(stock.length_mm),
        "width_mm": figure_or_none(stock.width_mm),
        "grain": stock.grain,
        "rings": stock.rings,
        "moves": None if stock.moves is None else reasons.index(stock.moves),
        "density_kg_m3": figure_or_none(stock.density_kg_m3),
        "colour": [figure(value) for value in stock.colour],
        "place": places.of(stock.span),
    }


def shapes_data(job: Job) -> list[dict[str, Any]]:
    """Each distinct solid as it was measured, in the order in which bodies have it first."""
    bodies: dict[str, list[str]] = {}
    names = [*(part.name for part in job.design.parts), *(thing.name for thing in job.design.hardware)]
    for name in names:
        bodies.setdefault(job.fit.shape_of[name], []).append(name)
    found = []
    for key, alike in bodies.items():
        facts = job.fit.shapes[key]
        found.append({"key": key, "volume_mm3": figure(facts.volume_mm3), "area_mm2": figure(facts.area_mm2), "box": box(facts.box),
                      "valid": facts.valid, "bodies": alike})  # fmt: skip
    return found


def mass_kg(part: Part, job: Job) -> float | None:
    """Volume as measured times the stock's density; None where that is not known."""
    density = part.stock.density_kg_m3
    return None if density is None else job.fit.shapes[job.fit.shape_of[part.name]].volume_mm3 * density * KG_IN_MM3


def masses_data(job: Job) -> dict[str, Any]:
    """The weight of all parts together, without hardware; `total_kg` is null unless all are known."""
    masses = [mass_kg(part, job) for part in job.design.parts]
    known = figure(volume_sum(mass for mass in masses if mass is not None))
    unknown = sum(mass is None for mass in masses)
    return {"total_kg": None if unknown else known, "known_kg": known, "parts_without_density": unknown}


def part_data(part: Part, job: Job, hands: dict[tuple[str, str], str], reasons: Reasons, places: Places) -> dict[str, Any]:
    """One part. `hands` gives the first part by shape key and stock, to name the opposite hand."""
    stem = job.file_names[part.name]
    return {
        "name": part.name,
        "stock": part.stock.name,
        "length_mm": figure(part.length_mm),
        "width_mm": figure(part.width_mm),
        "thickness_mm": figure(part.thickness_mm),
        "why": {name: reasons.index(why) for name, why in part.sizes.items()},
        "placement": matrix(part.placement),
        "shape": job.fit.shape_of[part.name],
        "shape_key": part.shape_key,
        "opposite_hand": "" if symmetric(part) else hands.get((part.hand_key, part.stock.name), ""),
        "file": stem,
        "files": {"step": f"parts/{stem}.step", "stl": f"parts/{stem}.stl", "drawing": sheet_path(job, part, "svg")},
        "looks": dict(sorted(part.looks.items())),
        "show": part.show,
        "grain": None if part.stock.grain == "none" else direction(part.placement.x),
        "family": part.family,
        "path": list(part.path),
        "made_up": part.made_up,
        "loose": part.loose,
        "as_cut": list(part.as_cut),
        "mass_kg": figure_or_none(mass_kg(part, job)),
        "features": [feature_data(feature, reasons) for feature in part.features],
        "place": places.of(part.span),
    }


def hardware_data(thing: Hardware, job: Job, places: Places) -> dict[str, Any]:
    """One thing that is bought."""
    return {
        "name": thing.name,
        "label": thing.label,
        "solid": _solid(thing.solid),
        "placement": matrix(thing.placement),
        "shape": job.fit.shape_of[thing.name],
        "joint": thing.joint,
        "bites": list(thing.bites),
        "stands": [_stands(one) for one in job.fit.driven if one.hardware == thing.name],
        "path": list(thing.path),
        "place": places.of(thing.span),
    }


def _stands(one: Driven) -> dict[str, Any]:
    """How a screw or a nail stands in one part, as measured."""
    return {
        "part": one.part,
        "bite_mm": figure(one.bite_mm),
        "broken_mm": figure(one.broken_mm),
        "beyond_mm": figure_or_none(one.beyond_mm),
        "point": point(one.point),
    }


def _solid(solid: Rod | Block | Screw | Staple) -> dict[str, Any]:
    match solid:
        case Rod():
            return {"kind": "rod", "diameter_mm": figure(solid.diameter_mm), "length_mm": figure(solid.length_mm)}
        case Block():
            return {"kind": "block", "size_mm": point(solid.size_mm)}
        case Screw():
            return {
                "kind": "screw",
                "diameter_mm": figure(solid.diameter_mm),
                "length_mm": figure(solid.length_mm),
                "head_mm": figure(solid.head_mm),
                "head_height_mm": figure(solid.head_height_mm),
                "countersunk": solid.countersunk,
                "washer_mm": [figure(size) for size in solid.washer_mm],
            }
        case Staple():
            return {
                "kind": "staple",
                "crown_mm": figure(solid.crown_mm),
                "wire_mm": figure(solid.wire_mm),
                "length_mm": figure(solid.length_mm),
            }
        case _:
            assert_never(solid)
