"""A cut file read back by the library, as another program would read it."""

from __future__ import annotations

import io
from collections import Counter
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from build123.cutting.layers import INFO, Meaning, meaning
from build123.exports.cut_dxf import ENCODING, METRIC, MILLIMETRES
from build123.model.feature import Outline, Vertex
from build123.model.frame import Vec2


@dataclass(frozen=True)
class Ring:
    """A closed line on a layer that is cut."""

    meaning: Meaning
    outline: Outline


@dataclass(frozen=True)
class Round:
    """A circle on a layer that is cut."""

    meaning: Meaning
    at: Vec2
    radius_mm: float


@dataclass(frozen=True)
class Read:
    """What a file says, and what is wrong with it as a file."""

    rings: tuple[Ring, ...]
    circles: tuple[Round, ...]
    texts: tuple[str, ...]
    problems: tuple[str, ...]


@lru_cache(512)
def read(data: bytes) -> Read:
    """Rings, circles and texts of a file; the last read ones are kept, so that what did not change is not read again."""
    from ezdxf.entities import Circle, LWPolyline, Text
    from ezdxf.filemanagement import read as read_dxf
    from ezdxf.lldxf.const import DXFError

    try:
        document = read_dxf(io.StringIO(data.decode(ENCODING)))
    except (DXFError, UnicodeDecodeError, ValueError) as fault:
        return Read((), (), (), (f"cannot be read: {fault}",))
    problems = [f"the library complains: {error.message}" for error in document.audit().errors]
    if document.header.get("$INSUNITS") != MILLIMETRES or document.header.get("$MEASUREMENT") != METRIC:
        problems.append("is not in millimetres")
    rings: list[Ring] = []
    circles: list[Round] = []
    texts: list[str] = []
    seen: Counter[object] = Counter()
    for entity in document.modelspace():
        name = entity.dxf.layer
        if name == INFO:
            if isinstance(entity, Text):
                texts.append(entity.plain_text())
            continue
        what = meaning(name)
        if what is None:
            problems.append(f"the layer {name} is not known")
        elif isinstance(entity, LWPolyline) and entity.closed and what.kind != "HOLE":
            rings.append(Ring(what, _outline(entity)))
            seen[(name, _sides(rings[-1].outline))] += 1
        elif isinstance(entity, Circle) and what.kind in ("HOLE", "RELIEF"):
            circles.append(Round(what, (entity.dxf.center.x, entity.dxf.center.y), entity.dxf.radius))
            seen[(name, circles[-1].at, circles[-1].radius_mm)] += 1
        else:
            problems.append(f"there is a {entity.dxftype()} on {name} that is not a closed line")
    problems += ["something is drawn twice" for times in seen.values() if times > 1]
    return Read(tuple(rings), tuple(circles), tuple(texts), tuple(problems))


def _outline(entity: Any) -> Outline:
    return tuple(Vertex(x, y, bulge) for x, y, bulge in entity.get_points("xyb"))


def _sides(ring: Outline) -> frozenset[tuple[Vec2, Vec2]]:
    """The sides of a ring, wherever it begins and whichever way it runs."""
    return frozenset(
        (min(p, q), max(p, q)) for p, q in zip([(v.x, v.y) for v in ring], [(v.x, v.y) for v in (*ring[1:], ring[0])], strict=True)
    )
