"""Nothing in a file can eat the machine: each hazard ends in one clear error, soon and small."""

import json
import subprocess
import sys
from collections.abc import Iterable
from pathlib import Path

import pytest
import yaml

LAUGHS = "a0: &a0 [x,x,x,x,x,x,x,x,x]\n" + "".join(f"a{n}: &a{n} [{','.join([f'*a{n - 1}'] * 9)}]\n" for n in range(1, 10))
MERGES = "a0: &a0 {k: 1}\n" + "".join(f"a{n}: &a{n} {{<<: [{','.join([f'*a{n - 1}'] * 9)}]}}\n" for n in range(1, 10))

HAZARDS = {
    "alias bomb": (LAUGHS, "yaml-alias"),
    "merge bomb": (MERGES, "yaml-alias"),
    "a list inside itself": ("&a [*a]", "not-a-mapping yaml-alias"),
    "100,000 entries": ("a: [" + "b, " * 100_000 + "]", "too-many-nodes"),
    "100,000 lines": ("a:\n" + "  - b\n" * 100_000, "too-many-nodes"),
    "100,000 aliases": ("a: &a 1\nb:\n" + "  - *a\n" * 100_000, "yaml-alias"),
    "100,000 equal keys": ("a: 1\n" * 49_000, "findings-left-out"),
    "12,000 keys, each twice": ("".join(f"a{n}: 1\n" for n in range(12_000)) * 2, "findings-left-out"),
    "10 MB": ("a: b\n" * 2_000_000, "file-too-big"),
    "flow 5,000 deep": ("[" * 5000 + "]" * 5000, "too-deep"),
    "flow 5,000 deep, keys": ("{a: " * 5000 + "}" * 5000, "too-deep"),
    "blocks 5,000 deep": ("- " * 5000, "too-deep"),
    "keys 5,000 deep": ("? " * 5000, "too-deep"),
    "5,000 brackets, one a line": ("[\n" * 5000, "too-deep"),
    "one word of 900 kB": ("a: " + "x" * 900_000, "scalar-too-long"),
    "900 kB of tabs": ("\ta\n" * 300_000, "yaml-tab"),
    "900 kB of bells": ("\a" * 900_000, "control-character"),
    "documents without end": ("---\na: [\n" * 60_000, "yaml-syntax"),
}  # fmt: skip

MEASURE = """
import json, resource, sys, time
from pathlib import Path
import yaml
import build123.text.read as read

read.PARSER = getattr(yaml, sys.argv[1])
seen = {}
for file in sorted(Path(sys.argv[2]).iterdir()):
    start = time.process_time()
    tables, findings = read.read_file(file)
    seen[file.stem] = time.process_time() - start, [f.id for f in findings]
status = Path("/proc/self/status")  # getrusage would tell the peak of the process that started this one
peak = int(status.read_text().split("VmHWM:")[1].split()[0]) if status.exists() else resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
print(json.dumps({"megabytes": peak / 1024, "seen": seen}))
"""


def measure(parser: str, hazards: Iterable[str], folder: Path) -> tuple[float, dict[str, tuple[float, list[str]]]]:
    """Peak memory, and seconds and findings for each hazard, in a process of its own."""
    for hazard in hazards:
        (folder / f"{hazard}.yaml").write_text(HAZARDS[hazard][0])
    done = subprocess.run([sys.executable, "-c", MEASURE, parser, str(folder)], capture_output=True, text=True, timeout=60, check=True)
    said = json.loads(done.stdout)
    return said["megabytes"], said["seen"]


@pytest.fixture(scope="module")
def measured(tmp_path_factory: pytest.TempPathFactory) -> tuple[float, dict[str, tuple[float, list[str]]]]:
    return measure("CLoader" if hasattr(yaml, "CLoader") else "Loader", HAZARDS, tmp_path_factory.mktemp("hazards"))


@pytest.mark.parametrize("hazard", HAZARDS)
def test_a_hazard_is_one_clear_error_within_2_s_and_200_mb(hazard: str, measured: tuple[float, dict[str, tuple[float, list[str]]]]) -> None:
    megabytes, seen = measured
    seconds, ids = seen[hazard]
    assert set(HAZARDS[hazard][1].split()) <= set(ids)
    assert seconds < 2 and megabytes < 200


def test_the_plain_parser_is_bounded_too(tmp_path: Path) -> None:
    hazards = ["alias bomb", "flow 5,000 deep", "blocks 5,000 deep", "10 MB"]
    megabytes, seen = measure("Loader", hazards, tmp_path)
    assert all(set(HAZARDS[h][1].split()) <= set(seen[h][1]) and seen[h][0] < 2 for h in hazards)
    assert megabytes < 200


def test_forty_levels_are_read() -> None:
    from build123.problem import Source
    from build123.text import read_text

    tables, findings = read_text(Source("x", "a: " + "[" * 39 + "]" * 39))
    assert len(tables) == 1 and not findings.failed
