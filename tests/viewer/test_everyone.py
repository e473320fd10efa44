"""The page works without a mouse, on a narrow screen, for a screen reader, and whatever the names in a spec are."""

from __future__ import annotations

import json
import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from viewing import Seen

from build123.exports.viewer_page import piece_of, viewer_page

Look = Callable[..., Seen]
MODULES = os.environ.get("BUILD123_NODE_MODULES", "")
HOSTILE = "<img src=x onerror=\"document.title='owned'\">'&amp;</script><script>document.title='owned'</script>\u202e"


def renamed(value: Any, old: str, new: str) -> Any:
    """A JSON value with one name put for another wherever it stands."""
    if isinstance(value, dict):
        return {key: renamed(one, old, new) for key, one in value.items()}
    if isinstance(value, list):
        return [renamed(one, old, new) for one in value]
    return value.replace(old, new) if isinstance(value, str) else value


def test_hostile_names_are_only_text(demo: Path, look: Look, tmp_path: Path) -> None:
    """The spec's own grammar refuses such names; the page does not rely on it."""
    piece = piece_of((demo / "viewer.html").read_text())
    for old in ("left side", "Seed cabinet", "white oak", "dado"):
        piece = renamed(piece, old, HOSTILE)
    assert piece is not None
    piece["report"]["findings"] = [
        {"id": HOSTILE, "severity": "error", "message": HOSTILE, "places": [{"file": HOSTILE, "line": 1, "label": HOSTILE}], "parts": [HOSTILE],
         "joint": "", "at_mm": [0, 0, 0], "numbers": {}, "why": HOSTILE, "source": HOSTILE, "change": HOSTILE, "overlap": "", "waived": ""}
    ]  # fmt: skip
    (tmp_path / "hostile.html").write_text(viewer_page(piece, None))
    seen = look(tmp_path / "hostile.html")
    assert seen.page.title() == HOSTILE.replace("\u202e", seen.page.title()[-1:])
    for tab, items in (("parts", 3), ("joints", 3), ("findings", 1)):
        for n in range(items):
            seen.page.click(f"#tab-{tab}")
            seen.page.locator("#leaf .item").nth(n).click()
    assert HOSTILE[:20] in seen.page.locator("#leaf").inner_text()
    assert seen.page.locator("#leaf img[src=x], #leaf script").count() == 0
    assert "owned" in seen.page.title() and seen.page.title().startswith("<img")


def test_a_narrow_screen_shows_model_and_paper(demo: Path, look: Look) -> None:
    seen = look(demo / "viewer.html", "#eye=0_0_1900_431.8_133_533_parallel", 390, 780, has_touch=True)
    page = seen.page
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    for button in page.locator("button:visible").all():
        box = button.bounding_box()
        assert box is not None and (box["height"] >= 43.9 or button.get_attribute("id") == "grip")
    x, y = seen.pixel(431.8, -19.05, 1056.6)
    page.touchscreen.tap(x, y)
    page.locator("#leaf h2").wait_for()
    assert page.locator("#leaf h2").text_content() == "top"
    page.click("#rail [data-tray=apart]")
    assert page.locator("aside").is_hidden(), "the paper gives way to the tray"
    page.locator("#tray input[type=range]").fill("50")
    assert seen.address()["apart"] == "50"
    page.click("#rail [data-tray=apart]")
    page.click("text=All parts")
    page.click("#tab-joints")
    page.locator("#leaf .item").first.click()
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    assert page.locator("#leaf .fit").first.is_visible()


