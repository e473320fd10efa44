"""What the three model files share: bodies in order, their colours, and the comparison of boxes."""

from __future__ import annotations

from build123.exports.job import Job
from build123.model.frame import Box, Vec
from build123.model.part import Hardware, Part

HARDWARE_COLOUR = (0.62, 0.62, 0.65)
"""sRGB: a plain grey tells what is bought from what is cut."""
MODEL = "model/piece"


def bodies(job: Job) -> tuple[Part | Hardware, ...]:
    """Parts, then hardware, in the design's order."""
    return (*job.design.parts, *job.design.hardware)


def colour(body: Part | Hardware) -> tuple[float, float, float]:
    """sRGB, 0 to 1."""
    return body.stock.colour if isinstance(body, Part) else HARDWARE_COLOUR


def kind_key(body: Part | Hardware) -> str:
    """Equal for bodies of one shape and one look."""
    return f"{body.shape_key} {body.stock.name if isinstance(body, Part) else ''}"


def first_of_each_kind(job: Job) -> dict[str, Part]:
    """The first member of each distinct part, by the stem of its file."""
    found: dict[str, Part] = {}
    for part in job.design.parts:
        found.setdefault(job.file_names[part.name], part)
    return found


def box_differs(found: Box, meant: Box, by_mm: float) -> bool:
    """Whether any side of two boxes lies more than `by_mm` apart."""
    pairs: list[tuple[Vec, Vec]] = [(found.low, meant.low), (found.high, meant.high)]
    return any(abs(a[k] - b[k]) > by_mm for a, b in pairs for k in range(3))


def told(box: Box) -> str:
    """A box as text."""
    return " to ".join("(" + ", ".join(f"{c:.3f}" for c in corner) + ")" for corner in (box.low, box.high)) + " mm"
