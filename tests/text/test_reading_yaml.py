"""A file becomes text with places; nothing is guessed, and every problem has its line."""

from pathlib import Path

import pytest
import yaml

from build123.problem import Findings, Source, Span, Text
from build123.text import Items, Table, read, read_file, read_text

PARSERS = [yaml.Loader, *([yaml.CLoader] if hasattr(yaml, "CLoader") else [])]


@pytest.fixture(params=PARSERS, ids=lambda p: p.__name__, autouse=True)
def either_parser(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(read, "PARSER", request.param)


def one(text: str) -> Table:
    tables, findings = read_text(Source("piece.yaml", text))
    assert not list(findings), [f.message for f in findings]
    (table,) = tables
    return table


def problems(text: str) -> list[tuple[str, list[str]]]:
    _, findings = read_text(Source("piece.yaml", text))
    return [(f.id, [str(p.span).removeprefix("piece.yaml:") for p in f.places]) for f in findings]


def excerpt(span: Span | None) -> str:
    assert span is not None and span.line == span.end_line
    return span.source.lines[span.line][span.column : span.end_column]


def test_scalars_stay_as_they_were_written() -> None:
    table = one('a: NO\nb: 012\nc: 1:30\nd: 1/2\ne: 2024-01-02\nf: ~\ng: .nan\nh: 1e3\ni: 0x1F\nj: null\nk: 3/4"\nl: 2\' 6 1/2"\n')
    assert list(table.values()) == ["NO", "012", "1:30", "1/2", "2024-01-02", "~", ".nan", "1e3", "0x1F", "null", '3/4"', "2' 6 1/2\""]
    assert all(isinstance(v, Text) for v in table.values())


def test_keys_and_values_know_their_place() -> None:
    table = one("piece: Rack\nparts:\n  left side: {x: from 0, y: 0 to depth}\n")
    parts = table["parts"]
    assert isinstance(parts, Table)
    side = parts["left side"]
    assert isinstance(side, Table)
    assert excerpt(parts.key("left side").span) == "left side"  # type: ignore[union-attr]
    assert excerpt(side.span) == "{x: from 0, y: 0 to depth}"
    assert isinstance(side["y"], Text)
    assert excerpt(side["y"].span) == "0 to depth"
    assert excerpt(side["y"].place(5, 10)) == "depth"


def test_columns_count_characters_not_bytes() -> None:
    table = one("Größe 😀 ½: [é, depth]\n")
    items = next(iter(table.values()))
    assert isinstance(items, Items) and isinstance(items[1], Text)
    assert excerpt(items[1].span) == "depth"


def test_a_block_ends_with_its_last_value() -> None:
    parts = one("parts:\n  a: 1\n  b: 22\n\n\n# note\nlast: 1\n")["parts"]
    assert isinstance(parts, Table) and parts.span is not None
    assert (parts.span.line, parts.span.end_line, parts.span.end_column) == (1, 2, 7)


def test_a_value_left_out_is_an_empty_text_with_a_place() -> None:
    value = one("a:\nb: 1\n")["a"]
    assert isinstance(value, Text) and value == "" and str(value.span) == "piece.yaml:1:3"


def test_quoted_text_is_marked_as_such() -> None:
    table = one("a: '3/4 in'\nb: 3/4 in\nc: |\n  two\n  lines\n")
    assert [isinstance(v, Text) and v.plain for v in table.values()] == [False, True, False]


def test_several_pieces_in_one_file() -> None:
    tables, findings = read_text(Source("x", "# first\n---\na: 1\n---\n# nothing here\n---\nb: 2\n...\n"))
    assert [dict(t) for t in tables] == [{"a": "1"}, {"b": "2"}] and not list(findings)


def test_a_syntax_error_in_one_piece_does_not_hide_the_next() -> None:
    text = "a: 1\n---\nb: [1, 2\nd: 3\n---\nc: 3\nc: 4\n"
    assert [id for id, _ in problems(text)] == ["yaml-syntax", "duplicate-key"]
    assert problems(text)[1][1] == ["7:1", "6:1"]


@pytest.mark.parametrize("ends", ["\r\n", "\r", "\n"])
def test_any_line_end_and_a_byte_order_mark(tmp_path: Path, ends: str) -> None:
    file = tmp_path / "piece.yaml"
    file.write_bytes(("\ufeff" + "a: 1\nb:\n  c: from 3\n".replace("\n", ends)).encode())
    (table,), findings = read_file(file)
    inner = table["b"]
    assert not list(findings) and isinstance(inner, Table) and isinstance(inner["c"], Text)
    assert excerpt(inner["c"].span) == "from 3" and inner["c"].span.line == 2  # type: ignore[union-attr]


@pytest.mark.parametrize(
    ("text", "id", "places"),
    [
        ("", "empty-file", ["1:1"]),
        ("# only a comment\n", "empty-file", ["1:1"]),
        ("a: 1\nb: 2\na: 3\n", "duplicate-key", ["3:1", "1:1"]),
        ("{a: 1, a: 2}", "duplicate-key", ["1:8", "1:2"]),
        ("a: 1\n\tb: 2\n", "yaml-tab", ["2:1"]),
        ("a:\n  - 1\n \t - 2\n", "yaml-tab", ["3:1"]),
        ("a: &big 1\nb: *big\n", "yaml-alias", ["1:4", "2:4"]),
        ("b:\n  <<: {a: 1}\n", "yaml-alias", ["2:3"]),
        ("a: !!str 1\nb: !x {}\n", "yaml-tag", ["1:4", "2:4"]),
        ("[a]: 1\n", "yaml-key", ["1:1"]),
        ("? {a: 1}\n: 1\n", "yaml-key", ["1:3"]),
        ('"a\\nb": 1\n', "yaml-key", ["1:1"]),
        ("- a\n- b\n", "not-a-mapping", ["1:1"]),
        ("only words\n", "not-a-mapping", ["1:1"]),
        ('a: "\\0"\n', "control-character", ["1:4"]),
        ("a: 1\nb: x\x07y\n", "control-character", ["2:5"]),
        ("a: 1\u2028b: 2\n", "control-character", ["1:5"]),
        ("a: \u202ereversed\n", "control-character", ["1:4"]),
        ("a: " + "x" * 4001 + "\n", "scalar-too-long", ["1:4"]),
        ("a:1\nb: 2\n", "yaml-syntax", ["1:2"]),
        ("a: b: c\n", "yaml-syntax", ["1:5"]),
    ],
)
def test_each_problem_has_its_place(text: str, id: str, places: list[str]) -> None:
    assert problems(text) == [(id, places)]


@pytest.mark.parametrize(
    ("text", "said", "line"),
    [
        ("a:1\nb: 2\n", "space is missing", 1),
        ("a: [1, 2\nb: 3\n", "closing `]`", 2),
        ("a: {b: 1\nc: 2\n", "closing `}`", 2),
        ("a: 'open\nb: 2\n", "never closed", 2),
        ("a:\n    b: 1\n  c: 2\n", "not indented like its neighbours", 3),
        ("a: @b\n", "cannot start with", 1),
        ('a: "\\q"\n', "backslash", 1),
        ("a: b: c\n", "second colon", 1),
    ],
)
def test_syntax_errors_are_in_plain_words(text: str, said: str, line: int) -> None:
    _, findings = read_text(Source("x", text))
    (found,) = findings
    assert found.id == "yaml-syntax" and said in found.message and found.change
    assert found.span is not None and found.span.line + 1 == line


def test_a_flood_of_one_kind_is_cut_and_counted() -> None:
    _, findings = read_text(Source("x", "a: 1\n" * 100))
    assert len(findings) == 21 and "79 more" in list(findings)[-1].message


def test_what_is_read_reaches_pydantic_with_its_places() -> None:
    from pydantic import BaseModel

    class Piece(BaseModel):
        sizes: dict[Text, Text]

    made = Piece.model_validate(one("sizes: {width: 34}\n"))
    ((key, value),) = made.sizes.items()
    assert excerpt(key.span) == "width" and excerpt(value.span) == "34"


def ids(findings: Findings) -> list[str]:
    return [f.id for f in findings]


def test_bytes_that_are_not_utf_8(tmp_path: Path) -> None:
    file = tmp_path / "piece.yaml"
    file.write_bytes(b"a: 1\r\nb: Gr" + b"\xf6\xdfe\n")
    tables, findings = read_file(file)
    (found,) = findings
    assert not tables and found.id == "not-utf-8" and str(found.span).endswith(":2:6") and "0xf6" in found.message


def test_files_that_are_not_there(tmp_path: Path) -> None:
    assert ids(read_file(tmp_path / "no.yaml")[1]) == ["file-missing"]
    assert ids(read_file(tmp_path)[1]) == ["file-missing"]
    assert ids(read_file(Path("a\0b"))[1]) == ["file-missing"]
    assert ids(read_file(Path("/dev/zero"))[1]) == ["file-missing"]
