"""What a maker gets wrong in a spec, and the finding that tells it: id, the text under the caret, and words of the message."""

import textwrap

import pytest

from build123.pipeline import compile_text
from build123.problem import Finding

GOOD = """\
build123: 1
piece: Seed tray
units: mm
sizes: {width: 500, depth: 200, height: 300}
stock:
  ply: {sheet: birch plywood, thickness: 18}
parts:
  side: {pair: left and right, stock: ply, x: from 0, y: 0 to depth, z: 0 to height}
  shelf: {stock: ply, x: left side to right side, y: 0 to depth, z: from 100}
joints:
  - dado: {of: shelf, in: side, depth: 6}
"""


def findings(text: str) -> list[Finding]:
    return list(compile_text(text).findings)


def marked(finding: Finding) -> str:
    """The text that the caret stands under."""
    span = finding.span
    assert span is not None
    line = span.source.lines[span.line]
    return line[span.column : span.end_column if span.end_line == span.line else None]


def test_the_spec_that_the_others_are_made_from_is_right() -> None:
    assert findings(GOOD) == []


SLIPS = {
    "unknown key": ("stock: ply, x: from 0", "stok: ply, x: from 0", "unknown-key", "stok", "did you mean 'stock'"),
    "misspelt part in a joint": ("of: shelf", "of: shelv", "unknown-part", "shelv", "did you mean 'shelf'"),
    "misspelt stock": ("shelf: {stock: ply", "shelf: {stock: plyw", "unknown-name", "plyw", "did you mean 'ply'"),
    "unknown unit": ("z: from 100", "z: from 100 furlong", "unknown-unit", "furlong", "furlong"),
    "division by zero": ("z: from 100", "z: from 100 / 0", "division-by-zero", "100 / 0", "divides by zero"),
    "ring of sizes": ("width: 500, depth: 200", "width: depth * 2, depth: width / 2", "cycle", "depth * 2", "width"),
    "ring of parts": ("z: from 100", "z: from shelf", "cycle", "from shelf", "shelf"),
    "no extent left for the thickness": ("z: from 100}", "z: 100 to 118}", "no-thickness", "shelf", "thickness of ply"),
    "two thicknesses": ("y: 0 to depth, z: from 100", "y: from 0, z: from 100", "two-thicknesses", "from 0", "y and z"),
    "negative size": ("y: 0 to depth, z: from 100", "y: depth to 0, z: from 100", "negative-size", "depth to 0", "nothing is left of shelf"),
    "parts that do not meet": ("x: left side to right side", "x: left side + 5 to right side", "joint-parts-apart", "side", "5 mm"),
    "a pair in a place for one": ("z: from 100", "z: from side", "run-for-one", "side", "left side, right side"),
    "missing key": (", z: from 100", "", "key-missing", "shelf", "'z'"),
    "a list for a value": ("thickness: 18", "thickness: [18]", "bad-value", "[18]", "single value"),
    "no such direction": ("pair: left and right", "pair: left and rigt", "bad-value", "left and rigt", "did you mean 'left and right'"),
    "two joints in one entry": ("- dado: {of: shelf, in: side, depth: 6}", "- dado: {of: shelf, in: side}\n    glued: {of: shelf, to: side}", "one-kind", "glued", "one key"),
    "unknown joint": ("- dado:", "- daddo:", "unknown-key", "daddo", "did you mean 'dado'"),
    "deeper than the part": ("depth: 6}", "depth: 18}", "bad-depth", "18", "goes right through"),
    "stop on the wrong side": ("depth: 6}", "depth: 6, stop: 10 from top}", "bad-stop", "10", "does not run towards top"),
    "stop without an edge": ("depth: 6}", "depth: 6, stop: 10}", "bad-stop", "10", "3/8 from front"),
    "unknown fit": ("depth: 6}", "depth: 6, fit: slop}", "unknown-name", "slop", "did you mean 'slip'"),
    "a face in a housing": ("x: left side to right side, y: 0 to depth, z: from 100", "x: from left side, y: 0 to depth, z: 0 to 90", "joint-parts-apart", "side", "right side"),
    "tab": ("  shelf:", "\tshelf:", "yaml-tab", "", "tab"),
    "duplicate key": ("sizes:", "units: in\nsizes:", "duplicate-key", "units", "units"),
    "not YAML": ("parts:", "parts: [", "yaml-syntax", "", ""),
    "alias": ("sizes: {width: 500", "sizes: &a {width: 500", "yaml-alias", "", "alias"),
    "part named like a size": ("  shelf: {", "  width: {stock: ply, x: from 300, y: 0 to 10, z: 0 to 10}\n  shelf: {", "two-of-one-name", "width", "width"),
    "a path for a name": ("  shelf: {", "  ../shelf: {", "bad-name", "../shelf", "letter"),
    "markup for a name": ("  shelf: {", "  <b>shelf</b>: {", "bad-name", "<b>shelf</b>", "letter"),
    "a formula for a name": ("  shelf: {", "  =1+1: {", "bad-name", "=1+1", "letter"),
    "too many": ("z: from 100}", "z: 100000 evenly 0 to height}", "bad-count", "", "200"),
    "version": ("build123: 1", "build123: 2", "bad-value", "2", "1"),
}  # fmt: skip


@pytest.mark.parametrize("slip", SLIPS)
def test_a_slip_is_one_finding_at_its_place(slip: str) -> None:
    old, new, id, under, words = SLIPS[slip]
    assert old in GOOD
    found = findings(GOOD.replace(old, new, 1))
    assert id in [f.id for f in found], [(f.id, f.message) for f in found]
    finding = next(f for f in found if f.id == id)
    assert under in marked(finding)
    assert words in finding.message + finding.change


def test_all_slips_are_told_at_once() -> None:
    wrong = (
        GOOD.replace("thickness: 18", "thickness: 18 mn")
        .replace("of: shelf", "of: shelv")
        .replace("z: from 100", "z: from 1/0")
        .replace("height: 300", "height: -300")
    )
    found = findings(wrong)
    assert {f.id for f in found} >= {"unknown-unit", "unknown-part", "division-by-zero"}


def test_a_slip_in_a_repeated_assembly_is_told_once() -> None:
    text = textwrap.dedent("""\
        build123: 1
        piece: Row
        stock: {ply: {sheet: birch plywood, thickness: 18}}
        assemblies:
          bay:
            sizes: {width: 400}
            parts:
              shelf: {stock: ply, x: 0 to widht, y: 0 to 200, z: [from 100, from 300, from 500]}
        place:
          bay: {assembly: bay, at: [0, 0, 0], count: 20, every: [400, 0, 0]}
        """)
    assert [f.id for f in findings(text)] == ["unknown-name"]


def test_the_names_that_windows_keeps_for_itself_are_made_safe() -> None:
    from build123.exports.job import name_files

    made = compile_text(GOOD.replace("  shelf: {", "  CON: {").replace("of: shelf", "of: CON"))
    assert made.design is not None and not made.failed
    assert name_files(made.design)["CON"] not in ("con", "CON")
