"""One spec served on loopback, from its first line to nothing left behind."""

from __future__ import annotations

import asyncio
import socket
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from threading import Event, Thread
from typing import Final

import uvicorn

from build123.preview.answer import Answer
from build123.preview.desk import Desk
from build123.preview.guard import HOST
from build123.preview.maker import Maker
from build123.preview.routes import application

GRACE_S: Final = 1
"""Whole seconds for answers that are on their way at the end."""

Tell = Callable[[Answer, float], None]


class Preview:
    """The running server. It has a thread and an event loop of its own, so that an interrupt never falls into their midst."""

    def __init__(self, spec: Path, page: str, listening: socket.socket, scratch: Path, tell: Tell) -> None:
        self.port: int = listening.getsockname()[1]
        self._spec, self._page, self._listening, self._scratch, self._tell = spec, page, listening, scratch, tell
        self._begun, self._over = Event(), Event()
        self._stop: Callable[[], object] = lambda: None
        self._fault: BaseException | None = None
        self._thread = Thread(target=self._run, name="preview server", daemon=True)
        self._thread.start()
        self._begun.wait()

    @property
    def address(self) -> str:
        """What to open."""
        return f"http://{HOST}:{self.port}/"

    def wait(self, seconds: float) -> None:
        """Return after some seconds; raises what ended the server before."""
        if self._over.wait(seconds):
            raise self._fault or RuntimeError("the server ended by itself")

    def close(self) -> None:
        """End streams, worker, watch and socket, in that order."""
        self._stop()
        self._thread.join()

    def _run(self) -> None:
        try:
            asyncio.run(self._serve())
        except BaseException as fault:
            self._fault = fault
        finally:
            self._begun.set()
            self._over.set()

    async def _serve(self) -> None:
        loop, stop = asyncio.get_running_loop(), asyncio.Event()
        self._stop = lambda: None if loop.is_closed() else loop.call_soon_threadsafe(stop.set)
        desk = Desk()
        config = uvicorn.Config(
            application(self._page, desk, self.port), loop="asyncio", http="h11", ws="none", lifespan="off", log_config=None,
            log_level="critical", access_log=False, proxy_headers=False, server_header=False, timeout_graceful_shutdown=GRACE_S,
        )  # fmt: skip
        server = uvicorn.Server(config)
        maker = Maker(self._spec, self._scratch, desk, self._tell)
        try:
            serving = asyncio.create_task(server.serve([self._listening]))
            making = asyncio.create_task(maker.run())
            self._begun.set()
            await asyncio.wait([serving, making, asyncio.create_task(stop.wait())], return_when=asyncio.FIRST_COMPLETED)
            desk.close()
            server.should_exit = True
            await serving
            if making.done():
                making.result()
            making.cancel()
        finally:
            maker.close()


def listen(port: int) -> socket.socket:
    """A socket of this machine alone. `port` 0 takes a free one; OSError where it is taken."""
    return socket.create_server((HOST, port))


@contextmanager
def previewing(spec: Path, page: str, listening: socket.socket, tell: Tell) -> Iterator[Preview]:
    """Serve `page` and the models of `spec` until the end of the block, which closes the socket.

    `tell` is called from another thread with each answer and the seconds that it took.
    """
    with listening, tempfile.TemporaryDirectory(prefix="build123-") as scratch:
        preview = Preview(spec, page, listening, Path(scratch), tell)
        try:
            yield preview
        finally:
            preview.close()
