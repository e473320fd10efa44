"""Sees that a text was saved, however the editor saves."""

from __future__ import annotations

import os
import time
from collections.abc import Callable, Iterable
from pathlib import Path
from threading import Event, Thread
from typing import Final

from watchfiles import watch

STEP_MS: Final = 20
"""A save is over when so long nothing more was written."""
DEBOUNCE_MS: Final = 200
"""A file that is written without a pause is read after so long."""
GAP_S: Final = 0.25
"""Some editors move the old file away before the new one is there: for so long it is not missing."""


class Watch:
    """Calls `saved` from a thread of its own after any of `texts` was saved, and `failed` if the system cannot tell."""

    def __init__(self, texts: Iterable[Path], saved: Callable[[], None], failed: Callable[[Exception], None]) -> None:
        self._saved, self._failed = saved, failed
        self._stop = Event()
        # A link is saved by writing what it points at, or by being replaced itself.
        self._texts = tuple(sorted({path for text in texts for path in (text.absolute(), text.resolve())}))
        self._entries = {_entry(path) for path in self._texts}
        self._thread = Thread(target=self._run, name="preview watch", daemon=True)
        self._thread.start()

    def close(self) -> None:
        """Stop, and wait until it has stopped."""
        self._stop.set()
        self._thread.join()

    def _run(self) -> None:
        # Folders are watched, not files: a file that is replaced takes the watch on it with it.
        folders = sorted({str(path.parent) for path in self._texts if path.parent.is_dir()})
        try:
            for changes in watch(
                *folders,
                watch_filter=lambda _, path: _entry(Path(path)) in self._entries,
                step=STEP_MS,
                debounce=DEBOUNCE_MS,
                stop_event=self._stop,
                recursive=False,
            ):
                self._until_there({_entry(Path(path)) for _, path in changes})
                self._saved()
        except Exception as fault:
            self._failed(fault)

    def _until_there(self, changed: set[tuple[str, str]]) -> None:
        texts = [text for text in self._texts if _entry(text) in changed]
        end = time.monotonic() + GAP_S
        while not all(text.exists() for text in texts) and time.monotonic() < end and not self._stop.is_set():
            time.sleep(STEP_MS / 1000)


def _entry(path: Path) -> tuple[str, str]:
    """A name in a folder. The system may tell the folder by another of its names, and either in other case than the user wrote;
    the file may be gone."""
    return os.path.realpath(path.parent).casefold(), path.name.casefold()
