"""One browser for all tests that need one. Where there is none they are skipped and say so; CI requires it."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from build123.exports.viewer_page import left_out

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Playwright

CHROMIUM = os.environ.get("BUILD123_CHROMIUM", "/usr/bin/chromium")
REQUIRED = bool(os.environ.get("BUILD123_REQUIRE_BROWSER"))
ARGUMENTS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--no-first-run",
    "--use-gl=angle",
    "--use-angle=swiftshader",
    "--enable-unsafe-swiftshader",
]


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
    from playwright.sync_api import sync_playwright

    with sync_playwright() as started:
        yield started


@pytest.fixture(scope="session")
def browser(playwright: Playwright) -> Iterator[Browser]:
    from playwright.sync_api import Error

    if not Path(CHROMIUM).is_file():
        _missing(f"there is no browser at {CHROMIUM}; BUILD123_CHROMIUM names another")
    try:
        started = playwright.chromium.launch(executable_path=CHROMIUM, args=ARGUMENTS)
    except Error as problem:
        _missing(f"the browser does not start: {problem}")
        raise
    yield started
    started.close()
