"""`build` and `dryfit`."""

from __future__ import annotations

import sys
import time
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from build123 import pipeline
from build123.cli.output import print_findings, progress, shower
from build123.cli.run import FAULT, FOUND, OK, USAGE
from build123.exports.job import DIFFERS
from build123.exports.viewer_page import left_out
from build123.fields.show import plural
from build123.model.slugs import slug
from build123.pipeline import Compiled
from build123.problem import Finding, Findings
from build123.problem.render_json import render_json
from build123.problem.render_text import count
from build123.problem.visible import visible

if TYPE_CHECKING:
    from build123.exports.folder import Written

OURS = ("kernel-fault", DIFFERS)
"""Findings that tell a fault of ours."""


def build_all(specs: Sequence[Path], sizes: Mapping[str, str], out: Path | None, *, as_json: bool, packed: bool = False) -> int:
    """Compile every piece of every file, write it where `out` is given, print; the worst exit code comes back.

    `packed` adds an archive to hand over to each folder.
    """
    code, shared = OK, None
    everything: list[Finding] = []
    folders: dict[str, str] = {}
    with progress((1 if out is None else 2) * len(specs)) as begin:
        results = []
        for spec in specs:
            start = time.perf_counter()
            begin(f"dry fit of {visible(spec.name)}")
            pieces = pipeline.compile_file(spec, sizes, shared)
            shared = next((one.store for one in pieces if one.store is not None), shared)
            if out is not None:
                begin(f"files of {visible(spec.name)}")
            for piece in pieces:
                results.append((spec, piece, *_write(piece, out, folders, packed), time.perf_counter() - start))
                start = time.perf_counter()
    for spec, piece, written, more, seconds in results:
        findings = (*piece.findings, *more)
        everything += findings
        code = max(code, _code(piece, findings, more))
        if not as_json:
            print_findings(findings, sys.stdout, shower(piece.design), total=False)
        print(_summary(spec, piece, findings, written, seconds), file=sys.stderr if as_json else sys.stdout)
    if as_json:
        sys.stdout.write(render_json(everything))
    return code


def _write(piece: Compiled, out: Path | None, folders: dict[str, str], packed: bool) -> tuple[Written | None, tuple[Finding, ...]]:
    """The files of one piece, where it has any; with what went wrong on the way."""
    if out is None or piece.design is None or piece.fit is None:
        return None, ()
    folder = slug(piece.design.slug, "piece")
    if folder in folders:
        taken = Findings()
        taken.error(
            "folder-taken",
            f"{piece.design.piece!r} and {folders[folder]!r} would both be written to the folder {folder}",
            piece.design.span,
            change="give one of them another name under `piece`",
        )
        return None, tuple(taken)
    folders[folder] = piece.design.piece
    written = pipeline.build(piece, out, packed=packed)
    return written, written.findings


def _code(piece: Compiled, findings: Sequence[Finding], more: Sequence[Finding]) -> int:
    if any(finding.id in OURS for finding in findings):
        return FAULT
    if piece.design is None or piece.fit is None or Findings(more).failed:
        return USAGE
    return FOUND if Findings(findings).failed else OK


def _summary(spec: Path, piece: Compiled, findings: Sequence[Finding], written: Written | None, seconds: float) -> str:
    """One line: what was proved, and where the files are."""
    design, fit = piece.design, piece.fit
    if design is None or fit is None:
        return f"{visible(str(spec))}: {count(findings)}; nothing was built"
    failed = piece.failed
    overlaps = plural(len(fit.overlaps), "overlap") if fit.overlaps else "no overlaps"
    words = [
        f"{visible(design.piece)}: {'does not go together' if failed else 'goes together'}",
        f"{plural(len(design.parts), 'part')} ({len(design.kinds)} distinct)"
        + (f" and {plural(len(design.hardware), 'fitting')}" if design.hardware else "")
        + f", {plural(len(design.joints), 'joint')}",
        f"{plural(fit.pairs_looked_at, 'pair')} of solids compared, {plural(len(fit.gaps) + len(fit.bores), 'contact')} measured, {overlaps}",
        count(findings),
        f"{seconds:.1f} s",
    ]
    odds = ""
    if piece.first_fit is not None and not failed:
        from build123.odds import summary

        odds = "\nestimate: " + visible(summary(piece.first_fit, design.units, design.shop))
    return "; ".join(words) + odds + _files(written, failed)


def _files(written: Written | None, failed: bool) -> str:
    if written is None:
        return ""
    many = len(written.written) + len(written.unchanged)
    changed = f", {len(written.unchanged)} of them unchanged" if written.unchanged else ""
    reason = left_out()
    without = f"\nviewer.html was left out: {visible(reason)}" if reason else ""
    return f"\n{plural(many, 'file')} in {written.folder}{changed}" + ("; they say that the dry fit failed" if failed else "") + without
