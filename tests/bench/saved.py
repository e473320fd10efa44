"""From a saved one-size edit of the demo to the browser's side: `python tests/bench/saved.py`, in seconds, medians of ten."""

from __future__ import annotations

import statistics
import sys
import tempfile
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "preview"))

EDITS = 10


def main() -> None:
    from live import Listener, demo, live

    told, fetched = [], []
    with tempfile.TemporaryDirectory() as folder:
        spec = Path(folder) / "cabinet.yaml"
        spec.write_text(demo("34"), encoding="utf-8")
        with live(spec) as running:
            listener = Listener(running.preview.port)
            listener.next()
            for n in range(EDITS):
                time.sleep(1)
                while not listener.told.empty():
                    listener.next()
                start = time.perf_counter()
                running.save(demo(str(33 - n / 4)))
                listener.next()
                told.append(time.perf_counter() - start)
                running.get("/live/piece.json", Accept_Encoding="gzip")
                fetched.append(time.perf_counter() - start)
            listener.close()
    print(
        f"event {statistics.median(told):.2f} (worst {max(told):.2f}), piece fetched {statistics.median(fetched):.2f} (worst {max(fetched):.2f})"
    )


if __name__ == "__main__":
    main()
