"""The demo, opened from disk with no network, says what the report says."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

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


def test_parts_and_findings_are_those_of_the_report(demo: Path, look: Look) -> None:
    report = json.loads((demo / "report.json").read_text())
    seen = look(demo / "viewer.html")
    names = seen.page.locator("#leaf .item .name").all_text_contents()
    assert sorted(names) == sorted([part["name"] for part in report["parts"]] + [thing["name"] for thing in report["hardware"]])
    seen.page.click("#tab-findings")
    assert seen.page.locator("#leaf [data-key^=finding]").count() == len(report["findings"])
