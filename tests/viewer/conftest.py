"""One page a test in the browser of the session."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser
from viewing import Seen, demo_files, open_page

from build123.kernel import Store


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
