"""What screws a spec asks for: gauge or diameter, length, head, and the holes that the table gives for them."""

from __future__ import annotations

import re
from dataclasses import dataclass

from build123.fields.show import show_length
from build123.fields.words import suggestion
from build123.joints.joinery import Joinery
from build123.model.part import Stock
from build123.model.why import Why
from build123.problem import SpecError, Text
from build123.trade.fasteners import PanHead, ScrewSize, pan_heads, screw_lengths_mm, screws
from build123.trade.woods import woods_meant

SIZE = re.compile(r"\s*(?P<number>no\.?|#)?\s*(?P<thick>\d+(?:\.\d+)?)\s*(?P<unit>mm)?\s*[x×]\s*(?P<length>.+?)\s*", re.IGNORECASE)
LONGEST_MM = 200.0


@dataclass(frozen=True, slots=True)
class Chosen:
    """A screw of the table and its length; `head` is what its pan-headed kind measures, None where the table has none."""

    screw: ScrewSize
    pan: PanHead | None
    diameter: Why
    length: Why
    clearance: Why

    def pilot(self, stock: Stock) -> Why:
        """The hole that the thread bites in, by the wood it is drilled into."""
        hard = is_hard(stock)
        found = self.screw.pilot_hard_mm if hard else self.screw.pilot_soft_mm
        assert found is not None
        wood = "hard wood and sheets" if hard else "soft wood"
        return Why("pilot hole", found, default=f"{self.screw.label} in {wood}, {self.screw.source} ({self.screw.confidence})")


def is_hard(stock: Stock) -> bool:
    """Whether a stock is drilled as hard wood: every sheet, and boards of hardwood or of a wood that is not known."""
    woods = woods_meant(stock.material).woods
    return stock.kind == "sheet" or not woods or any(wood.hardwood for wood in woods)


def chosen(at: Joinery, text: Text | None, usual_mm: float) -> Chosen:
    """The screw that `size` asks for; with none, No. 8 or 4 mm in the length nearest below `usual_mm`. SpecError `bad-screw`."""
    if text is None:
        id = "8" if at.units == "in" else "4 mm"
        lengths = screw_lengths_mm(id)
        length = Why("length", max((v for v in lengths if v <= usual_mm + 1e-6), default=lengths[0]), default="the longest with room")
        return _with_holes(id, Why("diameter", screws()[id].diameter_mm, default="No. 8 or 4 mm, common practice"), length)
    found = SIZE.fullmatch(text)
    if found is None:
        raise SpecError.at(
            "bad-screw",
            f"{str(text)!r} is no size of screw",
            text.span,
            change="write for example `8 x 1 1/4` (gauge and length) in inches, or `4 x 30` in millimetres",
        )
    gauge = bool(found["number"]) or (at.units == "in" and not found["unit"])
    id = found["thick"] if gauge else f"{float(found['thick']):g} mm"
    known = [name for name, one in screws().items() if one.metric != gauge and one.complete]
    if id not in known:
        sizes = ", ".join(known)
        kind = "gauge" if gauge else "diameter"
        raise SpecError.at(
            "bad-screw",
            f"the table has no screw of that {kind}, {id}{suggestion(id, known)}",
            text.place(*found.span("thick")),
            change=f"it has {sizes}",
        )
    start, end = found.span("length")
    length = at.length(Text(found["length"], text.place(start, end), text.plain), "length")
    if not 0 < length.value <= LONGEST_MM:
        raise SpecError.at("bad-screw", f"a screw cannot be {show_length(length.value, at.units)} long", length.span)
    return _with_holes(id, Why("diameter", screws()[id].diameter_mm, f"{screws()[id].label}", span=text.span), length)


def _with_holes(id: str, diameter: Why, length: Why) -> Chosen:
    screw = screws()[id]
    assert screw.clearance_mm is not None
    clearance = Why("clearance hole", screw.clearance_mm, default=f"{screw.label}, {screw.source} ({screw.confidence})")
    return Chosen(screw, pan_heads().get(id), diameter, length, clearance)
