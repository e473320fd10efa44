"""Where a finding points, what it suggests, and that slips of all stages are told together."""

from __future__ import annotations

import pytest
from compiling import design_of, errors, marked, told

from build123.joints import kinds
from build123.problem import Finding
from build123.spec.schema import entry_classes

SIX = """\
build123: 1
piece: Six slips
units: mm
sizes:
  width: 500 furlong
  depth: 200
  half: depth / 0
stock:
  ply: {sheet: birch plywood, thickness: 18}
parts:
  side: {pair: left and right, stock: ply, x: from 0, y: 0 to depth, z: 0 to 300}
  shelf: {stock: plyy, x: left side to right side, y: 0 to depth, z: from 100}
  lid: {stock: ply, x: 0 to 100, y: 0 to depth, z: 0 to 10}
  box: {stock: ply, x: 0 to lidd, y: 0 to depth, z: from 0}
joints:
  - dado: {of: shelff, in: side, depth: 6}
"""


def where(finding: Finding) -> tuple[int, int, str]:
    """Line and column as an editor counts them, and the text there."""
    span = finding.span
    assert span is not None, finding.message
    return span.line + 1, span.column + 1, marked(finding)


def test_six_slips_are_six_findings_at_their_places() -> None:
    found = errors(told(SIX)[1])
    assert {(f.id, *where(f)) for f in found} == {
        ("unknown-unit", 5, 14, "furlong"),
        ("division-by-zero", 7, 9, "depth / 0"),
        ("unknown-name", 12, 18, "plyy"),
        ("no-thickness", 13, 3, "lid"),
        ("unknown-name", 14, 29, "lidd"),
        ("unknown-part", 16, 16, "shelff"),
    }
    assert len(found) == 6


def test_wrong_keys_and_values_are_told_together() -> None:
    text = (
        SIX.replace("units: mm", "unit: mm")
        .replace("stock: ply, x: from 0, y: 0 to depth,", "stok: ply, x: from 0,")
        .replace("- dado", "- dadoo")
    )
    text = text.replace("pair: left and right", "pair: left and rite").replace("thickness: 18", "thickness: [18, 19]")
    found = errors(told(text)[1])
    assert {(f.id, marked(f)) for f in found} == {
        ("unknown-key", "unit"),
        ("bad-value", "[18, 19]"),
        ("unknown-key", "stok"),
        ("bad-value", "left and rite"),
        ("key-missing", "side"),
        ("unknown-key", "dadoo"),
    }


def test_a_place_in_a_flow_line_a_block_and_a_quoted_value() -> None:
    base = (
        SIX.replace("500 furlong", "500")
        .replace("depth / 0", "depth / 2")
        .replace("plyy", "ply")
        .replace("lidd", "100")
        .replace("shelff", "shelf")
    )
    base = base.replace("  lid: {stock: ply, x: 0 to 100, y: 0 to depth, z: 0 to 10}\n", "")
    flow = base.replace("z: from 100}", "z: from 100 mn}")
    block = base.replace("  shelf: {stock: ply, x: left side to right side, y: 0 to depth, z: from 100}", "  shelf:\n    stock: ply\n    x: left side to right side\n    y: 0 to depth\n    z: from 100 mn")  # fmt: skip
    quoted = base.replace("z: from 100}", 'z: "from 100 mn"}')
    for text, under in ((flow, "mn"), (block, "mn"), (quoted, "mn")):
        (found,) = errors(told(text)[1])
        assert found.id == "unknown-unit" and under in marked(found), where(found)


@pytest.mark.parametrize("heading", [h for h, _ in entry_classes() if h.startswith("joints: ")])
def test_a_misspelt_key_of_a_joint_is_suggested(heading: str) -> None:
    key = heading.removeprefix("joints: ")
    fields = [f.alias or n for n, f in kinds()[key].model_fields.items()]
    word = max(fields, key=len)
    slip = word[1] + word[0] + word[2:] if len(word) > 3 else word + "x"
    first = "of" if "of" in fields else "through"
    text = SIX.replace("- dado: {of: shelff, in: side, depth: 6}", f"- {key}: {{{first}: shelf, {slip}: side}}")
    found = [f for f in errors(told(text)[1]) if f.id == "unknown-key"]
    assert [marked(f) for f in found] == [slip]
    if len(word) > 3:
        assert f"did you mean {word!r}" in found[0].message
    assert word in found[0].change


def two(a: str, b: str) -> str:
    return f"""\
build123: 1
piece: Two
stock: {{ply: {{sheet: birch plywood, thickness: 18}}}}
parts:
  post: {{stock: ply, {a}}}
  shelf: {{stock: ply, {b}}}
joints:
  - glued: {{of: shelf, to: post}}
"""


