"""Slips in what is said to be cut, the reasons and files of what is, and that a part cut as it was meant changes nothing."""

from __future__ import annotations

from pathlib import Path

import pytest
from compiling import design_of, errors, goes_together, marked, part, size, span, told
from cut_tray import DADO, DOWELS, RAIL, SHELF, depths, tray
from hypothesis import given, settings
from hypothesis import strategies as st

from build123.fields.show import show_length, show_why
from build123.kernel.store import Store
from build123.model.design import Design
from build123.problem import Source
from build123.resolve import resolve
from build123.spec import parse
from build123.text import read_text

SPECS = Path(__file__).parents[2] / "specs"

# --- slips -----------------------------------------------------------------------------------------------------------------

SLIPS = {
    "misspelt part": ("shelv 1: {length: 576}", "unknown-part", "shelv 1", "did you mean 'shelf 1'"),
    "misspelt size": ("shelf 1: {lenght: 576}", "unknown-key", "lenght", "did you mean 'length'"),
    "no size": ("shelf 1: {}", "bad-value", "shelf 1", "no size of it is given"),
    "not a length": ("shelf 1: {length: 5 deg}", "wrong-dimension", "5 deg", "length"),
    "negative": ("shelf 1: {length: -576}", "negative-size", "-576", "length of shelf 1 would be -576 mm"),
    "unknown unit": ("shelf 1: {length: 576 mn}", "unknown-unit", "mn", "mn"),
    "given twice": ("shelf: {length: 576}; shelf 2: {length: 576}", "bad-value", "576", "the length of shelf 2 is given as cut twice"),
    "hardware": ("rod: {length: 564}", "bad-value", "rod", "hardware"),
    "length and width changed over": ("shelf 1: {length: 299.5}", "as-cut-unlikely", "299.5", "276.5 mm off; is that its width?"),
    "a figure in inches": ("shelf 1: {length: 22.68}", "as-cut-unlikely", "22.68", "is it in inches?"),
    "a digit too many": ("shelf 1: {length: 5760}", "as-cut-unlikely", "5760", "5184 mm off"),
    "just too far off": ("shelf 1: {length: 565.9}", "as-cut-unlikely", "565.9", "10.1 mm off"),
    "another thickness": ("shelf 1: {thickness: 17.5}", "as-cut-thickness", "17.5", "give it a stock of its own"),
}


@pytest.mark.parametrize("slip", SLIPS)
def test_a_slip_is_one_finding_at_its_place(slip: str) -> None:
    lines, id, under, words = SLIPS[slip]
    rod = "  rod: {hardware: steel rod, round: x, x: left side to right side, y: centred on 150 for 8, z: centred on 50 for 8}\n"
    made, findings = told(tray(lines, SHELF + rod))
    assert made is None
    assert [f.id for f in findings] == [id], [(f.id, f.message) for f in findings]
    assert marked(findings[0]) == under
    assert words in findings[0].message + findings[0].change


def test_slips_of_joints_and_of_what_is_cut_are_told_together() -> None:
    ids = {f.id for f in errors(told(tray("shelv: {length: 576}").replace("of: shelf", "of: shlef").replace("from 250", "from 1/0"))[1])}
    assert ids == {"unknown-part", "division-by-zero"}


# --- reasons and outputs ---------------------------------------------------------------------------------------------------


def test_every_number_that_came_from_what_is_cut_ends_at_its_line() -> None:
    made = design_of(tray("shelf 1: {length: 575.4, width: 299.5}"))
    assert show_why(part(made, "shelf 1").sizes["length"], "mm") == ["length of shelf 1 = 575.4 mm = as cut   (spec.yaml:14)"]
    assert show_why(part(made, "shelf 1").sizes["width"], "mm") == ["width of shelf 1 = 299.5 mm = as cut   (spec.yaml:14)"]
    deep = next(f for f in part(made, "left side").features if f.about.members == ("shelf 1",)).about.why["depth"]
    text = "\n".join(show_why(deep, "mm"))
    assert text.splitlines()[0] == "depth = 5.7 mm = 6 mm - 0.3 mm, as shelf 1 is cut   (spec.yaml:14)"
    assert "shelf 1 shorter as cut at this end = 0.3 mm = half of 0.6 mm   (spec.yaml:14)" in text
    assert "shelf 1 shorter as cut = 0.6 mm = 576 mm - 575.4 mm   (spec.yaml:14)" in text
    waiting = [deep]
    while waiting:
        why = waiting.pop()
        waiting.extend(why.of)
        assert why.of or why.span is not None or why.default, why


