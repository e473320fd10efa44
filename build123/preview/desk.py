"""What the page is to show now, and who waits to hear of a change."""

from __future__ import annotations

import asyncio
import json
from collections.abc import AsyncIterator
from dataclasses import dataclass, replace
from typing import Final

from build123.preview.answer import Answer, Broken

HEARTBEAT_S: Final = 15.0
RETRY: Final = "retry: 500\n\n"
"""How soon a browser asks again after the connection is lost, ms (HTML standard, server-sent events)."""
BEAT: Final = ": still here\n\n"


@dataclass(frozen=True)
class State:
    """`version` counts the models, 0 before the first; `payload` is the last good one; `broken` is a JSON list, empty where nothing is wrong."""

    version: int = 0
    payload: bytes = b""
    broken: str = ""


class Desk:
    """Lives in one event loop. A listener that is slow misses what no longer holds, and never what does."""

    def __init__(self) -> None:
        self.state = State()
        self._closed = False
        self._listeners: set[asyncio.Event] = set()

    def put(self, answer: Answer) -> None:
        """Show a new model, or over the last good one why there is none."""
        if isinstance(answer, Broken):
            self.state = replace(self.state, broken=answer.findings)
        elif answer.payload == self.state.payload:
            self.state = replace(self.state, broken="")
        else:
            self.state = State(self.state.version + 1, answer.payload)
        self._wake()

    def close(self) -> None:
        """End every stream."""
        self._closed = True
        self._wake()

    async def events(self, heartbeat_s: float = HEARTBEAT_S) -> AsyncIterator[str]:
        """Server-sent events: the state now, then each change."""
        woken = asyncio.Event()
        self._listeners.add(woken)
        told = State()
        try:
            yield RETRY
            while not self._closed:
                now = self.state
                for event in _changes(told, now):
                    yield event
                told = now
                try:
                    await asyncio.wait_for(woken.wait(), heartbeat_s)
                except asyncio.TimeoutError:
                    yield BEAT
                woken.clear()
        finally:
            self._listeners.discard(woken)

    def _wake(self) -> None:
        for listener in self._listeners:
            listener.set()


def _changes(told: State, now: State) -> list[str]:
    events = []
    if now.version != told.version:
        events.append(_event("piece", json.dumps({"version": now.version})))
    if now.broken != told.broken:
        events.append(_event("broken", f'{{"findings": {now.broken}}}') if now.broken else _event("mended", "{}"))
    return events


def _event(name: str, data: str) -> str:
    """`data` is JSON on one line."""
    return f"event: {name}\ndata: {data}\n\n"
