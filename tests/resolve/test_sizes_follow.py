"""Sizes follow from joints and stock, can be set from outside, and say where they come from."""

from __future__ import annotations

import re
from fractions import Fraction

import pytest
from compiling import design_of, errors, part, size, told

from build123.fields.show import show_why

TEXT = """\
build123: 1
piece: Tray rack
units: mm
sizes:
  width: 788
  depth: 300
  height: 18 * 30
stock:
  ply: {sheet: birch plywood, thickness: 18}
  thin: {sheet: birch plywood, thickness: 6}
parts:
  side: {pair: left and right, stock: ply, x: from 0, y: 0 to depth, z: 0 to height}
  shelf: {stock: ply, x: left side to right side, y: 0 to back, z: 2 evenly 0 to height}
  back: {stock: thin, x: left side to right side, y: up to depth, z: 0 to height}
joints:
  - dado: {of: shelf, in: side, depth: 6}
  - rabbet: {of: back, in: side, depth: 9, gap: 1}
  - glued: {of: back, to: shelf}
"""


@pytest.mark.parametrize("thickness", ["18", "17.8", "18.4", "23/32 in", "0.7 in"])
def test_one_line_of_stock_changes_every_size(thickness: str) -> None:
    made = design_of(TEXT.replace("thickness: 18}", f"thickness: {thickness}}}"))
    found = thickness.split()
    t = float(Fraction(found[0]) * (Fraction(127, 5) if found[-1] == "in" else 1))
    between = 788 - 2 * t
    assert size(made, "shelf 1") == pytest.approx((between + 2 * 6, 300 - 6, t))
    assert size(made, "back") == pytest.approx((between + 2 * (9 - 1), 540, 6)) or size(made, "back") == pytest.approx(
        (540, between + 2 * (9 - 1), 6)
    )
    assert part(made, "shelf 2").box.low[2] == pytest.approx(2 * (540 - 2 * t) / 3 + t)


def test_the_depth_of_a_joint_changes_the_blank_and_not_the_opening() -> None:
    shallow, deep = (design_of(TEXT.replace("depth: 6}", f"depth: {d}}}")) for d in (4, 8))
    assert size(deep, "shelf 1")[0] - size(shallow, "shelf 1")[0] == pytest.approx(2 * 4)
    assert part(shallow, "left side").box == part(deep, "left side").box


def test_a_size_set_from_outside() -> None:
    made = design_of(TEXT, width="1000", height="40 in")
    assert size(made, "shelf 1")[0] == pytest.approx(1000 - 36 + 12)
    assert part(made, "left side").box.high[2] == pytest.approx(1016)


@pytest.mark.parametrize(
    ("name", "value", "id", "words"),
    [
        ("widht", "3", "unknown-name", "did you mean 'width'"),
        ("width", "3 furlong", "unknown-unit", "furlong"),
        ("width", "height * 0 + depth - 1000", "negative-size", "shelf"),
        ("width", "1/0", "division-by-zero", "zero"),
    ],
)
def test_slips_in_a_size_set_from_outside(name: str, value: str, id: str, words: str) -> None:
    found = errors(told(TEXT, **{name: value})[1])
    assert id in {f.id for f in found}, [(f.id, f.message) for f in found]
    assert any(words in f.message + f.change for f in found)


def chain(name: str, what: str) -> str:
    made = design_of(TEXT)
    return "\n".join(show_why(part(made, name).sizes[what], made.units))


def test_the_length_of_a_shelf_says_where_it_comes_from() -> None:
    text = chain("shelf 1", "length")
    first = text.splitlines()[0]
    # 764 = 752 between the sides + 2 x 6 into the dados
    assert re.search(r"length of shelf 1 = 764 mm = 752 mm between the shoulders \+ 2 × 6 mm into the dado", first)
    for line in ("width = 788 mm   (spec.yaml:5)", "thickness of ply = 18 mm   (spec.yaml:9)"):
        assert line in text, text
    # the right side is the left one mirrored in the middle
    assert re.search(r"left face of right side = 770 mm = 2 × 394 mm - 18 mm, the opposite hand of left side", text)
    # the depth of the dado stands on its own line of the spec
    assert re.search(r"6 mm.*\(spec\.yaml:16\)", text)


def test_the_width_of_a_back_counts_its_gaps() -> None:
    made = design_of(TEXT)
    name = next(k for k, why in part(made, "back").sizes.items() if why.value == pytest.approx(752 + 2 * 8))
    text = chain("back", name)
    assert "768 mm = 752 mm between the shoulders + 2 × 8 mm into the rabbet" in text
    assert "9 mm deep - 1 mm gap" in text


def test_arithmetic_shows_its_numbers() -> None:
    text = chain("left side", "length")
    assert "18 × 30" in text or "18 * 30" in text, text
    assert "(spec.yaml:7)" in text


def test_the_thickness_is_as_measured() -> None:
    text = chain("shelf 2", "thickness")
    assert text.startswith("thickness of shelf 2 = 18 mm = as measured, ply") and "(spec.yaml:9)" in text


def test_every_size_of_every_part_adds_up() -> None:
    """The reason's own value is the size, and every leaf of it is a line of the spec or a default with its source."""
    made = design_of(TEXT)
    for one in made.parts:
        values = (one.length_mm, one.width_mm, one.thickness_mm)
        assert [one.sizes[k].value for k in ("length", "width", "thickness")] == pytest.approx(values)
        waiting = list(one.sizes.values())
        while waiting:
            why = waiting.pop()
            waiting.extend(why.of)
            assert why.of or why.span is not None or why.default, (one.name, why)


def test_every_number_of_every_feature_has_its_reason() -> None:
    for one in design_of(TEXT).parts:
        for feature in one.features:
            assert {"depth", "width"} <= set(feature.about.why), feature.about.id


def test_named_sizes_are_listed_with_their_values() -> None:
    assert {s.name: s.why.value for s in design_of(TEXT).sizes} == {"width": 788, "depth": 300, "height": 540}
