"""What is on the page while a spec is edited: the last good model, and over it why there is no newer one."""

from __future__ import annotations

import json

import pytest
from live import DEMO, PAGE, Listener, Live, Shared, demo, length_mm, wait_for

from build123.preview.answer import Broken

INCH = 25.4


def test_a_broken_spec_opens_the_page_and_is_mended_there(shared: Shared) -> None:
    begun = shared.begun
    assert begun.page == PAGE
    assert begun.piece_status == 404 and "errors" in begun.piece_reason["reason"]
    assert begun.at_start[0] == "broken"
    assert [finding["id"] for finding in begun.at_start[1]["findings"]] == ["unknown-part"]
    assert [name for name, _ in begun.then] == ["piece", "mended"]


def test_a_saved_size_is_in_the_next_piece(cabinet: Live) -> None:
    with cabinet.listening() as listener:
        # 34 in less two sides of 0.715 in, and 1/4 in into each of their dados; worked by hand
        assert length_mm(cabinet.piece(), "bottom") == pytest.approx(33.07 * INCH, abs=1e-3)
        cabinet.save(demo("31 1/2"))
        name, data = listener.next()
        assert name == "piece"
        assert length_mm(cabinet.piece(), "bottom") == pytest.approx((33.07 - 2.5) * INCH, abs=1e-3)
        # the sheets are drawn after the model, and are another version of it
        assert listener.next() == ("piece", {"version": data["version"] + 1})
        piece = cabinet.piece()
        assert length_mm(piece, "bottom") == pytest.approx((33.07 - 2.5) * INCH, abs=1e-3)
        assert {part["files"]["drawing"] for part in piece["report"]["parts"]} == set(piece["drawings"])


def test_broken_is_told_with_place_and_excerpt_while_the_last_good_piece_stays(cabinet: Live) -> None:
    before = cabinet.piece()
    with cabinet.listening() as listener:
        cabinet.save(DEMO.replace("of: shelf, in: side", "of: shelf, in: sied"))
        name, data = listener.next()
        assert name == "broken"
        (finding,) = data["findings"]
        line = 1 + next(n for n, row in enumerate(DEMO.split("\n")) if "of: shelf, in: side" in row)
        assert finding["places"][0]["line"] == line and finding["places"][0]["file"].endswith("cabinet.yaml")
        shown, mark = finding["excerpt"].split("\n")
        assert shown.startswith(f"{line:>5} | ") and shown[mark.index("^") :].startswith("sied")
        assert "side" in finding["change"] + finding["message"]
        assert cabinet.piece() == before
        late = Listener(cabinet.preview.port)
        assert [late.next()[0], late.next()[0]] == ["piece", "broken"]
        late.close()
        cabinet.save(cabinet.settled)
        assert listener.next() == ("mended", {})  # and no new piece: it is the same


def test_errors_of_the_dry_fit_are_in_the_piece_and_break_nothing(cabinet: Live) -> None:
    with cabinet.listening() as listener:
        cabinet.save(DEMO.replace("- dado: {of: shelf, in: side, depth: 1/4,", "- dado: {of: shelf, in: side, depth: 1/4, width: 0.7,"))
        assert listener.next()[0] == "piece"
    report = cabinet.piece()["report"]
    assert report["dry_fit"] == "failed"
    assert "housing-too-tight" in {finding["id"] for finding in report["findings"]}


def test_a_file_that_is_written_in_place_or_moved_away_first_is_seen(cabinet: Live) -> None:
    with cabinet.listening() as listener:
        cabinet.spec.write_text(demo("33"), encoding="utf-8")
        listener.until("piece")
        cabinet.spec.rename(cabinet.spec.with_suffix(".bak"))
        cabinet.spec.write_text(demo("32"), encoding="utf-8")
        listener.until("piece")
    wait_for(lambda: length_mm(cabinet.piece(), "bottom") == pytest.approx(31.07 * INCH, abs=1e-3))


def test_other_files_of_the_folder_are_not_looked_at(cabinet: Live) -> None:
    before = len(cabinet.made)
    cabinet.spec.with_name("notes.txt").write_text("oil the hinges", encoding="utf-8")
    cabinet.settle(demo("34"))
    assert len(cabinet.made) == before + 1


def test_a_spec_that_is_gone_is_told_and_found_again(cabinet: Live) -> None:
    with cabinet.listening() as listener:
        cabinet.spec.unlink()
        assert [finding["id"] for finding in listener.until("broken")["findings"]] == ["file-missing"]
        cabinet.save(demo("34"))
        listener.until("mended")


def test_text_of_the_spec_stays_text(cabinet: Live) -> None:
    hostile = "</script><img src=x onerror=alert(1)>"
    with cabinet.listening() as listener:
        cabinet.save(DEMO.replace("piece: Seed cabinet", f'piece: "{hostile}"'))
        listener.until("piece")
        response, _ = cabinet.get("/live/piece.json")
        assert (response.headers["content-type"], response.headers["x-content-type-options"]) == ("application/json", "nosniff")
        assert cabinet.piece()["report"]["piece"] == hostile
        # line ends of a name must not begin an event of their own
        cabinet.save(DEMO.replace("units: in\n", 'units: in\n"x\\n\\nevent: mended\\ndata: {}\\n": 1\n'))
        assert "event: mended" in json.dumps(listener.until("broken"))


def test_a_file_with_several_pieces_shows_the_first(cabinet: Live) -> None:
    with cabinet.listening() as listener:
        cabinet.save(f"{demo('33')}\n---\n{DEMO.replace('piece: Seed cabinet', 'piece: Another')}")
        listener.until("piece")
        assert cabinet.piece()["report"]["piece"] == "Seed cabinet"
        assert getattr(cabinet.made[-1], "more", 0) == 1


def test_what_went_wrong_is_counted_on_the_line_of_each_time(cabinet: Live) -> None:
    cabinet.save("build123: 1\n")
    wait_for(lambda: isinstance(cabinet.made[-1], Broken))
    assert "error" in cabinet.made[-1].counted
