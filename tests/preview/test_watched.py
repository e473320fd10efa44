"""Which files are watched, and what happens where they cannot be."""

from __future__ import annotations

import asyncio
import os
from collections.abc import Callable
from pathlib import Path

import pytest
from live import PAGE, PATIENCE_S, beside, demo, wait_for

from build123.preview import maker, watching
from build123.preview.answer import Answer, Built, Drawn
from build123.preview.desk import Desk
from build123.preview.maker import Maker
from build123.preview.serve import listen, previewing
from build123.preview.watching import Watch


def seen_when_written(watched: list[Path], written: Path) -> bool:
    """Whether a watch tells of it. It begins some time after it was asked for."""
    seen: list[str] = []
    watch = Watch(watched, lambda: seen.append("saved"), lambda fault: seen.append(repr(fault)))

    def touched() -> bool:
        written.write_text("b", encoding="utf-8")
        return bool(seen)

    try:
        wait_for(touched)
    finally:
        watch.close()
    return set(seen) == {"saved"}


def test_texts_of_several_folders_are_watched(tmp_path: Path) -> None:
    one, other = tmp_path / "one" / "a.yaml", tmp_path / "other" / "b.yaml"
    for path in (one, other):
        path.parent.mkdir()
        path.write_text("a", encoding="utf-8")
    assert seen_when_written([one, other], other)


@pytest.mark.skipif(os.name == "nt", reason="links need a right of their own on Windows")
def test_a_linked_spec_is_seen_when_what_it_points_at_is_saved(tmp_path: Path) -> None:
    (tmp_path / "shed").mkdir()
    real, link = tmp_path / "real.yaml", tmp_path / "shed" / "link.yaml"
    real.write_text("a", encoding="utf-8")
    link.symlink_to(real)
    assert seen_when_written([link], real)


def test_texts_that_a_model_was_read_from_are_watched_from_then_on(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    spec, stock = tmp_path / "cabinet.yaml", tmp_path / "stock.yaml"
    spec.write_text("a", encoding="utf-8")
    stock.write_text("a", encoding="utf-8")

    class Reader:
        """Answers at once, as if the spec had named the other text."""

        def __init__(self, spec: Path, scratch: Path, hear: Callable[[Answer | Drawn | None], None]) -> None:
            self._hear = hear

        def ask(self) -> None:
            self._hear(Built(stock.read_bytes(), (str(spec), str(stock)), ""))

        def close(self) -> None:
            return None

    monkeypatch.setattr(maker, "Worker", Reader)

    async def saved_elsewhere() -> bytes:
        desk = Desk()
        making = Maker(spec, tmp_path, desk, lambda answer, seconds: None)
        running = asyncio.create_task(making.run())
        for n in range(int(PATIENCE_S / 0.05)):
            await asyncio.sleep(0.05)
            if desk.state.payload == b"b":
                break
            if n >= 2:
                stock.write_text("b", encoding="utf-8")
        running.cancel()
        making.close()
        return desk.state.payload

    assert beside(saved_elsewhere()) == b"b"


def test_it_does_not_go_on_blind(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def no_watch(*folders: str, **options: object) -> None:
        raise OSError("no more files may be watched")

    monkeypatch.setattr(watching, "watch", no_watch)
    spec = tmp_path / "cabinet.yaml"
    spec.write_text(demo("34"), encoding="utf-8")
    with previewing(spec, PAGE, listen(0), lambda answer, seconds: None) as preview, pytest.raises(OSError, match="no more files"):
        preview.wait(PATIENCE_S)
