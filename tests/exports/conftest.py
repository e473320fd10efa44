"""The gallery built once for all tests of files."""

from __future__ import annotations

from pathlib import Path

import pytest
from gallery_files import build_spec

from build123.pipeline import Compiled


@pytest.fixture(scope="session")
def built(tmp_path_factory: pytest.TempPathFactory) -> tuple[Compiled, Path]:
    """The seed cabinet and its folder."""
    return build_spec("seed-cabinet", tmp_path_factory.mktemp("out"))


@pytest.fixture(scope="session")
def wall(tmp_path_factory: pytest.TempPathFactory) -> tuple[Compiled, Path]:
    """The wall unit and its folder."""
    return build_spec("wall-unit", tmp_path_factory.mktemp("wall"))