@pytest.mark.parametrize(
    ("shelf", "words"),
    [
        ("x: 525 to 600, y: 0 to 100, z: from 0", "post lies 7 mm to the left of it"),
        ("x: 0 to 493, y: 0 to 100, z: from 0", "post lies 7 mm to the right of it"),
        ("x: 500 to 600, y: 110 to 200, z: from 0", "post lies 10 mm in front of it"),
        ("x: 500 to 600, y: -50 to -12.5, z: from 0", "post lies 12.5 mm behind it"),
        ("x: 500 to 600, y: 0 to 100, z: from 300.5", "post lies 0.5 mm below it"),
        ("x: 500 to 600, y: 0 to 100, z: up to -3", "post lies 3 mm above it"),
        ("x: 510 to 600, y: 0 to 100, z: from 20", "run into each other"),
        ("x: 518 to 600, y: 100 to 200, z: from 20", "meet only at an edge"),
    ],
)
def test_parts_that_do_not_meet_say_how_far_and_which_way(shelf: str, words: str) -> None:
    found = errors(told(two("x: from 500, y: 0 to 100, z: 0 to 300", shelf))[1])
    assert [f.id for f in found] == ["joint-parts-apart"]
    assert words in found[0].message and marked(found[0]) == "shelf"


def test_rings_are_shown_whole() -> None:
    sizes = (
        SIX.replace("width: 500 furlong", "width: half * 2")
        .replace("depth: 200", "depth: width")
        .replace("half: depth / 0", "half: depth / 2")
    )
    (ring,) = [f for f in errors(told(sizes)[1]) if f.id == "cycle"]
    assert all(f"{name} (line {n})" in ring.message for name, n in (("width", 5), ("depth", 6), ("half", 7)))
    assert len(ring.places) == 3
    text = two("x: from 0, y: 0 to 100, z: 0 to shelf", "x: post to 100, y: 0 to 100, z: from top of post")
    (ring,) = [f for f in errors(told(text)[1]) if f.id == "cycle"]
    assert "post" in ring.message and "shelf" in ring.message and "->" in ring.message


NAMES = {
    "a path": "../shelf",
    "a folder": "a/b",
    "a drive": "C:\\shelf",
    "markup": "<b>shelf</b>",
    "a formula": "=1+1",
    "a command": "$(rm)",
    "an emoji": "📐 shelf",
    "nothing to see": "shelf\u200b",
    "turned about": "\u202eflehs",
    "a unit": "mm",
    "a word of extents": "up to shelf",
    "very long": "shelf " * 20 + "end",
    "a digit first": "2 shelf",
}


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("table", ["parts", "sizes", "stock"])
def test_names_that_cannot_be_used(name: str, table: str) -> None:
    written = '"' + NAMES[name].replace("\\", "\\\\") + '"'
    text = two("x: from 0, y: 0 to 100, z: 0 to 300", "x: post to 100, y: 0 to 100, z: from 0")
    entry = {
        "parts": f"parts:\n  {written}: {{stock: ply, x: 500 to 600, y: 0 to 10, z: from 0, loose: yes}}",
        "sizes": f"sizes: {{{written}: 3}}\nparts:",
        "stock": "parts:",
    }[table]
    text = text.replace("parts:", entry, 1)
    if table == "stock":
        text = text.replace("stock: {ply:", f"stock: {{{written}: {{sheet: x, thickness: 3}}, ply:", 1)
    found = errors(told(text)[1])
    assert [f.id for f in found] in (["bad-name"], ["control-character"]), [(f.id, f.message) for f in found]
    assert found[0].span is not None


@pytest.mark.parametrize("name", ["CON", "nul", "Ärmel", "pièce", "tiroir-2", "shelf 10", "top", "left", "棚"])
def test_names_that_can(name: str) -> None:
    text = two("x: from 0, y: 0 to 100, z: 0 to 300", "x: post to 100, y: 0 to 100, z: from 0").replace("shelf", name)
    assert name in design_of(text).by_name


@pytest.mark.parametrize("value", ["NO", "012", "1:30", "1e3", "0x10", ".5", "~", "1_000", "yes"])
def test_values_are_read_as_lengths_and_never_by_yamls_guess(value: str) -> None:
    design, found = told(two("x: from 0, y: 0 to 100, z: 0 to 300", f"x: post to 18 + {value}, y: 0 to 100, z: from 0"))
    meant = {"012": 12, ".5": 0.5}
    if value in meant:
        assert design is not None and design.by_name["shelf"].box.size[0] == pytest.approx(meant[value])
    else:
        assert len(errors(found)) == 1 and any(c in marked(errors(found)[0]) for c in value)


def test_a_size_and_a_part_of_one_name() -> None:
    text = two("x: from 0, y: 0 to 100, z: 0 to 300", "x: post to 100, y: 0 to 100, z: from 0").replace(
        "stock:", "sizes: {post: 3}\nstock:", 1
    )
    (found,) = errors(told(text)[1])
    assert found.id == "two-of-one-name" and len(found.places) == 2
    assert [p.span.line + 1 for p in found.places] == [6, 3]
