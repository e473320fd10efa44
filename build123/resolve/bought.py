"""What is bought and placed by its extents, as a solid."""

from __future__ import annotations

from dataclasses import replace

from build123.model.body import Body
from build123.model.frame import Frame, add, cross, scale
from build123.model.part import Block, Hardware, Rod
from build123.resolve.scope import Declared
from build123.resolve.tidy import tidy


def hardware_of(one: Declared, body: Body) -> Hardware:
    """A block, or a rod along the axis that is said."""
    axes = [body.axis(k) for k in range(3)]
    spans = [body.span(a) for a in axes]
    size = tuple(round(high - low, 9) for low, high in spans)
    corner = add(add(scale(axes[0], spans[0][0]), scale(axes[1], spans[1][0])), scale(axes[2], spans[2][0]))
    frame = Frame(corner, axes[0], axes[1], axes[2])
    label = str(one.entry.hardware)
    common = Hardware(one.name, label, Block(size), tidy(frame), "", one.scope.path, one.key.span)  # type: ignore[arg-type]
    if one.entry.round is None:
        return common
    k = "xyz".index(one.entry.round)
    a, b = (k + 1) % 3, (k + 2) % 3
    diameter = min(size[a], size[b])
    origin = add(corner, add(scale(axes[a], size[a] / 2), scale(axes[b], size[b] / 2)))
    return replace(common, solid=Rod(diameter, size[k]), placement=tidy(Frame(origin, axes[a], cross(axes[k], axes[a]), axes[k])))
