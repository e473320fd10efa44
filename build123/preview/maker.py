"""Decides what is made next: one thing at a time, and of several saves only the newest."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from build123.preview.answer import Answer, Broken, Built, Drawn, broken, failed
from build123.preview.desk import Desk
from build123.preview.watching import Watch
from build123.preview.worker import Worker

RESTARTS: Final = 1
"""How often a worker that ended is replaced before the next save."""


@dataclass(frozen=True)
class Saved:
    """A text was saved."""


@dataclass(frozen=True)
class Heard:
    """A worker answered, or ended where `answer` is None."""

    worker: int
    answer: Answer | Drawn | None


@dataclass(frozen=True)
class Failed:
    """Saves can no longer be seen."""

    fault: Exception


class Maker:
    """Lives in one event loop; `tell` is called with each answer and the seconds since it was asked for."""

    def __init__(self, spec: Path, scratch: Path, desk: Desk, tell: Callable[[Answer, float], None]) -> None:
        self._spec, self._scratch, self._desk, self._tell = spec, scratch, desk, tell
        self._loop = asyncio.get_running_loop()
        self._inbox: asyncio.Queue[Saved | Heard | Failed] = asyncio.Queue()
        self._texts = frozenset({spec})
        self._watch = self._watching()
        self._worker: Worker | None = None
        self._started = 0
        self._restarts = RESTARTS
        self._asked: float | None = None
        """When the worker was asked for what it is making."""

    async def run(self) -> None:
        """Until cancelled. Raises what kept saves from being seen."""
        wanted = True
        while True:
            if wanted and self._asked is None:
                self._ask()
                wanted = False
            match await self._inbox.get():
                case Saved():
                    wanted, self._restarts = True, RESTARTS
                case Heard(worker) if worker != self._started:
                    pass
                case Heard(_, Drawn() as drawn):
                    self._desk.put(drawn)
                case Heard(_, None):
                    wanted = self._replace() or wanted
                case Heard(_, (Built() | Broken()) as answer):
                    wanted = self._show(answer) or wanted
                case Failed(fault):
                    raise fault

    def close(self) -> None:
        """End the worker and the watch."""
        self._watch.close()
        if self._worker is not None:
            self._worker.close()

    def _ask(self) -> None:
        if self._worker is None:
            self._started += 1
            number = self._started
            self._worker = Worker(self._spec, self._scratch, lambda answer: self._post(Heard(number, answer)))
        self._asked = self._loop.time()
        self._worker.ask()

    def _show(self, answer: Answer) -> bool:
        """Whether to make it once more: a text that was not watched may have been saved meanwhile."""
        self._publish(answer)
        texts = frozenset({self._spec, *map(Path, answer.texts)}) if answer.texts else self._texts
        if texts == self._texts:
            return False
        self._texts = texts
        self._watch.close()
        self._watch = self._watching()
        return True

    def _replace(self) -> bool:
        """Tell that the worker ended by itself; whether to try the same save again with a new one."""
        code = self._worker.close() if self._worker is not None else None
        self._worker = None
        again = self._restarts > 0
        self._restarts -= 1
        then = "it was started again" if again else "the next save starts it again"
        self._publish(broken([failed(f"the process that makes the model ended by itself (exit code {code}); {then}")]))
        return again

    def _publish(self, answer: Answer) -> None:
        now = self._loop.time()
        seconds, self._asked = now - (now if self._asked is None else self._asked), None
        self._desk.put(answer)
        self._tell(answer, seconds)

    def _watching(self) -> Watch:
        return Watch(self._texts, lambda: self._post(Saved()), lambda fault: self._post(Failed(fault)))

    def _post(self, event: Saved | Heard | Failed) -> None:
        """From any thread; after the end nobody listens."""
        if not self._loop.is_closed():
            self._loop.call_soon_threadsafe(self._inbox.put_nowait, event)
