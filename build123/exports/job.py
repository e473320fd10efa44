"""What every exporter is given, and the file names that all of them share."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Final
from weakref import WeakKeyDictionary

from build123.model.design import Design
from build123.model.slugs import LONGEST, RESERVED, slug, stems
from build123.problem import Finding, Severity

if TYPE_CHECKING:
    from build123.drawing.vocabulary import Sheet
    from build123.kernel.store import Store
    from build123.model.measured import DryFit, Mesh
    from build123.model.part import Hardware, Part
    from build123.model.plan import FirstFit, GlueUp
    from build123.model.wireframe import Wireframe

DIFFERS: Final = "export-differs"
"""The finding of a file that says something else than the piece. It is about the file, not about the dry fit."""


SHORT: Final = 8
"""Digits of a hash that tell one spec from the others on a bench."""


@dataclass(frozen=True)
class Origin:
    """What a piece was made from: the texts by name, the sha256 of the spec's bytes, the sizes that the command line replaced."""

    names: tuple[str, ...] = ()
    sha256: str = ""
    set_sizes: Mapping[str, str] = field(default_factory=dict)


MOST = 4_000
"""So many wireframes are remembered with a store."""
_WIRES: WeakKeyDictionary[Store, dict[tuple[str, float], Wireframe]] = WeakKeyDictionary()


@dataclass(frozen=True)
class Job:
    """One piece, checked, on its way into files.

    `file_names` gives for each part's name the stem of its distinct part's file; equal parts share it. `meshes` are in
    the bench frame, by shape key, hardware's among them. `scratch` is an empty folder that is gone afterwards, for libraries
    that only write files. `spec_sha256` and `spec_names` tell the texts that it was made from, `set_sizes` the sizes that
    the command line replaced in them. `seconds` are for the summary on the screen; no file may hold them.
    """

    design: Design
    fit: DryFit
    store: Store
    findings: tuple[Finding, ...]
    file_names: Mapping[str, str]
    scratch: Path
    meshes: Mapping[str, Mesh]
    spec_sha256: str = ""
    spec_names: tuple[str, ...] = ()
    set_sizes: Mapping[str, str] = field(default_factory=dict)
    seconds: Mapping[str, float] = field(default_factory=dict)
    glue_up: GlueUp | None = None
    first_fit: FirstFit | None = None

    @cached_property
    def piece_sheets(self) -> dict[str, Sheet]:
        """The sheets of the whole piece, by the stem of their file. Raises KernelFault."""
        from build123.drawing.piece_sheets import piece_sheets
        from build123.kernel.hidden_lines import wireframe_of

        known = _WIRES.setdefault(self.store, {})
        if len(known) > MOST:
            known.clear()

        def wires(body: Part | Hardware, least_mm: float) -> Wireframe:
            key = (body.shape_key, least_mm)
            if key not in known:
                known[key] = wireframe_of(self.store.shape(body), least_mm)
            return known[key]

        return piece_sheets(self.design, wires, self.glue_up, self.failed, self.made_from)

    @property
    def made_from(self) -> str:
        """A short hash of the spec and of the sizes that were set on the command line."""
        told = "\n".join([self.spec_sha256, *(f"{name}={value}" for name, value in sorted(self.set_sizes.items()))])
        return (hashlib.sha256(told.encode()).hexdigest() if self.set_sizes else self.spec_sha256)[:SHORT]

    @property
    def failed(self) -> bool:
        """Whether the dry fit found an error that nobody waived: every drawing and cut file says so on its face."""
        return any(one.severity is Severity.error and not one.waived and one.id != DIFFERS for one in self.findings)


def differs(path: str, what: str, *parts: str, **numbers: float) -> Finding:
    """The finding of an exporter whose file, read back, is not what was meant."""
    return Finding(
        DIFFERS,
        Severity.error,
        f"{path}: {what}",
        parts=parts,
        numbers=numbers,
        why="A file that says something else than the piece that was checked would be cut and would not fit.",
        change="This is a fault of ours: please report it with the spec. The file was left out; the others do not depend on it.",
    )


def name_files(design: Design) -> dict[str, str]:
    """The stem of each part's file: one for each distinct part, named for its first member."""
    kinds = tuple(design.kinds.values())
    return {part.name: stem for parts, stem in zip(kinds, stems(parts[0].name for parts in kinds), strict=True) for part in parts}


__all__ = ["LONGEST", "RESERVED", "Job", "Origin", "differs", "name_files", "slug", "stems"]
