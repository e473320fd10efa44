"""From a checked piece to its folder."""

from __future__ import annotations

import tempfile
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from build123.exports import hand_over
from build123.exports.folder import Written, write_folder
from build123.exports.job import Job, Origin, name_files
from build123.exports.manifest import manifest
from build123.exports.registry import exporters
from build123.model.design import Design
from build123.model.slugs import slug
from build123.problem import Finding

if TYPE_CHECKING:
    from build123.kernel.store import Store
    from build123.model.measured import DryFit, Mesh
    from build123.model.plan import FirstFit, GlueUp


def export(
    design: Design,
    fit: DryFit,
    store: Store,
    findings: tuple[Finding, ...],
    origin: Origin,
    out: Path,
    glue_up: GlueUp | None = None,
    first_fit: FirstFit | None = None,
    packed: bool = False,
) -> Written:
    """Write all files under `out`/<slug>, each read back first. What reads back wrong would be cut wrong: that file is left
    out and the rest stands. `packed` adds the archive to hand over. Raises KernelFault."""
    with tempfile.TemporaryDirectory(prefix="build123-") as scratch:
        job = job_of(design, fit, store, findings, origin, Path(scratch), glue_up, first_fit)
        files, differing = _made(job)
        if packed:
            archive = hand_over.archive(files)
            differing += tuple(hand_over.unsound(archive, files))
            files[hand_over.ARCHIVE] = archive
        written = write_folder(out / slug(design.slug, "piece"), files, manifest(job, files))
    return replace(written, findings=(*differing, *written.findings))


def job_of(
    design: Design,
    fit: DryFit,
    store: Store,
    findings: tuple[Finding, ...],
    origin: Origin,
    scratch: Path,
    glue_up: GlueUp | None = None,
    first_fit: FirstFit | None = None,
) -> Job:
    """What the exporters are given, meshes made. Writes nothing; `scratch` is for exporters. Raises KernelFault."""
    return Job(design, fit, store, findings, name_files(design), scratch, _meshes(design, store), origin.sha256,
               origin.names, origin.set_sizes, fit.seconds, glue_up, first_fit)  # fmt: skip


def _made(job: Job) -> tuple[dict[str, bytes], tuple[Finding, ...]]:
    files: dict[str, bytes] = {}
    differing: tuple[Finding, ...] = ()
    for exporter in exporters():
        given = replace(job, findings=(*job.findings, *differing)) if exporter.last else job
        made = exporter.write(given)
        wrong = exporter.verify(given, made)
        taken = sorted(set(files) & set(made))
        if taken:
            raise ValueError(f"{exporter.name} writes {taken[0]}, which another exporter wrote")
        files.update(_sound(made, wrong))
        differing += tuple(wrong)
    return files, differing


def _sound(made: Mapping[str, bytes], wrong: list[Finding]) -> dict[str, bytes]:
    """The files that no finding speaks of; none where a finding speaks of no single file."""
    spoiled = [[path for path in made if finding.message.startswith(f"{path}: ")] for finding in wrong]
    if not all(spoiled):
        return {}
    return {path: content for path, content in made.items() if not any(path in paths for paths in spoiled)}


def _meshes(design: Design, store: Store) -> dict[str, Mesh]:
    meshes: dict[str, Mesh] = {}
    for part in design.parts:
        if part.shape_key not in meshes:
            meshes[part.shape_key] = store.mesh(part)
    for thing in design.hardware:
        if thing.shape_key not in meshes:
            meshes[thing.shape_key] = store.mesh(thing)
    return meshes
