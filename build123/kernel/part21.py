"""The text of a STEP file (ISO 10303-21) made the same from every run, with a header of our own."""

from __future__ import annotations

import re
from collections.abc import Mapping

REFERENCE = re.compile(r"#(\d+)")
BREAK = re.compile(r"\n\s*")
"""A line break of the kernel's; the words that it is given hold none."""
BLOCK = "MECHANICAL_DESIGN_GEOMETRIC_PRESENTATION_REPRESENTATION"


def encoded(text: str) -> str:
    """A text between the quotes of a part 21 string (section 6.4.3): ASCII, the rest as \\X2\\ or \\X4\\ hexadecimal."""
    out: list[str] = []
    for wide, run in _runs(text):
        if wide == 0:
            out.append(run.replace("\\", "\\\\").replace("'", "''"))
        else:
            digits = "".join(f"{ord(c):0{wide}X}" for c in run)
            out.append(f"\\X{wide // 2}\\{digits}\\X0\\")
    return "".join(out)


def _runs(text: str) -> list[tuple[int, str]]:
    """Runs of characters that are written alike: 0 plain, 4 or 8 hexadecimal digits each."""
    runs: list[tuple[int, str]] = []
    for c in text:
        wide = 0 if " " <= c <= "~" else 4 if ord(c) < 0x10000 else 8
        if runs and runs[-1][0] == wide:
            runs[-1] = (wide, runs[-1][1] + c)
        else:
            runs.append((wide, c))
    return runs


def header(title: str, description: str, schema: str, maker: str) -> str:
    """A header section without a user, a path or the time."""
    return (
        "ISO-10303-21;\nHEADER;\n"
        f"FILE_DESCRIPTION(('{encoded(description)}'),'2;1');\n"
        f"FILE_NAME('{encoded(title)}','{STAMP}',(''),(''),'{encoded(maker)}','{encoded(maker)}','');\n"
        f"FILE_SCHEMA(('{schema}'));\nENDSEC;\n"
    )


STAMP = "2000-01-01T00:00:00"
"""The time in every header: one input gives one file, whenever it is compiled."""


def canonical(text: str, head: str, names: Mapping[str, str]) -> str:
    """A file of the kernel with another header, `names` for the words it was written with, and one order.

    The kernel orders the blocks of presentation by addresses in memory, and counts the uses of assemblies over the whole
    process, which also moves its line breaks: blocks are sorted by what they say, uses numbered from 1, a statement is a line.
    Solids are called what their product is called.
    """
    data = text.split("DATA;\n", 1)[1].rsplit("ENDSEC;", 1)[0]
    statements = [(n, BREAK.sub("", body)) for n, body in (one.split(" = ", 1) for one in data.strip()[1:-1].split(";\n#"))]
    first = next((k for k, (_, body) in enumerate(statements) if body.startswith(BLOCK)), len(statements))
    lines = []
    uses = 0
    product = ""
    for n, body in (*statements[:first], *_ordered(statements[first:])):
        if body.startswith("NEXT_ASSEMBLY_USAGE_OCCURRENCE("):
            uses += 1
            body = re.sub(r"\('[^']*'", f"('{uses}'", body, count=1)
        elif body.startswith("PRODUCT("):
            product = body[8 : body.index(",")]
        elif body.startswith("MANIFOLD_SOLID_BREP(''"):
            body = f"MANIFOLD_SOLID_BREP({product}{body[22:]}"
        if "'n" in body:
            body = WORD.sub(lambda found: f"'{encoded(names[found[1]])}'", body)
        lines.append(f"#{n}={body};\n")
    return f"{head}DATA;\n{''.join(lines)}ENDSEC;\nEND-ISO-10303-21;\n"


WORD = re.compile(r"'(n\d{6}n)'")
"""What the kernel is given as names: it writes no others alike, and would not write all of Unicode."""


def word(number: int) -> str:
    """The stand-in for a name."""
    return f"n{number:06d}n"


def _ordered(statements: list[tuple[str, str]]) -> list[tuple[str, str]]:
    """The blocks of presentation by what they say with all that they refer to; numbers handed out anew as they come."""
    said = dict(statements)
    told: dict[str, str] = {}

    def tell(n: str) -> str:
        if n not in said:
            return f"#{n:>12}"
        if n not in told:
            told[n] = "?"
            told[n] = REFERENCE.sub(lambda found: f"({tell(found[1])})", said[n])
        return told[n]

    order: dict[str, None] = {}

    def visit(n: str) -> None:
        if n in said and n not in order:
            order[n] = None
            for inner in REFERENCE.findall(said[n]):
                visit(inner)

    heads = [n for n, body in statements if body.startswith(BLOCK)]
    for n in (*sorted(heads, key=tell), *said):
        visit(n)
    start = min((int(n) for n in said), default=0)
    number = {n: str(start + k) for k, n in enumerate(order)}
    return [(number[n], REFERENCE.sub(lambda found: f"#{number.get(found[1], found[1])}", said[n])) for n in order]
