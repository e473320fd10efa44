"""Small pieces compiled from text, and what the checks say of them."""

from __future__ import annotations

from functools import cache

from build123.kernel.damage import parse_damage
from build123.kernel.store import Store
from build123.pipeline import compile_text
from build123.problem import Finding

STORE = Store()
STOCK = """\
  ply: {sheet: birch plywood, thickness: 18}
  thin: {sheet: birch plywood, thickness: 5}
  oak: {board: white oak, thickness: 20}
  pine: {board: ponderosa pine, thickness: 20}
  beam: {board: ponderosa pine, thickness: 40}
"""
SIZES = "{width: 600, depth: 300, height: 400}"


@cache
def said(parts: str, joints: str, *damage: str, head: str = "units: mm", sizes: str = SIZES, stock: str = STOCK) -> tuple[Finding, ...]:
    """Findings on a piece with these parts and joints, one to a line, its solids damaged where told."""
    text = f"build123: 1\npiece: Seed rack\n{head}\nsizes: {sizes}\nstock:\n{stock}parts:\n{_lines(parts)}joints:\n{_lines(joints)}"
    made = compile_text(text, STORE, tuple(parse_damage(one) for one in damage))
    assert made.fit is not None, [one.message for one in made.findings]
    return made.findings


def _lines(text: str) -> str:
    return "".join(f"  {line.strip()}\n" for line in text.strip().splitlines())


def ids(*args: str, **more: str) -> list[str]:
    """The ids of what is said, each once."""
    return list(dict.fromkeys(one.id for one in said(*args, **more)))


def the(id: str, *args: str, **more: str) -> Finding:
    """The first finding of one check, among others or not."""
    return next(one for one in said(*args, **more) if one.id == id)
