"""A browser's side of the live page, in plain HTTP, and a maker who saves."""

from __future__ import annotations

import asyncio
import gzip
import hashlib
import http.client
import json
import queue
import socket
import threading
import time
from collections.abc import Callable, Coroutine, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, TypeVar

from build123.exports.viewer_page import left_out, viewer_page
from build123.preview.answer import Answer, Built
from build123.preview.routes import LIVE
from build123.preview.serve import Preview, listen, previewing

T = TypeVar("T")

PAGE = "<!doctype html><title>a page</title>" if left_out() else viewer_page(None, LIVE)
DEMO = (Path(__file__).resolve().parents[2] / "specs" / "seed-cabinet.yaml").read_text(encoding="utf-8")
PATIENCE_S = 60.0
"""Nothing here takes so long; a slow machine is no failure, a hang is."""

Event = tuple[str, Any]


def demo(width: str) -> str:
    """The demo, so wide."""
    assert "  width: 34\n" in DEMO
    return DEMO.replace("  width: 34\n", f"  width: {width}\n")


def length_mm(piece: dict[str, Any], part: str) -> float:
    """Of a part, as the page is told."""
    return next(float(one["length_mm"]) for one in piece["report"]["parts"] if one["name"] == part)


def wait_for(there: Callable[[], object]) -> None:
    """Until it is so."""
    end = time.monotonic() + PATIENCE_S
    while not there():
        assert time.monotonic() < end, "it never came"
        time.sleep(0.01)


class Listener:
    """Reads `/live/events` as it comes."""

    def __init__(self, port: int) -> None:
        self._connection = http.client.HTTPConnection("127.0.0.1", port, timeout=PATIENCE_S)
        self._connection.request("GET", "/live/events")
        self._socket: socket.socket = self._connection.sock
        self._stream = self._connection.getresponse()
        assert self._stream.headers.get_content_type() == "text/event-stream"
        self.told: queue.Queue[Event] = queue.Queue()
        self.ended = threading.Event()
        threading.Thread(target=self._read, daemon=True).start()

    def next(self, within_s: float = PATIENCE_S) -> Event:
        """The next event and its data."""
        return self.told.get(timeout=within_s)

    def until(self, name: str) -> Any:
        """The data of the next event of that name; others before it are passed over."""
        while True:
            found, data = self.next()
            if found == name:
                return data

    def close(self) -> None:
        with suppress(OSError):
            self._socket.shutdown(socket.SHUT_RDWR)
        self.ended.wait(PATIENCE_S)
        self._connection.close()

    def _read(self) -> None:
        name = ""
        try:
            for line in self._stream:
                key, _, value = line.decode().rstrip("\n").partition(": ")
                if key == "event":
                    name = value
                elif key == "data":
                    self.told.put((name, json.loads(value)))
        except (OSError, http.client.HTTPException, AttributeError, ValueError):
            pass
        self.ended.set()


@dataclass
class Live:
    """A running preview, its spec, and what it said of each time that it was made."""

    preview: Preview
    spec: Path
    made: list[Answer] = field(default_factory=list)
    settled: str = ""

    def save(self, text: str) -> None:
        """As most editors do: a new file, moved over the old one. No half of it is ever there."""
        beside = self.spec.with_name("being-saved")
        beside.write_text(text, encoding="utf-8")
        beside.replace(self.spec)

    def settle(self, text: str) -> None:
        """Save, with a comment that no text had before, and wait for just this model and its sheets. `settled` is the whole text."""
        self.settled = f"{text}# {len(self.made)}\n"
        self.save(self.settled)
        digest = hashlib.sha256(self.settled.encode()).hexdigest()
        wait_for(lambda: (piece := self.piece())["report"]["spec"]["sha256"] == digest and piece["drawings"])

    def get(self, path: str, **headers: str) -> tuple[http.client.HTTPResponse, bytes]:
        connection = http.client.HTTPConnection("127.0.0.1", self.preview.port, timeout=PATIENCE_S)
        try:
            connection.request("GET", path, headers={name.replace("_", "-"): value for name, value in headers.items()})
            response = connection.getresponse()
            return response, response.read()
        finally:
            connection.close()

    def piece(self) -> dict[str, Any]:
        response, data = self.get("/live/piece.json", Accept_Encoding="gzip")
        assert response.status == 200 and response.headers["content-encoding"] == "gzip"
        piece: dict[str, Any] = json.loads(gzip.decompress(data))
        return piece

    @contextmanager
    def listening(self) -> Iterator[Listener]:
        """A listener who has heard how things stand, which is: a piece, and nothing wrong."""
        listener = Listener(self.preview.port)
        try:
            assert listener.next()[0] == "piece"
            yield listener
        finally:
            listener.close()

    def built(self) -> list[dict[str, Any]]:
        """The models so far."""
        return [json.loads(gzip.decompress(one.payload)) for one in self.made if isinstance(one, Built)]


@contextmanager
def live(spec: Path) -> Iterator[Live]:
    """Preview a spec on a free port."""
    made: list[Answer] = []

    def tell(answer: Answer, seconds: float) -> None:
        made.append(answer)

    with previewing(spec, PAGE, listen(0), tell) as preview:
        yield Live(preview, spec, made)


@dataclass(frozen=True)
class Begun:
    """What a preview said that began with a broken spec, until it was mended."""

    page: str
    piece_status: int
    piece_reason: dict[str, Any]
    at_start: Event
    then: list[Event]


@dataclass(frozen=True)
class Shared:
    live: Live
    begun: Begun


def beside(work: Coroutine[Any, Any, T]) -> T:
    """Runs a coroutine in a thread of its own: the browser of other tests keeps a loop in this one."""
    with ThreadPoolExecutor(1) as pool:
        return pool.submit(asyncio.run, work).result()
