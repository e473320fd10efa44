"""`report.json`: everything that is known of the piece, for a viewer or any program. `report.schema.json` documents it.

`report` is the version of the format: a reader may meet new keys under the same number, never another meaning. Lengths are mm,
coordinates are the piece's (x to the right, y to the back, z up) unless a key says bench. `why` keys are indexes of `reasons`.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any, Final

from build123 import __version__
from build123.checks.seen import MEASURED_MM, Seen, overlap_name
from build123.exports.figures import box, figure, matrix, point, text_of
from build123.exports.job import Job, differs
from build123.exports.report_joints import joint_data
from build123.exports.report_parts import climate_data, hardware_data, masses_data, part_data, shapes_data, stock_data
from build123.exports.report_places import Places, short_name
from build123.exports.report_plan import first_fit_data, glue_up_data
from build123.exports.report_reasons import Reasons
from build123.model.design import Waiver
from build123.model.frame import Box
from build123.model.measured import Overlap
from build123.problem import Finding, Severity

NAME: Final = "report"
PATH: Final = "report.json"
LAST: Final = True
FORMAT: Final = 1


def write(job: Job) -> dict[str, bytes]:
    """The report of one piece."""
    return {PATH: text_of(report_data(job))}


def report_data(job: Job) -> dict[str, Any]:
    """The same as a dict of JSON values."""
    design = job.design
    places, seen = Places(job.spec_names), Seen(design, job.fit)
    reasons = Reasons(places)
    hands: dict[tuple[str, str], str] = {}
    for part in design.parts:
        hands.setdefault((part.shape_key, part.stock.name), part.name)
    sizes = [{"name": size.name, "why": reasons.index(size.why)} for size in design.sizes]
    parts = [part_data(part, job, hands, reasons, places) for part in design.parts]
    joints = [joint_data(joint, seen, reasons, places) for joint in design.joints]
    return {
        "report": FORMAT,
        "build123": __version__,
        "piece": design.piece,
        "units": design.units,
        "spec": {"names": [short_name(name, job.spec_names[0]) for name in job.spec_names], "sha256": job.spec_sha256,
                 "set": dict(sorted(job.set_sizes.items()))},
        "dry_fit": "failed" if job.failed else "passed",
        "counts": _counts(job),
        "masses": masses_data(job),
        "box": box(_box(job)),
        "notes": list(design.notes),
        "groups": {name: list(members) for name, members in sorted(design.groups.items())},
        "climate": climate_data(design.climate, reasons),
        "stock": [stock_data(stock, reasons, places) for stock in design.stocks],
        "sizes": sizes,
        "parts": parts,
        "hardware": [hardware_data(thing, job, places) for thing in design.hardware],
        "shapes": shapes_data(job),
        "joints": joints,
        "glue_up": glue_up_data(job.glue_up),
        "first_fit": first_fit_data(job.first_fit, design.units, design.shop),
        "findings": [places.finding(finding) for finding in job.findings],
        "overlaps": [_overlap(n, lap) for n, lap in enumerate(job.fit.overlaps)],
        "waivers": [_waiver(waiver, places) for waiver in design.waivers],
        "reasons": reasons.table,
    }  # fmt: skip


def _counts(job: Job) -> dict[str, int]:
    live = [finding for finding in job.findings if not finding.waived]
    return {
        "parts": len(job.design.parts),
        "distinct_parts": len(job.design.kinds),
        "hardware": len(job.design.hardware),
        "joints": len(job.design.joints),
        "features": sum(len(part.features) for part in job.design.parts),
        "pairs_looked_at": job.fit.pairs_looked_at,
        "faces_in_contact": sum(abs(gap.gap_mm) <= MEASURED_MM for gap in job.fit.gaps),
        "face_pairs": len(job.fit.gaps),
        "bore_pairs": len(job.fit.bores),
        "overlaps": len(job.fit.overlaps),
        "errors": sum(finding.severity is Severity.error for finding in live),
        "warnings": sum(finding.severity is Severity.warning for finding in live),
        "notes": sum(finding.severity is Severity.note for finding in live),
        "waived": len(job.findings) - len(live),
    }


def _box(job: Job) -> Box:
    boxes = [part.box for part in job.design.parts]
    return Box.around([corner for one in boxes for corner in (one.low, one.high)] or [(0.0, 0.0, 0.0)])


def _overlap(n: int, lap: Overlap) -> dict[str, Any]:
    """`mesh` shows the common volume: corners in the piece (mm), triangles as indexes of them."""
    mesh = lap.mesh
    return {
        "name": overlap_name(n),
        "a": lap.a,
        "b": lap.b,
        "volume_mm3": figure(lap.volume_mm3),
        "depth_mm": figure(lap.depth_mm),
        "at": point(lap.at),
        "near": box(lap.near),
        "mesh": None
        if mesh is None
        else {
            "vertices": [[figure(float(v)) for v in row] for row in mesh.vertices],
            "faces": [[int(v) for v in row] for row in mesh.faces],
        },
    }


def _waiver(waiver: Waiver, places: Places) -> dict[str, Any]:
    return {"finding": waiver.finding, "parts": list(waiver.parts), "reason": waiver.reason, "place": places.of(waiver.span)}


def verify(job: Job, files: Mapping[str, bytes]) -> list[Finding]:
    """Read it back: the parts and their places, the sizes against the solids, and every index and name that it refers to."""
    try:
        data = json.loads(files[PATH], parse_constant=_refused)
    except ValueError as problem:
        return [differs(PATH, f"it is not JSON: {problem}")]
    found: list[Finding] = []
    design, told = job.design, {part["name"]: part for part in data["parts"]}
    if (data["report"], data["units"], data["piece"]) != (FORMAT, design.units, design.piece):
        found.append(differs(PATH, "its head is not that of the piece"))
    if list(told) != [part.name for part in design.parts]:
        found.append(differs(PATH, "its parts are not those of the piece"))
    for part in design.parts:
        entry = told.get(part.name)
        if entry is None:
            continue
        size = [entry["length_mm"], entry["width_mm"], entry["thickness_mm"]]
        solid = job.fit.shapes[entry["shape"]].box
        if any(high > side + MEASURED_MM for high, side in zip(solid.size, size, strict=True)) or entry["placement"] != matrix(
            part.placement
        ):
            found.append(differs(PATH, f"{part.name} has another size or place", part.name))
    if len(data["findings"]) != len(job.findings):
        found.append(differs(PATH, f"it holds {len(data['findings'])} of {len(job.findings)} findings"))
    return found + _loose_ends(data)


def _loose_ends(data: dict[str, Any]) -> list[Finding]:
    """References that lead nowhere."""
    reasons = data["reasons"]
    used = [n for part in data["parts"] for n in part["why"].values()]
    used += [n for part in data["parts"] for feature in part["features"] for n in feature["why"].values()]
    used += [size["why"] for one in (data, *data["joints"]) for size in one["sizes"]]
    bodies = {one["name"] for one in (*data["parts"], *data["hardware"])}
    laps = {lap["name"] for lap in data["overlaps"]}
    found = []
    if any(not 0 <= n < len(reasons) for n in used) or any(not 0 <= n < at for at, reason in enumerate(reasons) for n in reason["of"]):
        found.append(differs(PATH, "a size refers to a reason that is not there"))
    if any(joint[end] not in bodies for joint in data["joints"] for end in ("member", "receiver")):
        found.append(differs(PATH, "a joint names a part that is not there"))
    if any(finding["overlap"] and finding["overlap"] not in laps for finding in data["findings"]):
        found.append(differs(PATH, "a finding shows an overlap that is not there"))
    return found


def _refused(word: str) -> float:
    raise ValueError(f"{word} is no number")