def test_everything_is_reached_by_keys(demo: Path, look: Look) -> None:
    seen = look(demo / "viewer.html", "#eye=0_0_1400_431.8_133_1056.6_parallel")
    page = seen.page
    focused = "document.activeElement.id || document.activeElement.dataset.key || document.activeElement.dataset.tray || ''"
    reached: list[str] = []
    for _ in range(14):
        page.keyboard.press("Tab")
        reached.append(page.evaluate(focused))
    assert reached[:10] == ["units-mm", "units-in", "theme", "model", "views", "apart", "cut", "measure", "whole", "seek"]
    assert reached[10] == "tab-parts" and reached[12] == "show left side" and reached[13] == "part left side"
    page.keyboard.press("Enter")
    assert page.evaluate("document.activeElement.tagName") == "H2"
    assert page.locator("#leaf h2").text_content() == "left side"
    assert page.locator("#said").text_content() == "left side"
    page.keyboard.press("Escape")
    page.focus("#model")
    page.keyboard.press("Enter")
    assert page.locator("#leaf h2").text_content() == "top", "Enter takes what is in the middle"
    page.keyboard.press("ArrowLeft")
    page.keyboard.press("ArrowDown")
    page.keyboard.press("+")
    yaw, pitch, span = (float(n) for n in seen.address()["eye"].split("_")[:3])
    assert (yaw, pitch, span) == (-15, -15, 1120)
    page.keyboard.press("6")
    assert seen.address()["eye"].split("_")[:2] == ["0", "90"]
    page.focus("#rail [data-tray=cut]")
    page.keyboard.press("Enter")
    page.keyboard.press("Escape")
    page.focus("#tab-parts")
    page.keyboard.press("ArrowRight")
    assert page.locator("[role=tab][aria-selected=true]").text_content() == "Joints 30"


def test_light_and_dark_and_paper(demo: Path, look: Look) -> None:
    seen = look(demo / "viewer.html", color_scheme="dark")
    ground = "getComputedStyle(document.body).backgroundColor"
    dark = seen.page.evaluate(ground)
    seen.page.click("#theme")
    light = seen.page.evaluate(ground)
    assert dark != light
    seen.page.emulate_media(media="print")
    assert seen.page.locator("#rail").is_hidden() and seen.page.locator("#leaf").is_visible()


@pytest.mark.parametrize(("width", "height"), [(390, 780), (640, 360), (700, 390), (844, 390), (900, 600), (1280, 800)])
def test_model_and_words_have_room_on_every_screen(demo: Path, look: Look, width: int, height: int) -> None:
    seen = look(demo / "viewer.html", width=width, height=height)
    model = seen.page.locator("#model").bounding_box()
    assert model is not None and model["height"] > 0.38 * height and model["width"] > 300
    rows = seen.page.locator("#leaf").bounding_box()
    assert rows is not None and rows["height"] > 130
    for tab in seen.page.locator("#tabs button").all():
        assert tab.evaluate("one => one.scrollWidth <= one.clientWidth"), tab.inner_text()
    for button in seen.page.locator("#rail button").all():
        box = button.bounding_box()
        assert box is not None and box["height"] >= 40 and box["x"] >= 0
        # a picture and one line of words: no word is broken
        assert box["height"] < 75 and button.evaluate("one => one.scrollWidth <= one.clientWidth"), button.inner_text()


@pytest.fixture(scope="session")
def axe() -> str:
    """axe-core (npm), which checks pages against WCAG 2."""
    file = Path(MODULES) / "axe-core" / "axe.min.js"
    if not MODULES or not file.is_file():
        if os.environ.get("BUILD123_REQUIRE_BROWSER"):
            pytest.fail("axe-core is required and BUILD123_NODE_MODULES does not hold it")
        pytest.skip("axe-core is not installed; BUILD123_NODE_MODULES names the folder that holds it")
    return file.read_text()


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_nothing_serious_for_a_screen_reader_or_weak_eyes(demo: Path, look: Look, axe: str, scheme: str) -> None:
    seen = look(demo / "viewer.html", color_scheme=scheme)
    page = seen.page
    page.evaluate(axe + "\nnull")
    states: list[tuple[str, Callable[[], object]]] = [
        ("parts", lambda: None),
        ("part", lambda: page.click("#leaf .item >> nth=0")),
        ("why", lambda: page.click("#leaf summary >> nth=0")),
        ("joints", lambda: page.click("#tab-joints")),
        ("joint", lambda: page.click("#leaf .item >> nth=0")),
        ("order", lambda: page.click("#tab-order")),
        ("views", lambda: page.click("#rail [data-tray=views]")),
        ("cut", lambda: page.click("#rail [data-tray=cut]")),
        ("measure", lambda: page.click("#rail [data-tray=measure]")),
    ]
    for name, reach in states:
        reach()
        seen.still()
        found = json.loads(page.evaluate("axe.run(document, {resultTypes: ['violations']}).then(r => JSON.stringify(r.violations))"))
        bad = [(one["id"], [node["html"] for node in one["nodes"]]) for one in found if one["impact"] in ("serious", "critical")]
        assert not bad, (name, bad)
