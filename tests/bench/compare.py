"""Times and peak memory of a whole build, beside a plain CadQuery script of the same solids, in one run.

python tests/bench/compare.py [SPEC...]      (default: the seed cabinet and the wall unit)

Both are whole processes, start-up included. Machines are noisy: quote the ratio.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
PLAIN = Path(__file__).with_name("plain.py")


def run(command: list[str]) -> tuple[float, float, str]:
    """Wall seconds, peak memory in MB, what it printed."""
    start = time.perf_counter()
    with tempfile.TemporaryFile() as said:
        child = subprocess.Popen(command, stdout=said)
        _, status, usage = os.wait4(child.pid, 0)
        child.returncode = os.waitstatus_to_exitcode(status)
        seconds = time.perf_counter() - start
        said.seek(0)
        text = said.read().decode()
    if child.returncode:
        raise SystemExit(f"{command} ended with {child.returncode}: {text}")
    per_mb = 1024.0 if sys.platform.startswith("linux") else 1024.0 * 1024.0
    return seconds, usage.ru_maxrss / per_mb, text


def main() -> None:
    specs = [Path(a) for a in sys.argv[1:]] or [ROOT / "specs" / "seed-cabinet.yaml", ROOT / "specs" / "wall-unit.yaml"]
    bare = min(run([sys.executable, "-c", "import cadquery"])[0] for _ in range(3))
    print(f"bare `import cadquery`: {bare:.2f} s")
    for spec in specs:
        with tempfile.TemporaryDirectory() as out:
            ours, our_mb, _ = run([sys.executable, "-m", "build123", "build", str(spec), "-o", out])
            plain, plain_mb, text = run([sys.executable, str(PLAIN), str(spec), out])
        print(f"{spec.stem}: {ours:.2f} s ({ours - bare:+.2f} s over the bare import), {our_mb:.0f} MB")
        print(f"  plain script: {plain:.2f} s, {plain_mb:.0f} MB, {text.strip()}")
        print(f"  ratio: {plain / ours:.1f} times")


if __name__ == "__main__":
    main()
