"""Short ways from a spec's text to its parts, features and findings."""

from __future__ import annotations

from build123.kernel import Store
from build123.kernel.damage import Damage
from build123.model.design import Design
from build123.model.feature import Feature, Geometry, Hole, Pocket, Trench, Trim
from build123.model.part import Part
from build123.pipeline import Compiled, compile_text
from build123.problem import Finding, Severity, Source, Text
from build123.resolve import resolve
from build123.spec import parse
from build123.text import read_text


def told(text: str, **sizes: str) -> tuple[Design | None, list[Finding]]:
    """Read, parse and resolve, without any solid; `sizes` are as after `--set`."""
    tables, findings = read_text(Source("spec.yaml", text))
    if not tables:
        return None, list(findings)
    spec, found = parse(tables[0], {name: Text(value) for name, value in sizes.items()})
    if spec is None:
        return None, [*findings, *found]
    design, more = resolve(spec)
    return design, [*findings, *found, *more]


def design_of(text: str, **sizes: str) -> Design:
    """The design of a spec without errors."""
    design, found = told(text, **sizes)
    assert design is not None and not errors(found), [(f.id, f.message, str(f.span)) for f in found]
    return design


def errors(found: list[Finding] | tuple[Finding, ...]) -> list[Finding]:
    """Errors that nobody waived."""
    return [f for f in found if f.severity is Severity.error and not f.waived]


def goes_together(text: str, store: Store, *damage: Damage) -> Compiled:
    """The dry fit of a piece that has no error and in which nothing overlaps."""
    made = compile_text(text, store, damage)
    assert made.fit is not None and not made.failed, [(f.id, f.message, str(f.span)) for f in made.findings]
    assert not made.fit.overlaps
    return made


def part(made: Compiled | Design, name: str) -> Part:
    """A part by name."""
    design = made.design if isinstance(made, Compiled) else made
    assert design is not None
    return design.by_name[name]


def size(made: Compiled | Design, name: str) -> tuple[float, float, float]:
    """Length, width and thickness of a part, mm."""
    one = part(made, name)
    return one.length_mm, one.width_mm, one.thickness_mm


def volume(made: Compiled, name: str) -> float:
    """What the kernel measures of a part's solid, mm3."""
    assert made.fit is not None
    return made.fit.shapes[made.fit.shape_of[name]].volume_mm3


def span(made: Compiled | Design, name: str) -> tuple[tuple[float, float], ...]:
    """From where to where a part's blank runs along x, y and z of the piece, mm, to a nanometre."""
    box = part(made, name).box
    return tuple((round(low, 6) + 0.0, round(high, 6) + 0.0) for low, high in zip(box.low, box.high, strict=True))


def features(made: Compiled | Design, name: str, kind: type[Geometry]) -> list[Feature]:
    """A part's features of one kind."""
    return [f for f in part(made, name).features if isinstance(f.geometry, kind)]


def trenches(made: Compiled | Design, name: str) -> list[Trench]:
    return [f.geometry for f in features(made, name, Trench) if isinstance(f.geometry, Trench)]


def pockets(made: Compiled | Design, name: str) -> list[Pocket]:
    return [f.geometry for f in features(made, name, Pocket) if isinstance(f.geometry, Pocket)]


def holes(made: Compiled | Design, name: str) -> list[Hole]:
    return [f.geometry for f in features(made, name, Hole) if isinstance(f.geometry, Hole)]


def trims(made: Compiled | Design, name: str) -> list[Trim]:
    return [f.geometry for f in features(made, name, Trim) if isinstance(f.geometry, Trim)]


def marked(finding: Finding) -> str:
    """The text that the caret stands under, in the first line of its place."""
    found = finding.span
    assert found is not None, finding.message
    line = found.source.lines[found.line]
    return line[found.column : found.end_column if found.end_line == found.line else None]
