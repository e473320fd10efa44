"""The cut list: one row for each distinct part, as a bench and a spreadsheet read it."""

from __future__ import annotations

import csv
import io
from dataclasses import replace

import pytest
from by_hand import PLY, board, job, measured_as

from build123.exports.cutlist import HEADER, PATH, harmless, verify, write
from build123.exports.job import Job


def rows(given: Job) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(write(given)[PATH].decode("utf-8"), newline="")))


def test_equal_parts_share_a_row_and_their_names_are_all_there() -> None:
    (row,) = rows(job(board("shelf 1"), board("shelf 2"), board("shelf 3")))
    assert (row["part"], row["count"], row["parts"]) == ("shelf 1", "3", "shelf 1; shelf 2; shelf 3")
    assert (row["thickness"], row["width"], row["length"]) == ("18 mm", "200 mm", "300 mm")


def test_opposite_hands_have_rows_of_their_own() -> None:
    left, right = board("left side", key="L", hand="R"), board("right side", key="R", hand="L")
    assert [row["opposite hand of"] for row in rows(job(left, right, board("shelf")))] == ["", "opposite hand of left side", ""]


def test_parts_of_one_shape_from_two_stocks_are_two_rows_stock_by_stock() -> None:
    oak = replace(PLY, name="oak", kind="board", material="white oak", grain="length")
    made = rows(job(board("a"), board("b", stock=oak), board("c")))
    assert [(row["parts"], row["stock"]) for row in made] == [("a; c", "ply"), ("b", "oak")]


def test_inches_are_said_as_on_a_rule_and_mm_beside_them() -> None:
    """11 1/4 in is 285.75 mm by the definition of the inch; 0.715 in lies on no stroke of a rule."""
    ply = replace(PLY, thickness_mm=0.715 * 25.4)
    (row,) = rows(job(board("shelf", length=285.75, stock=ply), units="in"))
    assert (row["length"], row["thickness"]) == ("11 1/4 in", "0.715 in")
    assert (row["length_mm"], row["thickness_mm"]) == ("285.75", "18.161")


@pytest.mark.parametrize("name", ["=1+1", "+1", "-1", "@SUM(A1)", "  =1", "\t=1", "\r=1", "\uff1d1", "=cmd|' /C calc'!A0"])
def test_no_text_starts_as_a_formula(name: str) -> None:
    """What starts one: OWASP, "CSV Injection"."""
    text = write(job(board(name), board("shelf 2")))[PATH].decode()
    cells = [cell for row in csv.reader(io.StringIO(text, newline="")) for cell in row]
    assert not any(cell.lstrip()[:1] in tuple("=+-@\uff1d") and cell for cell in cells)
    assert harmless("left side") == "left side"


def test_the_file_is_rfc_4180_with_a_header_and_signs_survive() -> None:
    content = write(job(board('shelf, "upper"; 木')))[PATH]
    text = content.decode("utf-8")
    assert text.endswith("\r\n") and text.count("\n") == text.count("\r\n") == 2
    header, row = csv.reader(io.StringIO(text, newline=""), strict=True)
    assert tuple(header) == HEADER
    assert row[0] == 'shelf, "upper"; 木'


def test_every_documented_column_is_there() -> None:
    import build123.exports.cutlist as room

    assert room.__doc__ is not None
    for column in HEADER:
        assert column in room.__doc__, column


def test_reading_back_sees_a_row_that_is_gone_a_wrong_count_and_a_solid_larger_than_its_row() -> None:
    given = job(board("shelf 1"), board("shelf 2"), board("top", length=500))
    content = write(given)[PATH]
    assert verify(given, {PATH: content}) == []
    lines = content.splitlines(keepends=True)
    for spoiled in (b"".join(lines[:-1]), content.replace(b'"shelf 1",2', b'"shelf 1",1'), content.replace(b",500\r\n", b",499\r\n")):
        assert [one.id for one in verify(given, {PATH: spoiled})] == ["export-differs"], spoiled
    assert verify(measured_as(given, "board 500", 500.5, 200, 18), {PATH: content})
