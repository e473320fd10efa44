"""However a spec is mangled there is an answer, soon, and never an exception."""

from __future__ import annotations

import time
from pathlib import Path

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from build123.problem import Source
from build123.resolve import resolve
from build123.spec import parse
from build123.text.read import read_text

SPECS = Path(__file__).resolve().parents[2] / "specs"
TEXTS = [path.read_text() for path in sorted(SPECS.glob("*.yaml"))]
TOKENS = [
    "0",
    "-1",
    "shelf",
    "side",
    "to",
    "from",
    "for",
    "1/0",
    "evenly",
    "same as",
    "each gap of",
    "[",
    "}",
    "'",
    "left side",
    "99999999",
    "2 evenly 0 to 1",
    "mm",
    ":",
    "\t",
    "é",
]


@st.composite
def mangled(draw: st.DrawFn) -> str:
    lines = draw(st.sampled_from(TEXTS)).split("\n")
    for _ in range(draw(st.integers(1, 3))):
        n = draw(st.integers(0, len(lines) - 1))
        words = lines[n].split(" ")
        k = draw(st.integers(0, len(words) - 1))
        match draw(st.sampled_from(["drop line", "drop word", "change word", "double line", "swap"])):
            case "drop line":
                del lines[n]
            case "drop word":
                del words[k]
                lines[n] = " ".join(words)
            case "change word":
                words[k] = draw(st.sampled_from(TOKENS))
                lines[n] = " ".join(words)
            case "double line":
                lines.insert(n, lines[n])
            case "swap":
                m = draw(st.integers(0, len(lines) - 1))
                lines[n], lines[m] = lines[m], lines[n]
        lines = lines or [""]
    return "\n".join(lines)


@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(mangled())
def test_a_mangled_spec_has_an_answer(text: str) -> None:
    start = time.process_time()
    tables, findings = read_text(Source("spec.yaml", text))
    for table in tables:
        spec, more = parse(table)
        findings.extend(more)
        if spec is not None:
            design, more = resolve(spec)
            findings.extend(more)
            assert design is not None or findings.failed
    assert time.process_time() - start < 2
    for finding in findings:
        assert finding.message and (finding.span is None or finding.span.line >= 0)
