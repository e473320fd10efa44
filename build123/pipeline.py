"""Every stage in order: text, spec, design, solids, findings, files. Values and problems come back; nothing prints or exits."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING

from build123.exports.job import Origin
from build123.model.design import Design
from build123.problem import Finding, Findings, Place, Severity, Source, Span, Text
from build123.text.nodes import Table

if TYPE_CHECKING:
    from build123.exports.folder import Written
    from build123.exports.job import Job
    from build123.kernel import KernelFault, Store
    from build123.kernel.damage import Damage
    from build123.model.measured import DryFit
    from build123.model.plan import FirstFit, GlueUp


@dataclass(frozen=True)
class Compiled:
    """One document, as far as it got: `design` is None where the spec has errors, `fit` where it was not tried or the kernel failed."""

    design: Design | None
    fit: DryFit | None
    findings: tuple[Finding, ...]
    store: Store | None = None
    origin: Origin = field(default_factory=Origin)
    glue_up: GlueUp | None = None
    first_fit: FirstFit | None = None

    @property
    def failed(self) -> bool:
        """Whether there is an error that nobody waived."""
        return Findings(self.findings).failed


def compile_file(
    path: Path, sizes: Mapping[str, str] | None = None, store: Store | None = None, *, dry: bool = True
) -> tuple[Compiled, ...]:
    """Each document of a file. `sizes` replaces named sizes; without `dry` no solid is made."""
    from build123.text.read import read_file

    tables, findings = read_file(path)
    made = _compile_all(tables, findings, _overrides(sizes or {}), store, (), dry)
    digest = _sha256(path.read_bytes()) if tables else ""
    return tuple(replace(one, origin=replace(one.origin, sha256=digest)) for one in made)


def compile_text(text: str, store: Store | None = None, damage: tuple[Damage, ...] = (), name: str = "spec.yaml") -> Compiled:
    """The first document of a text; `damage` is done to its solids before they are measured."""
    from build123.text.read import read_text

    tables, findings = read_text(Source(name, text))
    return _compile_all(tables[:1], findings, {}, store, damage, True)[0]


def _compile_all(
    tables: tuple[Table, ...], read: Findings, sizes: Mapping[str, Text], store: Store | None, damage: tuple[Damage, ...], dry: bool
) -> tuple[Compiled, ...]:
    """Problems of the text itself go with the first document, and keep all of them from being built."""
    if not tables:
        return (Compiled(None, None, tuple(read)),)
    known = {name for table in tables if isinstance(named := table.get("sizes"), Table) for name in named}
    made = []
    for n, table in enumerate(tables):
        named = table.get("sizes")
        mine = {name: value for name, value in sizes.items() if name not in known or (isinstance(named, Table) and name in named)}
        made.append(_compile(table, read if n == 0 else Findings(), mine, store, damage, dry and not read.failed))
    return tuple(made)


def _compile(
    table: Table, read: Findings, sizes: Mapping[str, Text], store: Store | None, damage: tuple[Damage, ...], dry: bool
) -> Compiled:
    from build123.resolve.resolve import resolve
    from build123.spec.parse import parse

    source = table.span.source if table.span else Source("", "")
    origin = Origin(
        (source.name,), _sha256(source.text.encode("utf-8", "surrogatepass")), {name: str(value) for name, value in sizes.items()}
    )
    findings = Findings(read)

    spec, found = parse(table, sizes)
    findings.extend(found)
    if spec is None:
        return Compiled(None, None, tuple(findings), store, origin)

    design, found = resolve(spec)
    findings.extend(found)
    if design is None or not dry:
        return Compiled(design, None, tuple(findings), store, origin)

    from build123.assembly.glue import glue_up
    from build123.checks.run import run
    from build123.checks.seen import Seen
    from build123.kernel import KernelFault, Store
    from build123.kernel.dryfit import dry_fit
    from build123.odds import first_fit

    store = Store() if store is None else store
    try:
        fit = dry_fit(design, store, damage=damage, known=store.measured)
        glue = glue_up(design, fit, store)
    except KernelFault as fault:
        findings.add(_fault(fault, design))
        return Compiled(design, None, tuple(findings), store, origin)
    first = first_fit(design, fit)
    found_on_solids = run(Seen(design, fit, tuple(findings), first, glue))
    return Compiled(design, fit, found_on_solids, store, origin, glue, first)


def build(compiled: Compiled, out: Path, *, packed: bool = False) -> Written:
    """Write, read back and store all files of a piece under `out`/<its slug>; `packed` adds the archive to hand over.

    ValueError where there was no dry fit.
    """
    from build123.exports.export import export

    if compiled.design is None or compiled.fit is None or compiled.store is None:
        raise ValueError("a piece without a dry fit has no files")
    return export(
        compiled.design, compiled.fit, compiled.store, compiled.findings, compiled.origin, out, compiled.glue_up, compiled.first_fit, packed
    )


def viewer_job(compiled: Compiled, scratch: Path) -> Job | None:
    """What a live viewer is made from, without writing a file; None where there was no dry fit. Raises KernelFault."""
    from build123.exports.export import job_of

    if compiled.design is None or compiled.fit is None or compiled.store is None:
        return None
    return job_of(
        compiled.design, compiled.fit, compiled.store, compiled.findings, compiled.origin, scratch, compiled.glue_up, compiled.first_fit
    )


def _sha256(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()


def _overrides(sizes: Mapping[str, str]) -> dict[str, Text]:
    """Sizes of the command line, each with a place of its own to point at."""
    made = {}
    for name, value in sizes.items():
        line = f"{name}={value}"
        made[name] = Text(value, Span(Source("--set", line), 0, len(name) + 1, 0, len(line)))
    return made


def _fault(fault: KernelFault, design: Design) -> Finding:
    """The finding for a solid that could not be made, pointing at the joints of the features in hand and at the part."""
    from build123.kernel.fault import CutApart

    part = design.by_name.get(fault.part)
    spans = {joint.id: joint.span for joint in design.joints}
    features = [] if part is None else [one.about for one in part.features if one.about.id in fault.features]
    places = {span: Place(span, about.label) for about in features if (span := spans.get(about.joint))}
    if part is not None and part.span is not None:
        places.setdefault(part.span, Place(part.span, part.name))
    if isinstance(fault, CutApart):
        return Finding(
            "cut-apart",
            Severity.error,
            f"what is cut out of {fault.part} leaves nothing that holds together: {fault.cause}",
            tuple(places.values()),
            (fault.part,),
            why="Trenches that meet from two faces, or one that is as wide as the part, saw it in two.",
            change="Make the trenches shallower or move them apart.",
        )
    return Finding(
        "kernel-fault",
        Severity.error,
        str(fault),
        tuple(places.values()),
        (fault.part,),
        next((about.joint for about in features if about.joint), ""),
        why="The geometry kernel could not do this. The spec may be right: this is a fault of ours.",
        change="Please report it with the spec. Another size or place of the feature may get round it.",
    )
