"""The sheets of the whole piece, in order, by the stem of their file."""

from __future__ import annotations

from dataclasses import replace

from build123.drawing.piece_exploded import Exploded
from build123.drawing.piece_scene import Scene, Wires, cuts
from build123.drawing.piece_sections import Section, details
from build123.drawing.piece_title import PieceAbout
from build123.drawing.piece_views import Views, plan_views
from build123.drawing.standard import standard
from build123.drawing.vocabulary import Sheet
from build123.model.design import Design
from build123.model.frame import Box
from build123.model.plan import GlueUp


def piece_sheets(design: Design, wires: Wires, glue_up: GlueUp | None, failed: bool, made_from: str = "") -> dict[str, Sheet]:
    """`assembly`: the views; `assembly_section-a` and so on; `assembly_apart`: the pictorial; `assembly_parts`: a list of its own.

    Raises KernelFault where a solid cannot be read.
    """
    norm = standard(design.units)
    norm = replace(norm, sheets=norm.sheets[:-1])
    plan = plan_views(Box.around([p for part in design.parts for p in (part.box.low, part.box.high)]), norm, failed)
    scene = Scene(design, wires, plan.scale)
    found = cuts(design, norm.projection)
    exploded = Exploded(scene, glue_up, norm, failed)
    of = 1 + len(found) + exploded.count

    def about(number: int) -> PieceAbout:
        return PieceAbout(failed, made_from, number, of)

    views = Views(scene, found, plan, norm, about(1))
    sheets = {"assembly": views.sheet()}
    used = len(found)
    for number, cut in enumerate(found, 2):
        shown = details(cut, scene, norm, used)
        used += len(shown)
        sizes = views.shut if cut.axis == 1 else ()
        sheets[f"assembly_section-{cut.letter.lower()}"] = Section(scene, cut, shown, norm, about(number), plan.scale, sizes).sheet()
    sheets["assembly_apart"] = exploded.pictorial(about(2 + len(found)))
    if not exploded.together:
        lists = exploded.lists([about(3 + len(found) + k) for k in range(exploded.count - 1)])
        names = ["assembly_parts", *(f"assembly_parts-{k}" for k in range(2, len(lists) + 1))]
        sheets.update(zip(names, lists, strict=True))
    return sheets
