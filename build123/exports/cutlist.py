"""`cutlist.csv`: one row for each distinct part, for a spreadsheet or a pencil.

RFC 4180, UTF-8, first line a header. Text is in quotes, numbers are not. A text that a spreadsheet would take for a formula has
an apostrophe before it (OWASP, "CSV Injection"). Columns, in this order:

part              the first of the parts that are alike; its files are named for it
count             how many to cut
thickness, width, length   finished, in the spec's units; length is along the grain
stock, material   the spec's name for the stock, and what that is
grain             "along the length", or "any way" for stock without
opposite hand of  where this row mirrors an earlier one: that row's part
parts             all that are alike, with "; " between
as cut            which of them are made already
file              the stem of the part's files
thickness_mm, width_mm, length_mm   the same sizes as plain numbers in mm
"""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping
from typing import Final

from build123.exports.job import Job, differs
from build123.fields.quantity import Units
from build123.fields.show import show_length
from build123.problem import Finding
from build123.problem.visible import visible
from build123.shop.cutlist import CutRow, cut_list

NAME: Final = "cutlist"
PATH: Final = "cutlist.csv"
HEADER: Final = (
    "part", "count", "thickness", "width", "length", "stock", "material", "grain", "opposite hand of", "parts", "as cut", "file",
    "thickness_mm", "width_mm", "length_mm",
)  # fmt: skip
READ_MM: Final = 0.001
"""The figures of the file are rounded to 0.0001 mm; a solid measured within this of them is the same."""

_STARTS_FORMULA: Final = tuple("=+-@\uff1d\uff0b\uff0d\uff20")


def write(job: Job) -> dict[str, bytes]:
    """The cut list of one piece."""
    units: Units = "in" if job.design.units == "in" else "mm"
    text = io.StringIO(newline="")
    rows = csv.writer(text, quoting=csv.QUOTE_NONNUMERIC, lineterminator="\r\n")
    rows.writerow(HEADER)
    for row in cut_list(job.design):
        rows.writerow(_cells(row, job, units))
    return {PATH: text.getvalue().encode("utf-8")}


def _cells(row: CutRow, job: Job, units: Units) -> list[str | int | float]:
    sizes = (row.thickness_mm, row.width_mm, row.length_mm)
    return [
        harmless(row.parts[0]),
        row.count,
        *(show_length(size, units) for size in sizes),
        harmless(row.stock.name),
        harmless(row.stock.material),
        "any way" if row.stock.grain == "none" else "along the length",
        harmless(f"opposite hand of {row.opposite_of}") if row.opposite_of else "",
        "; ".join(harmless(name) for name in row.parts),
        "; ".join(harmless(name) for name in row.parts if job.design.by_name[name].as_cut),
        job.file_names[row.parts[0]],
        *(_number(size) for size in sizes),
    ]


def harmless(text: str) -> str:
    """Text that no spreadsheet runs: control characters made visible, an apostrophe before the start of a formula."""
    seen = visible(text)
    return "'" + seen if seen.lstrip().startswith(_STARTS_FORMULA) else seen


def _number(mm: float) -> int | float:
    rounded = round(mm, 4)
    return int(rounded) if rounded == int(rounded) else rounded


def verify(job: Job, files: Mapping[str, bytes]) -> list[Finding]:
    """Read the rows back: every part of the piece once, and no solid as measured larger than its row says."""
    found: list[Finding] = []
    rows = list(csv.DictReader(io.StringIO(files[PATH].decode("utf-8"), newline=""), strict=True))
    if not rows or tuple(rows[0]) != HEADER:
        return [differs(PATH, "the header is not as documented" if rows else "it holds no part")]
    stems = [row["file"] for row in rows]
    if len(set(stems)) != len(stems) or set(stems) != set(job.file_names.values()):
        found.append(differs(PATH, "its rows are not the distinct parts of the piece"))
    by_stem = dict(zip(stems, rows, strict=True))
    counted = dict.fromkeys(stems, 0)
    for part in job.design.parts:
        stem = job.file_names[part.name]
        row = by_stem.get(stem)
        if row is None:
            continue
        counted[stem] += 1
        if harmless(part.name) not in row["parts"]:
            found.append(differs(PATH, f"{part.name} is not in the row of {row['part']}", part.name))
        told = [float(row[f"{side}_mm"]) for side in ("length", "width", "thickness")]
        measured = job.fit.shapes[job.fit.shape_of[part.name]].box.size
        if any(size > said + READ_MM for size, said in zip(measured, told, strict=True)):
            wanted = " x ".join(f"{size:.3f}" for size in measured)
            found.append(differs(PATH, f"the solid of {part.name} measures {wanted} mm, more than its row says", part.name))
    found += [
        differs(PATH, f"{row['count']} of {row['part']} where the piece has {counted[row['file']]}")
        for row in rows
        if int(row["count"]) != counted[row["file"]]
    ]
    return found
