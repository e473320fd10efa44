"""A reader of STEP text (ISO 10303-21) that shares no code with the kernel that writes it.

A kernel reads its own mistakes back without a word: a dangling reference, an edge turned round, a face left out. This
looks at the text alone.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass

from build123.model.frame import Box

STRING = re.compile(r"'(?:[^']|'')*'")
STATEMENT = re.compile(r"#(\d+)\s*=\s*(.*)", re.DOTALL)
REFERENCE = re.compile(r"#(\d+)")
NAMED = re.compile(r"\b(PRODUCT|MANIFOLD_SOLID_BREP)\('((?:[^']|'')*)'|\bNEXT_ASSEMBLY_USAGE_OCCURRENCE\('[^']*','((?:[^']|'')*)'")
POINT = re.compile(r"\(([-+.\dE]+),([-+.\dE]+),([-+.\dE]+)\)")
WIDE = re.compile(r"\\X2\\((?:[0-9A-F]{4})+)\\X0\\|\\X4\\((?:[0-9A-F]{8})+)\\X0\\|\\\\|''")


@dataclass(frozen=True)
class Exchange:
    """What a file says of itself. `corners` is the box of its vertices, in the frames of their solids."""

    products: tuple[str, ...]
    uses: tuple[str, ...]
    solids: tuple[str, ...]
    faces: int
    corners: Box | None
    problems: tuple[str, ...]


def read(data: bytes) -> Exchange:
    """The file's names, counts and problems (none where it is sound)."""
    text = data.decode("ascii")
    named: dict[str, list[str]] = defaultdict(list)
    for kind, name, use in NAMED.findall(text):
        named[kind or "USE"].append(decoded(name or use))
    head, _, body = STRING.sub("''", text).partition("DATA;")
    statements: dict[str, str] = {}
    twice = []
    for one in body.split(";"):
        found = STATEMENT.search(one)
        if found:
            twice += [found[1]] if found[1] in statements else []
            statements[found[1]] = found[2]
    problems = [f"#{n} is written twice" for n in twice]
    problems += _dangling(statements)
    problems += _units(statements)
    problems += _shells(statements)
    if not head.startswith("ISO-10303-21;") or not text.rstrip().endswith("END-ISO-10303-21;"):
        problems.append("it does not begin or end as a part 21 file")
    faces = sum(said.startswith("ADVANCED_FACE") for said in statements.values())
    return Exchange(
        tuple(named["PRODUCT"]), tuple(named["USE"]), tuple(named["MANIFOLD_SOLID_BREP"]), faces, _corners(statements), tuple(problems[:5])
    )


def decoded(text: str) -> str:
    """What stands between the quotes of a part 21 string, as text."""

    def plain(found: re.Match[str]) -> str:
        if found[1]:
            return bytes.fromhex(found[1]).decode("utf-16-be")
        if found[2]:
            return bytes.fromhex(found[2]).decode("utf-32-be")
        return found[0][0]

    return WIDE.sub(plain, text)


def _dangling(statements: dict[str, str]) -> Iterator[str]:
    for n, said in statements.items():
        for used in REFERENCE.findall(said):
            if used not in statements:
                yield f"#{n} refers to #{used}, which is not there"


def _units(statements: dict[str, str]) -> Iterator[str]:
    lengths = [said for said in statements.values() if "LENGTH_UNIT()" in said]
    if not lengths:
        yield "it has no unit of length"
    if any("SI_UNIT(.MILLI.,.METRE.)" not in said for said in lengths):
        yield "a unit of length is not the millimetre"


def _shells(statements: dict[str, str]) -> Iterator[str]:
    """Every edge of a closed shell is used twice, once each way; otherwise the shell is open or turned."""

    def inner(n: str) -> list[str]:
        return REFERENCE.findall(statements.get(n, ""))

    def along(n: str) -> bool:
        return not statements.get(n, "").rstrip(" )\n").endswith(".F.")

    for n, said in statements.items():
        if not said.startswith("CLOSED_SHELL"):
            continue
        used: dict[str, list[bool]] = defaultdict(list)
        for face in inner(n):
            for bound in inner(face):
                if "BOUND(" in statements.get(bound, ""):
                    for loop in inner(bound):
                        for side in inner(loop):
                            used[inner(side)[0] if inner(side) else side].append(along(side) == along(bound))
        wrong = sum(sorted(ways) != [False, True] for ways in used.values())
        if wrong or not used:
            yield f"closed shell #{n}: {wrong} of {len(used)} edges are not used once each way"


def _corners(statements: dict[str, str]) -> Box | None:
    points = []
    for said in statements.values():
        if said.startswith("VERTEX_POINT"):
            for n in REFERENCE.findall(said):
                found = POINT.search(statements.get(n, ""))
                if found:
                    points.append((float(found[1]), float(found[2]), float(found[3])))
    return Box.around(points) if points else None
