"""The warm process that makes the model. Spawned, so that it is the same on every system."""

from __future__ import annotations

import gc
import signal
from collections.abc import Callable
from multiprocessing import get_context, resource_tracker
from multiprocessing.connection import Connection
from multiprocessing.context import SpawnProcess
from pathlib import Path
from threading import Thread
from typing import Final

from build123.preview.answer import Answer, Drawn

MOMENT_S: Final = 0.02
"""After a model so long is waited for a newer save, before its sheets are drawn: those of an older one are of no use."""


class Worker:
    """One process. `hear` is called from a thread with each answer, and with None once the process has ended."""

    def __init__(self, spec: Path, scratch: Path, hear: Callable[[Answer | Drawn | None], None]) -> None:
        context = get_context("spawn")
        self._pipe, theirs = context.Pipe()
        self._process = context.Process(target=_work, args=(spec, scratch, theirs), name="build123 preview", daemon=True)
        _start_deaf(self._process)
        theirs.close()
        self._hear = hear
        self._listening = Thread(target=self._listen, name="preview worker", daemon=True)
        self._listening.start()

    def ask(self) -> None:
        """Have the spec as it is now made. A process that has ended is told of by `hear` alone."""
        try:
            self._pipe.send(True)
        except OSError:
            return

    def close(self) -> int | None:
        """End it, whatever it is doing; gives the exit code that it had by itself or from this."""
        self._process.kill()
        self._process.join()
        self._listening.join()
        code = self._process.exitcode
        self._pipe.close()
        self._process.close()
        return code

    def _listen(self) -> None:
        while True:
            try:
                answer: Answer | Drawn = self._pipe.recv()
            except (EOFError, OSError):
                break
            self._hear(answer)
        self._hear(None)


def _start_deaf(process: SpawnProcess) -> None:
    """Ctrl-C in a terminal reaches every process: this one must not hear it, from before its first line on.

    The thread that calls this hears none from then on, so it cannot be the main one. On Windows there is a moment before `_work`
    in which an interrupt is heard.
    """
    if hasattr(signal, "pthread_sigmask"):
        # multiprocessing starts this helper with the first process, and lets SIGINT through again in doing so
        resource_tracker.ensure_running()
        signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    process.start()


def _work(spec: Path, scratch: Path, pipe: Connection) -> None:
    """Answer until nobody asks any more. An interrupt is for the process that asks; it ends this one."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    from build123.kernel import Store
    from build123.preview.making import make

    store = Store()
    gc.disable()
    first = True
    while True:
        try:
            pipe.recv()
            for answer in make(spec, store, scratch):
                pipe.send(answer)
                if pipe.poll(MOMENT_S):
                    break
        except (EOFError, OSError):
            return
        # Rubbish is looked for while the maker looks at the page; what was loaded for the first model is no rubbish.
        gc.collect()
        if first:
            gc.freeze()
            first = False
