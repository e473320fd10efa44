"""What is wrong with a part's sheet as DXF, read back tag by tag without the library that wrote it."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from build123.drawing.dxf import clean
from build123.drawing.titleblock import FAILED
from build123.model.part import Part

MEASURED_MM = 0.001
"""A dimension measures what the part has to this."""

_Tags = list[tuple[int, str]]


@dataclass(frozen=True)
class DxfRead:
    """Header values, and the tags of each entity and object by type."""

    header: dict[str, str]
    records: tuple[tuple[str, _Tags], ...]

    def all(self, kind: str) -> list[dict[int, str]]:
        """Every record of a type; the last value of a code that comes more than once."""
        return [dict(tags) for name, tags in self.records if name == kind]


def read(data: bytes) -> DxfRead:
    """The tags of a text DXF. ValueError where it is none."""
    lines = data.decode("utf-8").split("\n")
    if len(lines) % 2 == 1 and lines[-1] == "":
        lines.pop()
    tags = [(int(code), value) for code, value in zip(lines[::2], lines[1::2], strict=True)]
    if not tags or tags[-1] != (0, "EOF"):
        raise ValueError("it does not come to its end")
    header = {a[1]: b[1] for a, b in itertools.pairwise(tags) if a[0] == 9}
    records: list[tuple[str, _Tags]] = []
    for code, value in tags:
        if code == 0:
            records.append((value, []))
        elif records:
            records[-1][1].append((code, value))
    return DxfRead(header, tuple(records))


def wrong(parts: Sequence[Part], failed: bool, data: bytes) -> Iterator[str]:
    """Units, every feature, the overall sizes as measured by dimensions, what it says."""
    try:
        found = read(data)
    except ValueError as error:
        yield f"is not a whole DXF: {error}"
        return
    if found.header.get("$INSUNITS") != "4":
        yield "is not in millimetres"
    shown = {group.get(300, "") for group in found.all("GROUP")}
    for feature in parts[0].features:
        if clean(feature.about.id)[:250] not in shown:
            yield f"does not show {feature.about.id}"
    measured = [size for record in found.all("DIMENSION") for size in _measured(record)]
    part = parts[0]
    for what, size in (("length", part.length_mm), ("width", part.width_mm), ("thickness", part.thickness_mm)):
        if not any(math.isclose(size, one, abs_tol=MEASURED_MM) for one in measured):
            yield f"has no dimension that measures the {what}, {size:.3f} mm"
    texts = {record.get(1, "") for record in found.all("TEXT")}
    if str(len(parts)) not in texts:
        yield f"does not say that {len(parts)} are to be made"
    if failed and not any(FAILED in text for text in texts):
        yield "does not say that the dry fit failed"


def _measured(record: dict[int, str]) -> Iterator[float]:
    """What a linear dimension spans along its direction."""
    try:
        a, b = (float(record[13]), float(record[23])), (float(record[14]), float(record[24]))
        turn = math.radians(float(record.get(50, "0")))
    except (KeyError, ValueError):
        return
    yield abs((b[0] - a[0]) * math.cos(turn) + (b[1] - a[1]) * math.sin(turn))