def test_the_reasons_can_be_asked_for_where_something_does_not_fit(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    from build123.cli.why import explain_size

    spec = tmp_path / "spec.yaml"
    spec.write_text(tray("shelf 1: {length: 575.4}; side: {length: 400}"), encoding="utf-8")
    assert explain_size(spec, "shelf 1.length", {}) == 0
    assert capsys.readouterr().out.startswith("  length of shelf 1 = 575.4 mm = as cut")


def test_a_size_as_cut_may_be_said_with_names() -> None:
    made = design_of(tray("shelf 1: {length: width - 24.6}"))
    lines = show_why(part(made, "shelf 1").sizes["length"], "mm")
    assert lines[0] == "length of shelf 1 = 575.4 mm = as cut, 600 - 24.6   (spec.yaml:14)"
    assert any("width = 600   (spec.yaml:4)" in line for line in lines)


def test_a_pair_a_run_and_a_part_of_a_placed_assembly_can_be_as_cut() -> None:
    made = design_of(tray("shelf: {length: 576}; side: {width: 300}"))
    assert [p.name for p in made.parts if p.as_cut] == ["left side", "right side", "shelf 1", "shelf 2"]
    text = """\
build123: 1
piece: Boxes
stock: {ply: {sheet: birch plywood, thickness: 9}}
assemblies:
  box:
    sizes: {width: 250}
    parts:
      wall: {pair: left and right, stock: ply, x: from 0, y: 0 to 250, z: 0 to 250}
      bottom: {stock: ply, x: left wall to right wall, y: 0 to 250, z: from 50}
    joints:
      - dado: {of: bottom, in: wall, depth: 3}
place:
  box: {assembly: box, at: [0, 0, 0], count: 2, every: [400, 0, 0]}
as cut:
  bottom of box 2: {width: 239}
"""
    made = design_of(text)
    assert [p.name for p in made.parts if p.as_cut] == ["bottom of box 2"]
    assert depths(made, "left wall of box 1") == [3] and depths(made, "left wall of box 2") == [3.5]


def test_the_order_of_the_entries_does_not_matter() -> None:
    one = design_of(tray("shelf 1: {length: 575.4}; left side: {length: 399}; shelf 2: {length: 576.5}"))
    other = design_of(tray("shelf 2: {length: 576.5}; left side: {length: 399}; shelf 1: {length: 575.4}"))
    assert [p.shape_key for p in one.parts] == [p.shape_key for p in other.parts]


def test_the_cut_list_and_the_report_say_what_is_cut(store: Store, tmp_path: Path) -> None:
    import csv
    import json

    from build123.pipeline import build

    written = build(goes_together(tray("shelf 1: {length: 576, width: 300}; side: {length: 400}"), store), tmp_path)
    assert not written.findings
    rows = {row["part"]: row for row in csv.DictReader((written.folder / "cutlist.csv").open(encoding="utf-8", newline=""))}
    assert (rows["shelf 1"]["count"], rows["shelf 1"]["parts"], rows["shelf 1"]["as cut"]) == ("2", "shelf 1; shelf 2", "shelf 1")
    assert rows["left side"]["as cut"] == "left side; right side"
    report = json.loads((written.folder / "report.json").read_text(encoding="utf-8"))
    assert {p["name"]: p["as_cut"] for p in report["parts"]} == {
        "left side": ["length"],
        "right side": ["length"],
        "shelf 1": ["length", "width"],
        "shelf 2": [],
    }


def test_a_length_that_was_measured_varies_less_than_one_to_be_sawn(store: Store) -> None:
    back = "  back: {stock: thin, x: left side to right side, y: up to depth, z: 0 to height}\n"
    joints = "joints:\n  - rabbet: {of: back, in: side, depth: 9, gap: 0.3}\n"
    sigmas = []
    for lines in ("", "back: {length: 581.4}"):
        first = goes_together(tray(lines, back, joints), store).first_fit
        assert first is not None
        sigmas.append(max(dict(fit.shares).get("length of back", 0.0) * fit.sigma_mm**2 for fit in first.fits))
    # ranges 0.25 and 0.1 mm, a sixth of which is sigma
    assert sigmas == pytest.approx([(0.25 / 6) ** 2, (0.1 / 6) ** 2])


# --- as it would be is as it is --------------------------------------------------------------------------------------------


def resolved(text: str) -> tuple[Design, list[str]]:
    spec, _ = parse(read_text(Source("spec.yaml", text))[0][0])
    assert spec is not None
    design, findings = resolve(spec)
    assert design is not None
    return design, [f.id for f in findings]


def as_printed(design: Design, names: list[str]) -> str:
    """What a maker copies from the cut list."""
    lines = ["as cut:"]
    for one in (design.by_name[name] for name in names):
        sizes = {"length": one.length_mm, "width": one.width_mm, "thickness": one.thickness_mm}
        lines.append(f"  {one.name}: {{{', '.join(f'{word}: {show_length(mm, design.units)}' for word, mm in sizes.items())}}}")
    return "\n".join(lines) + "\n"


@pytest.mark.parametrize("name", ["wall-rack", "cubby-bench", "seed-cabinet", "wall-unit"])
def test_a_piece_of_the_gallery_cut_as_it_was_meant_is_the_same(name: str) -> None:
    text = (SPECS / f"{name}.yaml").read_text(encoding="utf-8")
    plain, before = resolved(text)
    made, after = resolved(text + "\n" + as_printed(plain, [p.name for p in plain.parts]))
    assert [(p.name, p.shape_key, p.hand_key, p.placement) for p in made.parts] == [
        (p.name, p.shape_key, p.hand_key, p.placement) for p in plain.parts
    ]
    assert after == before and [(j.id, j.expects) for j in made.joints] == [(j.id, j.expects) for j in plain.joints]
    assert all(p.as_cut == ("length", "width", "thickness") for p in made.parts)


@settings(deadline=None, max_examples=40)
@given(
    st.sampled_from(["dado", "groove", "tongue"]),
    st.integers(360, 900),
    st.integers(90, 190),
    st.integers(20, 80),
    st.sets(st.sampled_from(["left side", "right side", "shelf 1", "shelf 2", "rail"]), min_size=1),
)
def test_any_parts_cut_as_they_were_meant_change_nothing(joint: str, width: int, tenths: int, depth: int, names: set[str]) -> None:
    joints = DADO.replace("dado", joint).replace("depth: 6", f"depth: {depth / 10}") + DOWELS
    text = (
        tray("", SHELF + RAIL, joints)
        .replace("width: 600", f"width: {width}/3 + 200")
        .replace("thickness: 18}", f"thickness: {tenths / 10}}}")
    )
    plain, before = told(text)
    if plain is None:
        return
    made, after = resolved(text + as_printed(plain, sorted(names)))
    assert [p.shape_key for p in made.parts] == [p.shape_key for p in plain.parts]
    assert after == [f.id for f in before] == []


@settings(deadline=None, max_examples=40)
@given(st.floats(-9.9, 9.9), st.floats(-9.9, 9.9), st.booleans())
def test_whatever_the_shelf_measures_the_sides_stay_and_the_depths_add_up(long: float, wide: float, one_cut: bool) -> None:
    """The shelf is as long as was said, and reaches from floor to floor of its dados, unless it is told that it cannot."""
    lines = f"shelf 1: {{length: {576 + long:.3f}, width: {300 + wide:.3f}}}" + ("; left side: {length: 400}" if one_cut else "")
    made, findings = told(tray(lines))
    plain = design_of(tray(""))
    assert made is not None
    assert [span(made, n) for n in ("left side", "right side", "shelf 2")] == [
        span(plain, n) for n in ("left side", "right side", "shelf 2")
    ]
    assert size(made, "shelf 1") == pytest.approx((round(576 + long, 3), round(300 + wide, 3), 18), abs=0.011)
    floors = sum(
        f.geometry.depth_mm
        for side in ("left side", "right side")
        for f in part(made, side).features
        if f.about.members == ("shelf 1",)  # type: ignore[union-attr]
    )
    ids = {f.id for f in findings}
    assert "as-cut-does-not-fit" in ids or 564 + floors == pytest.approx(size(made, "shelf 1")[0])
    assert "as-cut-does-not-fit" not in ids or one_cut  # two dados of 6 mm take 10 mm between them, one may not
