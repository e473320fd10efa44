"""STEP: the piece as a tree of named, coloured parts; each distinct part flat on the bench."""

from __future__ import annotations

from collections import Counter
from collections.abc import Hashable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING
from weakref import WeakKeyDictionary

from build123.exports.bodies import MODEL, bodies, box_differs, colour, first_of_each_kind, kind_key, told
from build123.exports.job import Job, differs
from build123.exports.part21 import Exchange, read
from build123.kernel.fault import KernelFault
from build123.problem import Finding

if TYPE_CHECKING:
    from build123.kernel.step import Definition, Extent, Use
    from build123.kernel.store import Store

NAME = "step"
PIECE = f"{MODEL}.step"
ROUNDING_MM = 1e-4
"""Coordinates are written with some 12 digits; a difference above this is another shape."""
BENCH = "Millimetres. Flat on the bench, worked face up: X along the grain, Z0 at the underside of the blank."
PLACED = "Millimetres. Assembled: X from left to right, Y from front to back, Z up."


MOST = 400
"""So many files of parts are remembered with a store."""


@dataclass
class _Written:
    """The file of a part that was written before, and whether it read back as meant."""

    data: bytes
    sound: bool = False


_KNOWN: WeakKeyDictionary[Store, dict[Hashable, _Written]] = WeakKeyDictionary()


def write(job: Job) -> dict[str, bytes]:
    """The files by path. KernelFault where the kernel fails."""
    from build123.kernel.step import write_step

    definitions, uses = _meant(job)
    files = {PIECE: write_step(job.design.piece, PLACED, definitions, uses, job.scratch)}
    known = _KNOWN.setdefault(job.store, {})
    kept: dict[Hashable, _Written] = {}
    for stem, part in first_of_each_kind(job).items():
        key = (part.shape_key, part.name, colour(part))
        alone = {"part": definitions[kind_key(part)]}
        kept[key] = known.get(key) or _Written(write_step(part.name, BENCH, alone, (), job.scratch))
        files[f"parts/{stem}.step"] = kept[key].data
    _KNOWN[job.store] = {**known, **kept} if len(known) < MOST else kept
    return files


def verify(job: Job, files: Mapping[str, bytes]) -> list[Finding]:
    """Every file's text by itself; the piece, which holds every definition, also through the kernel."""
    from build123.kernel.step import extents_meant, faces_and_corners, read_step

    definitions, uses = _meant(job)
    found: list[Finding] = []
    parts = {f"parts/{stem}.step": part for stem, part in first_of_each_kind(job).items()}
    for path in sorted({PIECE, *parts} - set(files)):
        found.append(differs(path, "the file is missing"))
    known = _KNOWN.setdefault(job.store, {})
    for path, data in files.items():
        before = len(found)
        part = parts.get(path)
        written = known.get((part.shape_key, part.name, colour(part))) if part is not None else None
        if written is not None and written.sound and written.data == data:
            continue
        try:
            text = read(data)
        except ValueError as fault:
            found.append(differs(path, f"it is not a part 21 file: {fault}"))
            continue
        found += [differs(path, problem) for problem in text.problems]
        if path in parts:
            faces, corners = faces_and_corners(definitions[kind_key(parts[path])].solid)
            meant = Exchange((parts[path].name,), (), (parts[path].name,), faces, corners, ())
            found += _texts(path, text, meant)
            if text.corners is None or box_differs(text.corners, corners, ROUNDING_MM):
                there = told(text.corners) if text.corners else "nothing"
                found.append(differs(path, f"its corners lie in {there} and not in {told(corners)}"))
            if written is not None and written.data == data:
                written.sound = len(found) == before
        else:
            found += _tree(path, text, job, definitions, uses)
            try:
                found += _extents(path, read_step(data, job.scratch), extents_meant(definitions, uses))
            except KernelFault as fault:
                found.append(differs(path, fault.cause))
    return found


def _meant(job: Job) -> tuple[dict[str, Definition], list[Use]]:
    from build123.kernel.step import Definition, Use

    definitions: dict[str, Definition] = {}
    uses = []
    for body in bodies(job):
        key = kind_key(body)
        if key not in definitions:
            definitions[key] = Definition(body.name, job.store.shape(body), colour(body))
        uses.append(Use(body.name, key, body.placement, body.path))
    return definitions, uses


def _texts(path: str, text: Exchange, meant: Exchange) -> list[Finding]:
    found = []
    for what in ("products", "uses", "solids"):
        if Counter(getattr(text, what)) != Counter(getattr(meant, what)):
            missing = sorted((Counter(getattr(meant, what)) - Counter(getattr(text, what))).elements())
            found.append(differs(path, f"the names of its {what} are not the parts' names; missing: {', '.join(missing) or 'none'}"))
    if text.faces != meant.faces:
        found.append(differs(path, f"it has {text.faces} faces and not {meant.faces}", found=text.faces, meant=meant.faces))
    return found


def _tree(path: str, text: Exchange, job: Job, definitions: Mapping[str, Definition], uses: Sequence[Use]) -> list[Finding]:
    """Solids and uses are compared by name; the products of assemblies may get a number where two would be alike."""
    from build123.kernel.step import faces_and_corners

    branches = {use.path[:k] for use in uses for k in range(1, len(use.path) + 1)}
    names = [*(use.name for use in uses), *(branch[-1] for branch in branches)]
    solids = tuple(item.name for item in definitions.values())
    faces = sum(faces_and_corners(item.solid)[0] for item in definitions.values())
    found = _texts(path, text, Exchange(text.products, tuple(names), solids, faces, None, ()))
    products = len(definitions) + len(branches) + 1
    if len(set(text.products)) != products or len(text.products) != products:
        found.append(differs(path, f"it has {len(set(text.products))} products by name and not {products}"))
    for name in sorted({*solids, job.design.piece} - set(text.products)):
        found.append(differs(path, f"no product is called {name}"))
    return found


def _extents(path: str, found: list[Extent], meant: list[Extent]) -> list[Finding]:
    """Counts, then volumes and sides of boxes, each sorted: the order in the file is the tree's."""
    if len(found) != len(meant):
        return [differs(path, f"it has {len(found)} placed solids and not {len(meant)}", found=len(found), meant=len(meant))]
    for a, b in zip(sorted(e.volume_mm3 for e in found), sorted(e.volume_mm3 for e in meant), strict=True):
        if abs(a - b) > 1e-6 * b:
            return [differs(path, f"a solid has {a:.3f} mm3 and not {b:.3f}", found_mm3=a, meant_mm3=b)]
    for side in ("low", "high"):
        for k in range(3):
            pairs = zip(sorted(getattr(e.box, side)[k] for e in found), sorted(getattr(e.box, side)[k] for e in meant), strict=True)
            off = max((abs(a - b) for a, b in pairs), default=0.0)
            if off > ROUNDING_MM:
                return [differs(path, f"a solid is {off:.4f} mm away from its place along {'xyz'[k]}", off_mm=off)]
    return []
