"""What a cut file says beside its lines, as short sentences for the layer that is never cut."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from build123.cutting.figures import MM, figure
from build123.cutting.layers import layer
from build123.cutting.operation import Cleared, CutFace, Relieved
from build123.cutting.thickness import Hangs
from build123.drawing.numbers import Numbers
from build123.drawing.titleblock import FAILED
from build123.drawing.wording import side_name
from build123.fields.quantity import Units
from build123.model.feature import Surface, Trim
from build123.model.part import Part


@dataclass(frozen=True)
class About:
    """What the lines do not tell. `files` are the names of the part's files in the order in which they are cut."""

    piece: str
    units: Units
    parts: Sequence[Part]
    opposite: Sequence[str]
    hangs: Sequence[Hangs]
    failed: bool
    files: Sequence[str]


def info(face: CutFace, about: About) -> list[str]:
    """The sentences, the most important first."""
    part = face.part
    said = [f"{FAILED}: do not cut from this file before the errors are cleared"] if about.failed else []
    names = ", ".join(one.name for one in about.parts)
    said.append(f"{about.piece}: {names}. Make {len(about.parts)}.")
    if about.opposite:
        said.append(f"The opposite hand has files of its own: {', '.join(about.opposite)}.")
    said.append(f"T x W x L: {sizes(part, about.units)}")
    grain = "either way" if part.stock.grain == "none" else "along L"
    said.append(f"Stock: {part.stock.name} ({part.stock.material}), measured {figure(part.stock.thickness_mm)} mm thick. Grain: {grain}.")
    said += _hangs(about.hangs, part)
    said += _pose(face, about.files)
    said += [_cutter(one) for one in _cleared(face)]
    radii = [one.least_radius_mm for one in _cleared(face) if one.least_radius_mm is not None]
    if radii:
        said.append(f"Smallest inside radius: {figure(min(radii))} mm.")
    if any(one.square for one in _cleared(face)):
        said.append("Inside corners are drawn square.")
    if relieved := [one for one in face.operations if isinstance(one, Relieved)]:
        radius = min(one.radius_mm for one in relieved)
        said.append(f"RELIEF takes the round out of corners that something square seats in (radius {figure(radius)} mm or more).")
        said.append("Leave the layer out if you chop these corners square.")
    said += [remark.text for remark in face.remarks]
    return said


def sizes(part: Part, units: Units) -> str:
    """Thickness, width and length in mm, and in inches where the spec is."""
    three = (part.thickness_mm, part.width_mm, part.length_mm)
    text = " x ".join(MM.length(size) for size in three) + " mm"
    if units == "in":
        inches = Numbers("in")
        text += f" ({' x '.join(inches.length(size) for size in three)} in)"
    return text


def _hangs(hangs: Sequence[Hangs], part: Part) -> list[str]:
    if not hangs:
        return ["No fit of this part hangs on a thickness; its sizes follow from those that were measured."]
    return [
        f"Drawn for {one.stock.name} of {figure(one.stock.thickness_mm)} mm: export again if yours differs by more than "
        f"{one.within_mm:.2f} mm ({one.fit} fit)."
        for one in hangs
    ]


def _pose(face: CutFace, files: Sequence[str]) -> list[str]:
    part, surface = face.part, face.side.surface
    said = [f"File {face.number} of {face.count} of this part. Up: {face.name}" + (", the worked face." if surface == "+z" else ".")]
    shown = {"+z": "-z", "-z": "+z"}.get(surface)
    if part.show in (surface, shown):
        said[0] = said[0].removesuffix(".") + f". The show face is {'up' if part.show == surface else 'down'}."
    along_x: Surface = "-y" if surface[1] == "x" else "-x"
    along_y: Surface = "-y" if surface[1] == "z" else "-z"
    corner = f"where {side_name(part, along_x)} and {side_name(part, along_y)} meet"
    if any(isinstance(feature.geometry, Trim) for feature in part.features):
        corner += " on the blank, before it is trimmed"
    where = "lower left as drawn" if face.low[0] >= 0.0 else "lower right as drawn, so X is negative"
    said.append(f"X0 Y0: {corner}, {where}.")
    if surface[1] == "z":
        said.append("X is along the length, Y across it. Depths are from the face that is up.")
    else:
        said.append("Cut on edge, after the outline. Depths are from the edge or end that is up.")
    if surface == "-z" and face.number > 1:
        front = side_name(part, "-y")
        said.append(f"Flip axis: parallel to Y. Turn end over end: the {front} stays at the same fence, the same corner is zero.")
    if face.number < face.count or face.number > 1:
        others = [name for n, name in enumerate(files, 1) if n != face.number]
        said.append(f"Other files of this part: {', '.join(others)}.")
    if surface[1] == "z":
        said.append(
            "The outline is in this file: cut it last." if face.outlined else "The outline is in a later file: do not cut free yet."
        )
    said.append("Finished lines, mm, no tool offset. Closed lines within closed lines of a layer are islands.")
    return said


def _cleared(face: CutFace) -> list[Cleared]:
    """One of each layer: the one with the smallest cutter."""
    found: dict[str, Cleared] = {}
    for one in face.operations:
        if isinstance(one, Cleared):
            known = found.get(layer(one))
            if known is None or _size(one) < _size(known):
                found[layer(one)] = one
    return list(found.values())


def _size(one: Cleared) -> float:
    return one.cutter.diameter_mm if one.cutter else 0.0


def _cutter(one: Cleared) -> str:
    if one.cutter is None:
        return f"{layer(one)}: narrower than any common cutter."
    return f"{layer(one)}: cutter of {one.cutter.label} or less."
