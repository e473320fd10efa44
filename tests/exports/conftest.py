"""The gallery built once for all tests of files."""

from __future__ import annotations

from pathlib import Path

import pytest

from build123.exports.folder import Written
from build123.pipeline import Compiled, build, compile_file

SPECS = Path(__file__).resolve().parents[2] / "specs"


@pytest.fixture(scope="session")
def built(tmp_path_factory: pytest.TempPathFactory) -> tuple[Compiled, Path]:
    """The seed cabinet and its folder."""
    return build_spec("seed-cabinet", tmp_path_factory.mktemp("out"))


@pytest.fixture(scope="session")
def wall(tmp_path_factory: pytest.TempPathFactory) -> tuple[Compiled, Path]:
    """The wall unit and its folder."""
    return build_spec("wall-unit", tmp_path_factory.mktemp("wall"))


def build_spec(name: str, out: Path) -> tuple[Compiled, Path]:
    (compiled,) = compile_file(SPECS / f"{name}.yaml")
    written: Written = build(compiled, out)
    assert not compiled.failed and not written.findings, [f.message for f in (*compiled.findings, *written.findings)]
    assert compiled.design is not None
    return compiled, out / compiled.design.slug
