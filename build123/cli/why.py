"""`why`: the reasons of a part's sizes and features."""

from __future__ import annotations

import sys
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path

from build123 import pipeline
from build123.cli.output import print_findings
from build123.cli.run import OK, USAGE
from build123.fields.quantity import Units
from build123.fields.show import show_why
from build123.fields.words import suggestion
from build123.model.design import Design
from build123.model.feature import Feature
from build123.model.part import Part
from build123.problem import Severity
from build123.problem.visible import visible

MISFIT = "as-cut-does-not-fit"
"""The one error that leaves a design, whose sizes can be asked for."""


def explain_size(spec: Path, of: str, sizes: Mapping[str, str]) -> int:
    """Print the derivations that `of` asks for, from the first piece of the file that knows it."""
    pieces = pipeline.compile_file(spec, sizes, dry=False)
    findings = [finding for piece in pieces for finding in piece.findings]
    designs = [piece.design for piece in pieces if piece.design is not None]
    if any(piece.design is None for piece in pieces) or any(one.severity is Severity.error and one.id != MISFIT for one in findings):
        print_findings(findings, sys.stderr)
        return USAGE
    for design in designs:
        lines = list(derivations(design, " ".join(of.split())))
        if lines:
            print("\n".join(visible(line) for line in lines))
            return OK
    print(_unknown(designs, of), file=sys.stderr)
    return USAGE


def derivations(design: Design, of: str) -> Iterator[str]:
    """The lines for a part, a pair or run, PART.SIZE, PART.FEATURE, or a named size; none where it is not known."""
    units: Units = "in" if design.units == "in" else "mm"
    parts, asked = _split(design, of)
    for n, part in enumerate(parts):
        lines = list(_part(part, asked, units))
        if lines:
            yield from [*([""] if n else []), *([part.name] if not asked else []), *lines]
    if not parts:
        for size in design.sizes:
            if size.name == of:
                yield from show_why(size.why, units)


def _split(design: Design, of: str) -> tuple[tuple[Part, ...], str]:
    """The parts that are meant, and which size or feature of them; a name may hold dots itself."""
    for at in [len(of), *(n for n in range(len(of) - 1, 0, -1) if of[n] == ".")]:
        names = (of[:at],) if of[:at] in design.by_name else design.groups.get(of[:at], ())
        parts = tuple(design.by_name[name] for name in names if name in design.by_name)
        if parts:
            return parts, of[at + 1 :].strip()
    return (), ""


def _part(part: Part, asked: str, units: Units) -> Iterator[str]:
    for name, why in part.sizes.items():
        if asked in ("", name):
            yield from (f"  {line}" for line in show_why(why, units))
    for feature in part.features:
        about = feature.about
        if asked in ("", about.label, about.id) or asked in _numbers(feature):
            yield f"  {about.label}" + (f" for {', '.join(about.members)}" if about.members else "") + f" [{about.id}]"
            for name, why in about.why.items():
                if f"{about.label} {name}" == asked or asked not in _numbers(feature):
                    yield from (f"    {line}" for line in show_why(why, units))


def _numbers(feature: Feature) -> tuple[str, ...]:
    """What the numbers of a feature are called in a question: "dado depth"."""
    return tuple(f"{feature.about.label} {name}" for name in feature.about.why)


def _unknown(designs: Sequence[Design], of: str) -> str:
    for design in designs:
        parts, asked = _split(design, of)
        if parts:
            labels = [label for part in parts for one in part.features for label in (one.about.label, *_numbers(one))]
            known = list(dict.fromkeys([*(name for part in parts for name in part.sizes), *labels]))
            return visible(
                f"{parts[0].name} has no size or feature {asked!r}" + (suggestion(asked, known) or f"; it has: {', '.join(known)}")
            )
    names = [name for one in designs for name in (*one.by_name, *one.groups, *(size.name for size in one.sizes))]
    known = list(dict.fromkeys(names))
    near = suggestion(of, known)
    return visible(
        f"there is no part or size {of!r}" + (near or f"; there are: {', '.join(known[:12])}{', ...' if len(known) > 12 else ''}")
    )
