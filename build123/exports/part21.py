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
    said: dict[str, str] = {}
    problems = []
    for one in body.split(";"):
        number, sign, what = one.partition("=")
        number = number.strip().lstrip("#")
        if sign and number in said:
            problems.append(f"#{number} is written twice")
        if sign:
            said[number] = what.strip()
    used = {number: REFERENCE.findall(what) for number, what in said.items()}
    problems += _dangling(used)
    problems += _units(said)
    problems += _shells(said, used)
    if not head.startswith("ISO-10303-21;") or not text.rstrip().endswith("END-ISO-10303-21;"):
        problems.append("it does not begin or end as a part 21 file")
    faces = sum(what.startswith("ADVANCED_FACE") for what in said.values())
    products, uses, solids = (tuple(named[kind]) for kind in ("PRODUCT", "USE", "MANIFOLD_SOLID_BREP"))
    return Exchange(products, uses, solids, faces, _corners(said, used), tuple(problems[:5]))


def decoded(text: str) -> str:
    """What stands between the quotes of a part 21 string, as text."""

    def plain(found: re.Match[str]) -> str:
        if found[1]:
            return bytes.fromhex(found[1]).decode("utf-16-be")
        if found[2]:
            return bytes.fromhex(found[2]).decode("utf-32-be")
        return found[0][0]

    return WIDE.sub(plain, text)


def _dangling(used: dict[str, list[str]]) -> Iterator[str]:
    there = used.keys()
    for number, others in used.items():
        if not there >= set(others):
            yield from (f"#{number} refers to #{other}, which is not there" for other in others if other not in there)


def _units(statements: dict[str, str]) -> Iterator[str]:
    lengths = [said for said in statements.values() if "LENGTH_UNIT()" in said]
    if not lengths:
        yield "it has no unit of length"
    if any("SI_UNIT(.MILLI.,.METRE.)" not in said for said in lengths):
        yield "a unit of length is not the millimetre"


def _shells(said: dict[str, str], used: dict[str, list[str]]) -> Iterator[str]:
    """Every edge of a closed shell is used twice, once each way; otherwise the shell is open or turned."""

    def along(number: str) -> bool:
        return not said.get(number, "").rstrip(" )").endswith(".F.")

    for number, what in said.items():
        if not what.startswith("CLOSED_SHELL"):
            continue
        ways: dict[str, list[bool]] = defaultdict(list)
        for face in used[number]:
            for bound in used.get(face, ()):
                if said.get(bound, "").startswith(("FACE_BOUND", "FACE_OUTER_BOUND")):
                    forth = along(bound)
                    for loop in used[bound]:
                        for side in used.get(loop, ()):
                            ways[used[side][0] if used.get(side) else side].append(along(side) == forth)
        wrong = sum(sorted(both) != [False, True] for both in ways.values())
        if wrong or not ways:
            yield f"closed shell #{number}: {wrong} of {len(ways)} edges are not used once each way"


def _corners(said: dict[str, str], used: dict[str, list[str]]) -> Box | None:
    points = []
    for number, what in said.items():
        if what.startswith("VERTEX_POINT"):
            for point in used[number]:
                found = POINT.search(said.get(point, ""))
                if found:
                    points.append((float(found[1]), float(found[2]), float(found[3])))
    return Box.around(points) if points else None
