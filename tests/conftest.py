"""The usual run draws the same examples every time, so that what passed passes; the nightly sweeps draw new ones.

One store of solids serves the whole run of a worker, so that equal parts of different tests are made once.
"""

from __future__ import annotations

import os

import pytest
from browsing import browser, bundled, playwright
from hypothesis import settings
from hypothesis.internal.conjecture import providers

from build123.kernel import Store

__all__ = ["browser", "bundled", "playwright"]

settings.register_profile("usual", derandomize=True)
settings.register_profile("nightly", derandomize=False)
settings.load_profile("nightly" if os.environ.get("BUILD123_NIGHTLY") else "usual")
if not os.environ.get("BUILD123_NIGHTLY"):
    # Constants that hypothesis reads out of whichever modules a worker has loaded so far would make the examples of the usual
    # run depend on the order of the tests.
    providers._get_local_constants = lambda: providers._local_constants


@pytest.fixture(scope="session")
def store() -> Store:
    return Store()
