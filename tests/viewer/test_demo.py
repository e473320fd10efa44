"""The demo, opened from disk with no network, says what the report says."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest
from viewing import Seen

Look = Callable[..., Seen]


def test_the_page_loads_from_disk_and_turns(demo: Path, look: Look) -> None:
    seen = look(demo / "viewer.html")
    assert seen.page.text_content("h1") == "Seed cabinet"
    before = seen.address()["eye"]
    box = seen.page.locator("#model").bounding_box()
    assert box is not None
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    seen.page.mouse.move(x, y)
    seen.page.mouse.down()
    seen.page.mouse.move(x + 100, y + 20, steps=4)
    seen.page.mouse.up()
    after = seen.address()["eye"]
    yaw, pitch = (float(n) for n in after.split("_")[:2])
    assert before.split("_")[2:] == after.split("_")[2:]
    assert (yaw, pitch) != tuple(float(n) for n in before.split("_")[:2])


def test_the_wheel_comes_nearer_and_the_right_button_moves(demo: Path, look: Look) -> None:
    seen = look(demo / "viewer.html", "#eye=0_0_1400_431.8_133_533_parallel")
    fixed = (200.0, 0.0, 800.0)
    x, y = seen.pixel(*fixed)
    seen.page.mouse.move(x, y)
    seen.page.mouse.wheel(0, -200)
    assert float(seen.address()["eye"].split("_")[2]) < 1200
    assert seen.pixel(*fixed) == pytest.approx((x, y), abs=0.6), "what is under the pointer stays there"
    seen.page.mouse.down(button="right")
    seen.page.mouse.move(x + 60, y - 40, steps=4)
    seen.page.mouse.up(button="right")
    seen.address()
    assert seen.pixel(*fixed) == pytest.approx((x + 60, y - 40), abs=8)


def test_two_fingers_pinch_and_move(demo: Path, look: Look) -> None:
    seen = look(demo / "viewer.html", "#eye=0_0_1400_431.8_133_533_parallel", has_touch=True)
    touch = seen.page.context.new_cdp_session(seen.page)
    x, y = seen.pixel(431.8, 0, 533)

    def fingers(kind: str, *apart: float) -> None:
        points = [{"x": x + way * d, "y": y, "id": n} for d in apart for n, way in enumerate((-1, 1))]
        touch.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})

    fingers("touchStart", 40)
    for d in (50, 60, 70, 80):
        fingers("touchMove", d)
    fingers("touchEnd")
    span = float(seen.address()["eye"].split("_")[2])
    assert span == pytest.approx(700, rel=0.05), "twice as far apart shows half as much"
    assert seen.page.locator("#leaf h2").count() == 0, "a pinch picks nothing"


def test_parts_and_findings_are_those_of_the_report(demo: Path, look: Look) -> None:
    report = json.loads((demo / "report.json").read_text())
    seen = look(demo / "viewer.html")
    for kin in seen.page.locator("[data-key^='kin ']").all():
        kin.click()
    names = seen.page.locator("[data-key^='part '] .name").all_text_contents()
    assert sorted(names) == sorted([part["name"] for part in report["parts"]] + [thing["name"] for thing in report["hardware"]])
    seen.page.click("#tab-findings")
    assert seen.page.locator("#leaf [data-key^=finding]").count() == len(report["findings"])
