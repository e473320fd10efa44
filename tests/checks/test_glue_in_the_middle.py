"""A breadboard end: glued all along it splits the board, glued in the middle it holds it flat (BREADBOARD, common practice)."""

from __future__ import annotations

import pytest

from build123.kernel import Store
from build123.pipeline import compile_text

BOARD = """
build123: 1
piece: Bread board
stock: {ash: {board: ash, thickness: 24}}
parts:
  board: {stock: ash, x: 60 to 800, y: 0 to WIDTH, z: from 0}
  end: {stock: ash, x: 0 to 60, y: 0 to WIDTH, z: from 0, grain: y}
joints:
  - tongue: {of: board, in: end, GLUE}
"""


@pytest.mark.parametrize(
    ("width", "glue", "told"),
    [
        ("400", "depth: 8", ["moves-across-grain"]),
        ("400", "depth: 8, glue: all", ["moves-across-grain"]),
        ("400", "depth: 8, glue: middle", []),
        ("400", "depth: 8, glue: no", []),
        ("90", "depth: 8", []),
    ],
)
def test_a_breadboard_end(width: str, glue: str, told: list[str], store: Store) -> None:
    made = compile_text(BOARD.replace("WIDTH", width).replace("GLUE", glue), store)
    assert made.design is not None
    assert [f.id for f in made.findings if f.id == "moves-across-grain"] == told
