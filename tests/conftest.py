"""One store of solids for the whole run of a worker, so that equal parts of different tests are made once."""

from __future__ import annotations

import pytest

from build123.kernel import Store


@pytest.fixture(scope="session")
def store() -> Store:
    return Store()
