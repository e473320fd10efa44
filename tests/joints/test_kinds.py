"""Joints and shapes are found by being there, and no two of one name."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from build123 import joints, shapes

TWIN = """\
from typing import ClassVar
from build123.{room}.entry import {base}

class Another({base}):
    '''One of a name that is taken.'''
    KEY: ClassVar[str] = "{key}"
"""


def test_what_is_there_is_found() -> None:
    assert {"dado", "groove", "rabbet", "tongue", "dowels", "glued", "rests"} <= set(joints.kinds())
    assert {"taper", "chamfer", "holes"} <= set(shapes.kinds())


@pytest.fixture
def beside(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Callable[[str, str, str], None]]:
    """Puts one more file beside a room's own."""
    import sys

    def put(room: str, base: str, key: str) -> None:
        package = joints if room == "joints" else shapes
        (tmp_path / f"zz_{room}.py").write_text(TWIN.format(room=room, base=base, key=key))
        monkeypatch.setattr(package, "__path__", [*package.__path__, str(tmp_path)])
        package.kinds.cache_clear()

    yield put
    for package in (joints, shapes):
        package.kinds.cache_clear()
        sys.modules.pop(f"{package.__name__}.zz_{package.__name__.split('.')[-1]}", None)


@pytest.mark.parametrize(
    ("room", "base", "key", "words"),
    [("joints", "JointEntry", "dado", "two joints are called 'dado'"), ("shapes", "ShapeEntry", "taper", "two shapes are called 'taper'")],
)
def test_a_second_of_one_name_is_refused(beside: Callable[[str, str, str], None], room: str, base: str, key: str, words: str) -> None:
    beside(room, base, key)
    with pytest.raises(ValueError, match=words):
        (joints if room == "joints" else shapes).kinds()


def test_one_file_makes_a_new_kind(beside: Callable[[str, str, str], None]) -> None:
    beside("joints", "JointEntry", "butterfly")
    assert "butterfly" in joints.kinds()
