"""The finished sizes of a part, each with what it is made of."""

from __future__ import annotations

from collections.abc import Mapping

from build123.joints.joinery import Growth
from build123.model.body import Body, FaceTag
from build123.model.frame import Plane
from build123.model.part import Stock
from build123.model.why import Why


def axes_of(body: Body, grain_axis: int) -> dict[str, int]:
    """The axis of the body that each finished size lies on; length runs along the grain."""
    width = next(k for k in range(3) if k not in (body.thickness_axis, grain_axis))
    return {"length": grain_axis, "width": width, "thickness": body.thickness_axis}


def along(body: Body, axis: int) -> float:
    """How long a body is along one of its axes, over its long points, mm."""
    low, high = body.span(body.axis(axis))
    return round(high - low, 9)


def finished_sizes(
    body: Body, grain_axis: int, stock: Stock, ends: Mapping[FaceTag, Why], growth: Mapping[FaceTag, list[Growth]]
) -> dict[str, Why]:
    """Length, width and thickness of a body whose ends the joints have moved."""
    found = {}
    for name, axis in axes_of(body, grain_axis).items():
        what, value = f"{name} of {body.name}", along(body, axis)
        if axis == body.thickness_axis:
            found[name] = Why(what, value, f"as measured, {stock.name}", span=stock.span)
            continue
        low, high = ends[(axis, -1)], ends[(axis, 1)]
        grown = [growth.get((axis, s), []) for s in (-1, 1)]
        seen_mm = value - sum(max((g.by.value for g in one), default=0.0) for one in grown)
        slanted = any(max(abs(c) for c in _local(body, body.planes[(axis, s)]).normal) < 1 - 1e-12 for s in (-1, 1))
        how = "{1} to {0}, over the long points" if slanted else "{0} - {1}"
        seen = Why(f"between {low.what.split(' of ')[0]} and {high.what.split(' of ')[0]}", seen_mm, how, (high, low))
        parts = [Why(g[0].joint, g[0].by.value, g[0].by.how, g[0].by.of, g[0].by.span, g[0].by.default) for g in grown if g]
        if not parts:
            found[name] = Why(what, value, how, (high, low), low.span)
        elif len(parts) == 2 and abs(parts[0].value - parts[1].value) < 1e-9 and parts[0].what.split(" ")[0] == parts[1].what.split(" ")[0]:
            word = parts[0].what.split(" in ")[0]
            found[name] = Why(
                what, value, f"{{0}} between the shoulders + 2 × {{1}} into the {word} at each end", (seen, parts[0]), low.span
            )
        else:
            how = "{0} between the shoulders" + "".join(f" + {{{n + 1}}} into the {p.what}" for n, p in enumerate(parts))
            found[name] = Why(what, value, how, (seen, *parts), low.span)
    return found


def _local(body: Body, plane: Plane) -> Plane:
    return plane.into(body.axes)
