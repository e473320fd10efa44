"""Every way to say an extent, with parts named as a joiner names them."""

import re
from pathlib import Path

import pytest
from reading import NAMES, excerpt, text, under_caret

from build123.fields.ast import (
    Between,
    Body,
    Centred,
    EachGap,
    Ending,
    Evenly,
    FaceOf,
    Level,
    Name,
    Number,
    Operation,
    Outside,
    SameAs,
    Starting,
)
from build123.fields.parse import parse_extent, parse_position
from build123.fields.words import name_problem
from build123.problem import SpecError

DESIGN_PAGE = """
0 to depth | from over | from over for leg width | from 1/2 for 3 | up to height | up to top | up to top for 90 | up to back for 3
outside left side - over to outside right side + over | front of left side - over to back of left side + over
left side to right side | 0 to back | from 3 | 2 evenly bottom to top | centred on width / 2 | 1/2 to back | shelf 1 to shelf 2
bottom of bottom to top | front left leg to front right leg | from front of front left leg + 5 | front left leg to back left leg
from left of left side for 1 3/4 | up to front of left side | left stile to right stile | up to top of base for 1 3/4
outside left side - pine.thickness to outside right side + pine.thickness | up to left of left side | front of front cornice to depth
same as front cornice | floor to level height | front of left side to back of left side | from 300
"""


@pytest.mark.parametrize("written", [line.strip() for line in re.split(r"[|\n]", DESIGN_PAGE) if line.strip()])
def test_the_four_pieces_of_the_design_page_can_be_said(written: str) -> None:
    assert excerpt(parse_extent(text(written), NAMES).span) == written


def shape(node: object) -> object:
    """An extent without places, for comparison."""
    match node:
        case Number(value):
            return float(value)
        case Name(name) | Body(name):
            return name
        case FaceOf(face, part):
            return f"{face}|{part}"
        case Outside(part):
            return f"outside|{part}"
        case Level(height):
            return ("level", shape(height))
        case Operation(sign, left, right):
            return (shape(left), sign, shape(right))
        case Between(low, high):
            return ("between", shape(low), shape(high))
        case Starting(at, length) | Ending(at, length) | Centred(at, length):
            return (type(node).__name__, shape(at), shape(length))
        case Evenly(count, low, high, length):
            return ("evenly", shape(count), shape(low), shape(high), shape(length))
        case SameAs(name) | EachGap(name):
            return (type(node).__name__, name)
    return node


@pytest.mark.parametrize(
    ("written", "said"),
    [
        ("bottom of bottom to top", ("between", "bottom|bottom", "top")),
        ("back of back to top of top", ("between", "back|back", "top|top")),
        ("bottom to top", ("between", "bottom", "top")),
        ("top of cell 3 to back", ("between", "top of cell 3", "back")),
        ("top of top of cell 3 to back", ("between", "top|top of cell 3", "back")),
        ("shelf 2 of cell 3 to shelf 2", ("between", "shelf 2 of cell 3", "shelf 2")),
        ("left   side\nto right side", ("between", "left side", "right side")),
        ("top-rail to top - 3", ("between", "top-rail", ("top", "-", 3.0))),
        ("from over + top for 3", ("Starting", ("over", "+", "top"), 3.0)),
        ("up to level height - over", ("Ending", ("level", ("height", "-", "over")), None)),
        ("floor to top", ("between", ("level", 0.0), "top")),
        ("centered on divider for 2", ("Centred", "divider", 2.0)),
        ("count evenly bottom to top for 3/4", ("evenly", "count", "bottom", "top", 0.75)),
        ("2 * count evenly 0 to top", ("evenly", (2.0, "*", "count"), 0.0, "top", None)),
        ("each gap of shelf", ("EachGap", "shelf")),
        ("same as side cornice", ("SameAs", "side cornice")),
    ],
)
def test_the_longest_declared_name_wins(written: str, said: object) -> None:
    assert shape(parse_extent(text(written), NAMES)) == said


