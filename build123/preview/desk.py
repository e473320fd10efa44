"""What the page is to show now, and who waits to hear of a change."""

from __future__ import annotations

import asyncio
import json
from collections.abc import AsyncIterator
from dataclasses import dataclass, replace
from typing import Final

from build123.preview.answer import Answer, Broken, Built, Drawn

HEARTBEAT_S: Final = 15.0
RETRY: Final = "retry: 500\n\n"
"""How soon a browser asks again after the connection is lost, ms (HTML standard, server-sent events)."""
BEAT: Final = ": still here\n\n"


@dataclass(frozen=True)
class State:
    """`version` counts the payloads, 0 before the first; `payload` is the last good one, `model` the same before its sheets were
    drawn; `broken` is a JSON list, empty where nothing is wrong."""

    version: int = 0
    model: bytes = b""
    payload: bytes = b""
    broken: str = ""


class Desk:
    """Lives in one event loop. A listener that is slow misses what no longer holds, and never what does."""

    def __init__(self) -> None:
        self.state = State()
        self._closed = False
        self._listeners: set[asyncio.Event] = set()

    def put(self, answer: Answer | Drawn) -> None:
        """Show a new model, the same with its sheets, or over the last good one why there is no newer one."""
        now = self.state
        match answer:
            case Broken(findings):
                self.state = replace(now, broken=findings)
            case Built(payload) if payload == now.model:
                self.state = replace(now, broken="")
            case Built(payload):
                self.state = State(now.version + 1, payload, payload)
            case Drawn(payload):
                self.state = replace(now, version=now.version + (payload != now.payload), payload=payload)
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
