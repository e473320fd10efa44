"""What is made already, read from `as cut`: which sizes of which parts were measured.

The way of such a size, in the order of the stages:

1. Layout and the growth of all joints know nothing of it, so sight faces stay where they are.
2. What the part would measure is compared with what it does. Alike, to what a seat feels, it is only a reason.
3. `shared` takes the difference at an end that meets nothing, else at the ends that are let in, centred where both are alike,
   and rather where the other part is not cut yet.
4. There the depth of the housing follows, where that leaves something to hold and something to hold it. Otherwise the part
   stays as it came out, and the dry fit of the solids shows what that does.
5. What could not follow is told with the named size that would put it right, found by compiling the spec with it.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from build123.fields.show import show_length
from build123.model.body import Body
from build123.model.why import Why
from build123.problem import Findings, Span, SpecError, Text
from build123.resolve.layout import Layout
from build123.resolve.scope import Declared, Scope
from build123.resolve.stocks import bounded
from build123.spec.entries import AsCutEntry

ALIKE_MM = 0.01
"""A difference that no seat feels: what is measured may be rounded as it is printed."""
UNLIKELY_MM = 10.0
"""A larger difference is a slip of the pen and no saw cut (common sense)."""
LEAST_LEFT_MM = 0.1


@dataclass(frozen=True, slots=True)
class Measured:
    """One size of one part as it was measured: `word` is length, width or thickness."""

    part: str
    word: str
    why: Why

    @property
    def span(self) -> Span | None:
        """Where it stands in the spec."""
        return self.why.span


def read_as_cut(
    entries: Iterable[tuple[Text, AsCutEntry]], layout: Layout, root: Scope, bodies: dict[str, tuple[Declared, Body]], findings: Findings
) -> dict[str, dict[str, Measured]]:
    """What was measured, by part and size; what cannot be read is left out and told."""
    found: dict[str, dict[str, Measured]] = {}
    for name, entry in entries:
        try:
            given = _lengths(name, entry, layout, root)
            parts = layout.table(root).refer(name).parts
        except SpecError as error:
            findings.add(error.finding)
            continue
        for part in parts:
            if part in bodies and bodies[part][0].entry.stock is None:
                findings.error("bad-value", f"{part} is hardware; only what is made of stock can be as cut", name.span)
                break
            for word, (value_mm, how, of, text) in given.items():
                other = found.setdefault(part, {}).get(word)
                if other is not None:
                    findings.error("bad-value", f"the {word} of {part} is given as cut twice", text.span, other.span)
                    break
                found[part][word] = Measured(
                    part, word, Why(f"{word} of {part}", value_mm, f"as cut, {how}" if of else "as cut", of, text.span)
                )
    return found


def _lengths(name: Text, entry: AsCutEntry, layout: Layout, root: Scope) -> dict[str, tuple[float, str, tuple[Why, ...], Text]]:
    given = {}
    for word in AsCutEntry.model_fields:
        text = getattr(entry, word)
        if isinstance(text, Text):
            found = layout.length(root, text)
            value = bounded(float(found.value), f"{word} of {name}", LEAST_LEFT_MM, layout.units, text)
            given[word] = (value, found.why.how, found.why.of, text)
    if not given:
        raise SpecError.at("bad-value", f"{name} is as cut, and no size of it is given", name.span, change="for example `{length: 575.4}`")
    return given


def compared(one: Measured, sizes: dict[str, Why], layout: Layout) -> float:
    """How much longer a part is than it would be, mm, 0 where it is alike. SpecError where it is a slip."""
    off = one.why.value - sizes[one.word].value
    shown, would = (show_length(round(mm, 3), layout.units) for mm in (one.why.value, sizes[one.word].value))
    if abs(off) <= ALIKE_MM:
        return 0.0
    if one.word == "thickness":
        raise SpecError.at(
            "as-cut-thickness",
            f"{one.part} is {shown} thick as cut, and its stock {would}",
            one.span,
            change="give it a stock of its own with the thickness as measured: the housings are cut to that",
        )
    if abs(off) > UNLIKELY_MM:
        other = sizes["width" if one.word == "length" else "length"].value
        changed_over = abs(one.why.value - other) <= UNLIKELY_MM
        hint = f"; is that its {'width' if one.word == 'length' else 'length'}?" if changed_over else ""
        hint = hint or _other_unit(one.why.value, sizes[one.word].value)
        raise SpecError.at(
            "as-cut-unlikely",
            f"the {one.word} of {one.part} is given as {shown} as cut and would be {would}, {show_length(round(abs(off), 3), layout.units)} off{hint}",
            one.span,
            change="check what is written. A part that came out so far off is made again, or the spec is changed to suit it",
        )
    return off


def _other_unit(given_mm: float, would_mm: float) -> str:
    """The end of a message where the figure would do in the other unit."""
    times = {25.4: "inches", 1 / 25.4: "millimetres"}
    return next((f"; is it in {unit}?" for factor, unit in times.items() if abs(given_mm * factor - would_mm) <= UNLIKELY_MM), "")
