"""Placing notes: beside what they are about, else at the end of a leader, never upon anything."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from build123.drawing.expand import expand
from build123.drawing.lettering import Rect, descent, label_box, text_width
from build123.drawing.space import Space
from build123.drawing.vocabulary import Area, Item, Label, Leader, Line, Turn
from build123.model.frame import Vec2

BESIDE_MM = 1.0
"""From an outline to a text beside it."""
SHOULDER_MM = 2.5
"""The level end of a leader (1/8 in, ASME custom)."""
LINE_PITCH = 1.7
"""Lines of text in heights of capitals (ISO 3098 at least 1.4)."""
_FAR = (6.0, 8.0, 11.0, 14.0, 18.0, 22.0, 27.0, 33.0, 40.0, 50.0, 62.0, 76.0, 95.0)
_WAYS = (
    (0.7, 0.7), (-0.7, 0.7), (0.7, -0.7), (-0.7, -0.7),
    (0.5, 0.87), (-0.5, 0.87), (0.5, -0.87), (-0.5, -0.87),
    (0.87, 0.5), (-0.87, 0.5), (0.87, -0.5), (-0.87, -0.5),
    (0.2, 0.98), (-0.2, 0.98), (0.2, -0.98), (-0.2, -0.98),
)  # fmt: skip
"""Leaders at 45, 60 and 30 degrees first (ASME custom), steeper where there is no room."""


@dataclass(frozen=True, slots=True)
class Target:
    """What a note is about, on paper. `inside` allows the text within the box; a leader to it ends in a dot there. `close`
    allows it beside the box without a leader; one that is not `square` does not fill its box.
    `others` may be pointed to as well."""

    at: Vec2
    box: Rect
    inside: bool
    close: bool = False
    square: bool = True
    others: tuple[Vec2, ...] = ()


def _block(lines: Sequence[str], x: float, y: float, height: float, anchor: str, turn: Turn = 0) -> tuple[Label, ...]:
    """Lines of text whose lower left (or, read from the right, lower right) corner is at (x, y)."""
    step = height * LINE_PITCH
    count = len(lines)
    if turn == 90:
        return tuple(Label(t, (x + height + k * step, y), height, "start", 90) for k, t in enumerate(lines))
    end = "end" if anchor == "end" else "start"
    return tuple(Label(t, (x, y + (count - 1 - k) * step), height, "end" if end == "end" else "start") for k, t in enumerate(lines))


def _free(space: Space, labels: Sequence[Label]) -> bool:
    return all(space.free(label_box(label)) for label in labels)


def place(space: Space, lines: Sequence[str], target: Target, height: float) -> tuple[Item, ...] | None:
    """Labels, with a leader where they stand off. None when there is no room within reach; what is placed is taken."""
    for labels, leader in _candidates(lines, target, height):
        if not _free(space, labels):
            continue
        if leader is not None and not all(space.clear(a, b) for a, b in _strokes(leader)):
            continue
        items: tuple[Item, ...] = (*labels, *((leader,) if leader else ()))
        for item in items:
            for primitive in expand(item):
                space.add(primitive)
        return items
    return None


def _strokes(leader: Leader) -> Iterator[tuple[Vec2, Vec2]]:
    """Its line and the box about its arrowhead."""
    for primitive in expand(leader):
        if isinstance(primitive, Line):
            yield primitive.start, primitive.end
        elif isinstance(primitive, Area):
            xs, ys = [p[0] for p in primitive.points], [p[1] for p in primitive.points]
            corners = ((min(xs), min(ys)), (max(xs), min(ys)), (max(xs), max(ys)), (min(xs), max(ys)))
            yield from zip(corners, (*corners[1:], corners[0]), strict=True)


def _candidates(lines: Sequence[str], target: Target, height: float) -> Iterator[tuple[tuple[Label, ...], Leader | None]]:
    wide = max(text_width(t, height) for t in lines)
    tall = height * (1 + LINE_PITCH * (len(lines) - 1))
    box = target.box
    if target.inside and target.square and max(box.right - box.left, box.top - box.bottom) > 3 * height:
        yield from _close(lines, box, wide, tall, height)
    elif target.close:
        x, y = target.at
        for off in (box.right + BESIDE_MM, box.left - BESIDE_MM - wide):
            yield _block(lines, off, y - tall / 2, height, "start"), None
        for off in (box.top + BESIDE_MM + descent(height), box.bottom - BESIDE_MM - tall):
            yield _block(lines, x - wide / 2, off, height, "start"), None
    tips = [target.at, *target.others]
    if target.inside:
        x, y = (box.left + box.right) / 2, (box.bottom + box.top) / 2
        tips += (
            []
            if not target.square
            else [(x + (box.right - box.left) * f, y + (box.top - box.bottom) * f) for f in (-0.25, 0.25, -0.42, 0.42)]
        )
    for far in _FAR:
        for tip_x, tip_y in tips:
            for way_x, way_y in _WAYS:
                sign = 1.0 if way_x > 0 else -1.0
                tip = (tip_x, tip_y)
                if not target.inside and box.right - box.left > 0.2:
                    radius = (box.right - box.left) / 2 if abs((box.right - box.left) - (box.top - box.bottom)) < 0.01 else 0.0
                    tip = (tip_x + radius * way_x, tip_y + radius * way_y)
                elbow = (tip[0] + way_x * far, tip[1] + way_y * far)
                end = (elbow[0] + sign * SHOULDER_MM, elbow[1])
                anchor = "start" if sign > 0 else "end"
                labels = _block(lines, end[0] + sign * 1.0, end[1] - tall / 2, height, anchor)
                yield labels, Leader((tip, elbow, end), "dot" if target.inside else "arrow")


def _close(lines: Sequence[str], box: Rect, wide: float, tall: float, height: float) -> Iterator[tuple[tuple[Label, ...], Leader | None]]:
    """Within a channel or along one of its walls."""
    x, y = (box.left + box.right) / 2, (box.bottom + box.top) / 2
    across, up = box.right - box.left, box.top - box.bottom
    shares = (0.5, 0.35, 0.65, 0.2, 0.8, 0.1, 0.9)
    if up >= across:
        for share in shares:
            base = box.bottom + up * share - wide / 2
            if base < box.bottom - 1.0 or base + wide > box.top + 1.0:
                continue
            for left in (x - tall / 2, box.right + BESIDE_MM, box.left - BESIDE_MM - descent(height) - tall):
                yield _block(lines, left, base, height, "start", 90), None
        for share in shares:
            yield _block(lines, box.right + BESIDE_MM, box.bottom + up * share - tall / 2, height, "start"), None
            yield _block(lines, box.left - BESIDE_MM - wide, box.bottom + up * share - tall / 2, height, "start"), None
    else:
        for share in shares:
            left = box.left + across * share - wide / 2
            if left < box.left - 1.0 or left + wide > box.right + 1.0:
                continue
            for base in (y - tall / 2, box.top + BESIDE_MM + descent(height), box.bottom - BESIDE_MM - tall):
                yield _block(lines, left, base, height, "start"), None


_ALONG = (0.5, 0.3, 0.7, 0.15, 0.85, 0.05, 0.95, 0.4, 0.6, 0.22, 0.78, *(k / 40 for k in range(1, 40)))
"""Where along a side its name is tried."""


def place_name(space: Space, text: str, box: Rect, side: str, height: float, bold: bool = False) -> Label | None:
    """A name along one side of a view, outside the outline if there is room, else within."""
    wide = text_width(text, height, bold)
    turned = side in ("left", "right")
    low, high = (box.bottom, box.top) if turned else (box.left, box.right)
    hang = descent(height)
    outside = {"top": box.top + BESIDE_MM + hang, "bottom": box.bottom - BESIDE_MM - height, "right": box.right + BESIDE_MM}
    inside = {"top": box.top - BESIDE_MM - height, "bottom": box.bottom + BESIDE_MM + hang, "right": box.right - BESIDE_MM - hang - height}
    offs = (box.left - BESIDE_MM - hang - height, box.left + BESIDE_MM) if side == "left" else (outside[side], inside[side])
    for off in offs:
        for share in _ALONG:
            at = low + (high - low) * share - wide / 2
            if high - low >= wide:
                at = min(max(at, low + 0.5), high - wide - 0.5)
            label = Label(text, (off + height, at), height, "start", 90, bold) if turned else Label(text, (at, off), height, bold=bold)
            if space.free(label_box(label)):
                space.add(label)
                return label
    if turned:
        # Level where it has no room to stand.
        for left in (
            (box.left - BESIDE_MM - wide, box.left + BESIDE_MM) if side == "left" else (box.right + BESIDE_MM, box.right - BESIDE_MM - wide)
        ):
            for share in _ALONG:
                label = Label(text, (left, low + (high - low) * share - height / 2), height, bold=bold)
                if space.free(label_box(label)):
                    space.add(label)
                    return label
    return None