@pytest.mark.parametrize(
    ("written", "id", "caret", "says"),
    [
        ("left side", "bad-extent", "left side", "one end"),
        ("2 evenly shelf", "bad-extent", "2 evenly shelf", "one end"),
        ("from", "bad-extent", "from", "missing after `from`"),
        ("0 to", "bad-extent", "to", "missing after `to`"),
        ("to top", "bad-extent", "to", "does not fit"),
        ("up top", "bad-extent", "top", "`to` is missing"),
        ("centred top", "bad-extent", "top", "`on` is missing"),
        ("from 0 to top", "bad-extent", "to", "two things"),
        ("0 to top for 3", "bad-extent", "for", "its length already"),
        ("same as top to back", "bad-extent", "to", "does not fit"),
        ("each gap of width", "bad-extent", "width", "is a size"),
        ("front of over to top", "bad-extent", "over", "is a size"),
        ("left sied to right side", "unknown-name", "left sied", "`left side`"),
        ("front rial to top", "unknown-name", "front rial", "`front rail`"),
        ("front of froot rail to top", "unknown-name", "froot rail", "`front rail`"),
        ("shelf 9 to top", "unknown-name", "shelf 9", "`shelf"),
        ("shelf 9 of cell 3 to top", "unknown-name", "shelf 9 of cell 3", "`shelf 2 of cell 3`"),
        ("top-rial to top", "unknown-name", "top-rial", "`top-rail`"),
        ("front to back", "unknown-name", "front", "front of PART"),
        ("From 3", "unknown-name", "From", "`from`"),
        ("from 3 For 4", "unknown-unit", "For", "`for`"),
        ("left side + right side to top", "bad-position", "left side + right side", "another face"),
        ("from over - top", "bad-position", "over - top", "another face"),
        ("from -top", "bad-position", "-top", "only a length"),
        ("from 2 * top", "bad-position", "2 * top", "only a length"),
        ("from top for back", "bad-length", "back", "is a part"),
        ("top evenly 0 to back", "bad-length", "top", "is a part"),
    ],
)
def test_a_wrong_extent_says_what_is_wrong_with_it(written: str, id: str, caret: str, says: str) -> None:
    with pytest.raises(SpecError) as caught:
        parse_extent(text(written), NAMES)
    finding = caught.value.finding
    assert (finding.id, under_caret(caught.value)) == (id, caret)
    assert says in finding.message + finding.change


def test_a_position_alone() -> None:
    assert shape(parse_position(text("front of top + 1/2"), NAMES)) == ("front|top", "+", 0.5)
    with pytest.raises(SpecError):
        parse_position(text("0 to top"), NAMES)


@pytest.mark.parametrize(
    "name", ["top", "back", "front rail", "left side", "shelf 1", "leg width", "top-rail", "Größe", "floor panel", "a1_b"]
)
def test_names_that_are_free(name: str) -> None:
    assert name_problem(name) is None


@pytest.mark.parametrize(
    "name",
    ["to", "floor", "mm", "in", "side to side", "end of case", "outside panel", "same again", "up stand", "3 legs", "a  b", " a", "a.b",
     "../x", "<b>", "=1+1", "a/b", "", "x" * 61, "a\nb"],
)  # fmt: skip
def test_names_that_would_be_misread(name: str) -> None:
    assert name_problem(name)


def test_the_parser_is_quick_to_make() -> None:
    import subprocess
    import sys

    script = (
        "import time, pydantic, yaml; from build123.fields import grammar; start = time.process_time(); grammar.parser();"
        "print(time.process_time() - start); import sys; "
    )
    seconds = min(
        float(subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True).stdout) for _ in range(2)
    )
    assert seconds < 0.15, "measured 0.04 to 0.06 s"


def test_lark_is_not_imported_before_a_length_is_parsed() -> None:
    import subprocess
    import sys

    script = "import sys, build123.fields.parse, build123.fields.evaluate, build123.text; print('lark' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True).stdout.strip() == "False"


def test_no_file_of_this_room_evaluates_text() -> None:
    import build123.fields as room

    for file in Path(room.__path__[0]).glob("*.py"):
        assert not re.search(r"(?<!\w)(eval|exec|compile)\(", file.read_text().replace("re.compile(", "")), file.name
