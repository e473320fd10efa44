"""Findings fly to their place and show what is wrong there."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest
from pieces import FIGHTS, TRAY
from viewing import Seen, colour_at

from build123.kernel import Store
from build123.kernel.damage import Shift
from build123.pipeline import build, compile_text

Look = Callable[..., Seen]


@pytest.fixture(scope="module")
def fights(store: Store, bundled: None, tmp_path_factory: pytest.TempPathFactory) -> Path:
    return build(compile_text(FIGHTS, store), tmp_path_factory.mktemp("fights")).folder


def test_each_finding_is_told_with_its_weight_in_words(fights: Path, look: Look) -> None:
    report = json.loads((fights / "report.json").read_text())
    assert report["dry_fit"] == "failed"
    seen = look(fights / "viewer.html")
    assert "Does not go together" in (seen.page.locator("#verdict").text_content() or "")
    rows = seen.page.locator("#leaf [data-key^=finding] .name").all_text_contents()
    assert len(rows) == len(report["findings"])
    for finding in report["findings"]:
        word = {"error": "✕ Error", "warning": "▲ Warning", "note": "● Note"}[finding["severity"]]
        assert f"{word} {finding['message']}" in rows


def test_a_finding_flies_to_its_place_and_shows_the_overlap(fights: Path, look: Look) -> None:
    report = json.loads((fights / "report.json").read_text())
    index, finding = next((n, one) for n, one in enumerate(report["findings"]) if one["id"] == "parts-interfere")
    lap = next(one for one in report["overlaps"] if one["name"] == finding["overlap"])
    seen = look(fights / "viewer.html", "#eye=30_20_2000_250_100_150_parallel")
    seen.page.click("#tab-findings")
    seen.page.click(f"[data-key='finding {index}']")
    eye = [float(n) for n in seen.address()["eye"].split("_")[2:6]]
    assert eye[0] < 2000 and eye[1:] == pytest.approx(finding["at_mm"], abs=0.01)
    assert "Error: overlap" in (seen.page.locator(".mark.error").text_content() or "")
    assert finding["change"] in seen.page.locator("#leaf").inner_text()
    # the shared wood is hatched in red whatever stands before it: look within it, near its corners
    corners = lap["mesh"]["vertices"]
    middle = [sum(corner[k] for corner in corners) / len(corners) for k in range(3)]
    inside = [[m + 0.8 * (c - m) for m, c in zip(middle, corner, strict=True)] for corner in corners]
    seen_there = [colour_at(seen, *seen.pixel(*point)) for point in inside]
    assert any(red > 2 * green for red, green, _ in seen_there), seen_there


def test_one_goes_from_finding_to_finding(fights: Path, look: Look) -> None:
    seen = look(fights / "viewer.html")
    count = seen.page.locator("#leaf [data-key^=finding]").count()
    seen.page.locator("#leaf [data-key^=finding]").first.click()
    titles = []
    for _ in range(count):
        titles.append(seen.page.locator("#leaf h2").text_content())
        seen.page.click("text=Next finding")
    assert sorted(titles, key=str) == sorted((f"Finding {n + 1} of {count}" for n in range(count)), key=str)


def test_an_open_seat_shows_its_gap(store: Store, look: Look, tmp_path: Path) -> None:
    """The shelf's solid stands 2 mm off to the right: so far it is from the floor of the left dado."""
    made = compile_text(TRAY, store, (Shift("shelf", (2.0, 0.0, 0.0)),))
    folder = build(made, tmp_path).folder
    index = next(n for n, one in enumerate(made.findings) if one.id == "seat-open")
    seen = look(folder / "viewer.html", f"#finding={index + 1}")
    assert "gap 2 mm" in (seen.page.locator("#marks .mark").text_content() or "")
    seen.page.click("#units-in")
    assert "gap 0.0787 in" in (seen.page.locator("#marks .mark").text_content() or "")
    # seen from near enough: the gap is some pixels wide
    span = float(seen.address()["eye"].split("_")[2])
    box = seen.page.locator("#model").bounding_box()
    assert box is not None and 2.0 * box["height"] / span >= 8


def test_a_printed_finding_names_its_parts_and_spends_no_ink_on_the_ground(fights: Path, look: Look) -> None:
    report = json.loads((fights / "report.json").read_text())
    seen = look(fights / "viewer.html", "#finding=1", color_scheme="dark")
    page = seen.page
    page.evaluate("dispatchEvent(new Event('beforeprint'))")
    page.emulate_media(media="print")
    for name in report["findings"][0]["parts"]:
        assert page.locator(".names button", has_text=name).is_visible()
    corner = page.locator("#photo").evaluate(
        """async image => {
            await image.decode();
            const paper = document.createElement("canvas").getContext("2d");
            paper.drawImage(image, 0, 0);
            return Array.from(paper.getImageData(2, 2, 1, 1).data);
        }"""
    )
    assert corner == [255, 255, 255, 255]
