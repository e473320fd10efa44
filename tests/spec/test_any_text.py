"""Whatever is done to a spec, the program answers with findings: never an exception, never slowly."""

from __future__ import annotations

import random
import re
import time
from pathlib import Path

import pytest
from compiling import told
from hypothesis import given, settings
from hypothesis import strategies as st

GALLERY = {p.stem: p.read_text() for p in sorted((Path(__file__).parents[2] / "specs").glob("*.yaml"))}
SMALL = {name: text for name, text in GALLERY.items() if name != "wall-unit"}
TOKEN = re.compile(r"\w+|[^\w\s]|[ \t]+|\n")
ODD = ["0", "-1", "1/0", "999999", "1e9", "''", '"', "{", "}", "[", "]", ":", "&a", "*a", "!!python/name:os.system", "\t", "~", "|", ">", "#", "%",
       "📐", "\u202e", "NO", "012", "1:30", ".nan", "to", "from", "evenly", "shelf", "side", "of", "up to", "each gap of shelf", "same as shelf",
       "width", "ply.thickness", "furlong", "2 mm", "10 deg", "through", "9" * 30, "(" * 40, "a" * 500]  # fmt: skip
SLOWEST_S = 2.0


def mutated(text: str, seed: int) -> str:
    """One to three slips of the keyboard."""
    dice = random.Random(seed)
    for _ in range(dice.randint(1, 3)):
        lines = text.split("\n")
        match dice.randrange(6):
            case 0:
                del lines[dice.randrange(len(lines))]
            case 1:
                lines.insert(dice.randrange(len(lines)), lines[dice.randrange(len(lines))])
            case 2:
                a, b = dice.randrange(len(lines)), dice.randrange(len(lines))
                lines[a], lines[b] = lines[b], lines[a]
            case _:
                n = dice.randrange(len(lines))
                tokens = TOKEN.findall(lines[n]) or [""]
                k = dice.randrange(len(tokens))
                match dice.randrange(4):
                    case 0:
                        del tokens[k]
                    case 1:
                        tokens[k] = dice.choice(ODD)
                    case 2:
                        m = dice.randrange(len(tokens))
                        tokens[k], tokens[m] = tokens[m], tokens[k]
                    case _:
                        tokens[k] = str(dice.choice([0, 1, 2, 3, 18, 250, 100000])) if tokens[k].strip().isdigit() else tokens[k] * 2
                lines[n] = "".join(tokens)
        text = "\n".join(lines)
    return text


def answers(text: str) -> None:
    start = time.process_time()
    design, found = told(text)
    assert time.process_time() - start < SLOWEST_S
    assert design is not None or found, "no design and nothing said"
    for one in found:
        assert one.id and one.message
        # a place lies within the text
        for place in one.places:
            assert 0 <= place.span.line < max(len(place.span.source.lines), 1)
            assert 0 <= place.span.column <= len(place.span.source.lines[place.span.line])


@settings(max_examples=60, deadline=None)
@given(st.sampled_from(sorted(SMALL)), st.integers(0, 10**9))
def test_slips_of_the_keyboard(name: str, seed: int) -> None:
    answers(mutated(SMALL[name], seed))


@settings(max_examples=4, deadline=None)
@given(st.integers(0, 10**9))
def test_slips_in_a_large_piece(seed: int) -> None:
    answers(mutated(GALLERY["wall-unit"], seed))


@settings(max_examples=60, deadline=None)
@given(
    st.sampled_from(["x: left side to right side", "depth: 4", "stop: 10 from front", "[from 40, from 230]", "width: 600"]),
    st.text(max_size=40),
)
def test_any_value(old: str, value: str) -> None:
    text = GALLERY["wall-rack"]
    assert old in text
    answers(text.replace(old, f"{old.partition(': ')[0]}: {value}" if ": " in old else value, 1))


@pytest.mark.nightly
@settings(max_examples=20000, deadline=None)
@given(st.sampled_from(sorted(SMALL)), st.integers(0, 10**9))
def test_many_slips_of_the_keyboard(name: str, seed: int) -> None:
    answers(mutated(SMALL[name], seed))
