"""One browser for the session, one page a test. Where there is no browser the tests are skipped and say so; CI requires it."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Error, Playwright, sync_playwright
from viewing import ARGUMENTS, Seen, demo_files, open_page

from build123.exports.viewer_page import left_out
from build123.kernel import Store

CHROMIUM = os.environ.get("BUILD123_CHROMIUM", "/usr/bin/chromium")
REQUIRED = bool(os.environ.get("BUILD123_REQUIRE_BROWSER"))


def _missing(why: str) -> None:
    if REQUIRED:
        pytest.fail(why)
    pytest.skip(why)


@pytest.fixture(scope="session")
def bundled() -> None:
    """The viewer's program; where the install left it out, its tests say why."""
    if left_out():
        _missing(f"the viewer was left out of this install: {left_out()}")


@pytest.fixture(scope="session")
def playwright(bundled: None) -> Iterator[Playwright]:
    with sync_playwright() as started:
        yield started


@pytest.fixture(scope="session")
def browser(playwright: Playwright) -> Iterator[Browser]:
    if not Path(CHROMIUM).is_file():
        _missing(f"there is no browser at {CHROMIUM}; BUILD123_CHROMIUM names another")
    try:
        started = playwright.chromium.launch(executable_path=CHROMIUM, args=ARGUMENTS)
    except Error as problem:
        _missing(f"the browser does not start: {problem}")
        raise
    yield started
    started.close()


@pytest.fixture(scope="session")
def demo(store: Store, bundled: None, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of the seed cabinet."""
    return demo_files("seed-cabinet", store, tmp_path_factory.mktemp("viewer"))


@pytest.fixture
def look(browser: Browser) -> Iterator[Callable[..., Seen]]:
    """Opens a page from disk with every way to a network refused. No test may pass over an error on the page's console."""
    opened: list[Seen] = []

    def go(file: Path, address: str = "", width: int = 1000, height: int = 660, **more: object) -> Seen:
        seen = open_page(browser, file, address, width, height, **more)
        opened.append(seen)
        return seen

    yield go
    for seen in opened:
        seen.page.context.close()
    assert not [fault for seen in opened for fault in seen.faults]
    assert not [url for seen in opened for url in seen.asked]
