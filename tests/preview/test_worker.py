"""One thing is made at a time, and a worker that ends by itself is told of and replaced."""

from __future__ import annotations

import asyncio
import multiprocessing
import os
import signal
import time
from multiprocessing.process import BaseProcess
from typing import Any

import pytest
from live import Live, beside, demo, length_mm, wait_for

from build123.preview.answer import Built, Drawn, broken, failed
from build123.preview.desk import Desk

STOPPED = pytest.mark.skipif(not hasattr(signal, "SIGSTOP"), reason="no process can be held still here")


def the_worker() -> BaseProcess:
    (worker,) = multiprocessing.active_children()
    return worker


@STOPPED
def test_of_the_saves_while_one_is_made_only_the_newest_is_made_next(cabinet: Live) -> None:
    before, models = len(cabinet.made), len(cabinet.built())
    worker = the_worker()
    assert worker.pid is not None
    os.kill(worker.pid, signal.SIGSTOP)
    try:
        for width in ("33", "32", "31", "30"):
            cabinet.save(demo(width))
            time.sleep(0.15)  # each is seen by itself
    finally:
        os.kill(worker.pid, signal.SIGCONT)
    wait_for(lambda: len(cabinet.made) == before + 2)
    time.sleep(0.8)
    assert len(cabinet.made) == before + 2
    widths = [round(length_mm(piece, "bottom") / 25.4 + 0.93, 6) for piece in cabinet.built()[models:]]
    assert widths == [30.0, 30.0]


def ended(events: Any) -> str:
    (finding,) = events["findings"]
    assert finding["id"] == "preview-failed"
    return str(finding["message"])


def test_a_killed_worker_is_told_of_and_started_again_once_a_save(cabinet: Live) -> None:
    with cabinet.listening() as listener:
        the_worker().kill()
        assert "ended by itself" in (said := ended(listener.until("broken"))) and "started again" in said
        the_worker().kill()
        assert "the next save starts it again" in ended(listener.until("broken"))
        wait_for(lambda: not multiprocessing.active_children())
        assert cabinet.piece()["report"]["piece"] == "Seed cabinet"
        cabinet.save(demo("29"))
        listener.until("piece")
        listener.until("mended")
    assert length_mm(cabinet.piece(), "bottom") == pytest.approx(28.07 * 25.4, abs=1e-3)


def test_a_listener_hears_how_things_stand_then_each_change_then_the_end() -> None:
    async def heard() -> list[str]:
        desk = Desk()
        told: list[str] = []

        async def listen() -> None:
            async for text in desk.events(heartbeat_s=0.05):
                told.append(text)

        desk.put(Built(b"first", (), ""))
        desk.put(broken([failed("it broke")]))
        task = asyncio.create_task(listen())
        await asyncio.sleep(0.12)
        desk.put(Built(b"second", (), ""))
        await asyncio.sleep(0.02)
        desk.put(Drawn(b"second with sheets"))
        await asyncio.sleep(0.02)
        # the same again is no news
        desk.put(Built(b"second", (), ""))
        desk.put(Drawn(b"second with sheets"))
        await asyncio.sleep(0.02)
        desk.close()
        await asyncio.wait_for(task, 5)
        return told

    told = beside(heard())
    beats = [text for text in told if text.startswith(": ")]
    others = [text.split("\n")[0] for text in told if not text.startswith(": ")]
    assert beats
    assert others == ["retry: 500", "event: piece", "event: broken", "event: piece", "event: mended", "event: piece"]
