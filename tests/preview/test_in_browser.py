"""The live page in a real browser: a saved change is seen, and nobody loses his place over it."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import TYPE_CHECKING

import pytest
from live import DEMO, PATIENCE_S, Live, demo

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Locator, Page

BROKEN = DEMO.replace("of: shelf, in: side", "of: shelf, in: sied")


@pytest.fixture
def page(browser: Browser, cabinet: Live) -> Iterator[Page]:
    """The page of the demo, 34 in wide; anything that goes wrong in it fails the test."""
    from playwright.sync_api import expect

    expect.set_options(timeout=1000 * PATIENCE_S)
    page = browser.new_page(viewport={"width": 1100, "height": 760})
    page.set_default_timeout(1000 * PATIENCE_S)
    wrong: list[str] = []
    page.on("pageerror", lambda error: wrong.append(str(error)))
    page.on("console", lambda message: wrong.append(message.text) if message.type == "error" else None)
    page.goto(cabinet.preview.address)
    page.get_by_role("heading", name="Seed cabinet").wait_for()
    yield page
    page.close()
    assert not wrong


def row(page: Page, part: str) -> Locator:
    """A part in the list of parts."""
    return page.get_by_role("button", name=re.compile(f"^{part}\\b"))


def address(page: Page) -> str:
    """What the address keeps of the view, once nothing turns any more."""
    seen = ""
    while seen != (seen := page.evaluate("location.hash")):
        page.wait_for_timeout(700)
    return seen


def trouble(page: Page) -> Locator:
    return page.get_by_role("alert")


def test_the_part_grows_when_the_spec_is_saved(page: Page, cabinet: Live) -> None:
    from playwright.sync_api import expect

    expect(row(page, "bottom")).to_contain_text("33.07 ×")
    cabinet.save(demo("36"))
    expect(row(page, "bottom")).to_contain_text("35.07 ×")
    row(page, "bottom").click()
    expect(page.get_by_role("img", name="Sheet of bottom")).to_be_visible()


def test_camera_selection_and_hidden_parts_stay(page: Page, cabinet: Live) -> None:
    from playwright.sync_api import expect

    page.get_by_role("checkbox", name="Show top").uncheck()
    page.get_by_role("application").focus()
    for key in ("ArrowLeft", "ArrowLeft", "ArrowUp", "+"):
        page.keyboard.press(key)
    row(page, "bottom").click()
    length = page.get_by_role("tabpanel").get_by_text("33.07 in").first
    expect(length).to_be_visible()
    page.wait_for_function("() => location.hash.includes('part=bottom') && location.hash.includes('hide=')")
    before = address(page)
    cabinet.save(demo("35"))
    expect(page.get_by_role("tabpanel").get_by_text("34.07 in").first).to_be_visible()
    assert address(page) == before


def test_an_error_is_shown_over_the_last_good_model_and_goes_when_mended(page: Page, cabinet: Live) -> None:
    from playwright.sync_api import expect

    cabinet.save(BROKEN)
    expect(trouble(page)).to_contain_text("sied")
    expect(trouble(page)).to_contain_text("cabinet.yaml")
    expect(trouble(page)).to_contain_text("^~~~")
    expect(row(page, "bottom")).to_contain_text("33.07 ×")
    page.reload()
    page.get_by_role("heading", name="Seed cabinet").wait_for()
    expect(trouble(page)).to_contain_text("sied")
    page.wait_for_timeout(500)
    expect(trouble(page)).to_be_visible()
    cabinet.save(demo("34"))
    expect(trouble(page)).to_be_hidden()


def test_text_of_the_spec_is_never_markup(page: Page, cabinet: Live) -> None:
    from playwright.sync_api import expect

    hostile = "<img src=x onerror=document.title=1>"
    cabinet.save(DEMO.replace("piece: Seed cabinet", f'piece: "{hostile}"'))
    expect(page.get_by_role("heading", name=hostile)).to_be_visible()
    cabinet.save(DEMO.replace("units: in\n", f'units: in\n"{hostile}": 1\n'))
    expect(trouble(page)).to_contain_text(hostile)
    assert page.locator("img[src='x']").count() == 0
