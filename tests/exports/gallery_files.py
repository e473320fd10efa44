"""A piece of the gallery with all its files."""

from __future__ import annotations

from pathlib import Path

from build123.exports.folder import Written
from build123.pipeline import Compiled, build, compile_file

SPECS = Path(__file__).resolve().parents[2] / "specs"


def build_spec(name: str, out: Path) -> tuple[Compiled, Path]:
    (compiled,) = compile_file(SPECS / f"{name}.yaml")
    written: Written = build(compiled, out)
    assert not compiled.failed and not written.findings, [f.message for f in (*compiled.findings, *written.findings)]
    assert compiled.design is not None
    return compiled, out / compiled.design.slug
