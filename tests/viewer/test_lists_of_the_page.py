"""The lists stay short where a piece has many fittings, and what is alike is handled as one."""

from __future__ import annotations

import json
import math
from collections import Counter
from collections.abc import Callable
from pathlib import Path

from playwright.sync_api import expect
from viewing import Seen

Look = Callable[..., Seen]


def test_equal_fittings_are_one_row_with_their_count(demo: Path, look: Look) -> None:
    report = json.loads((demo / "report.json").read_text())
    counts = Counter(one["label"] for one in report["hardware"])
    seen = look(demo / "viewer.html")
    kinds = seen.page.locator("#leaf .kin")
    expect(kinds).to_have_count(len([label for label, count in counts.items() if count > 1]))
    for text in kinds.all_inner_texts():
        label = text.split("\n")[0]
        assert f"{counts[label]} pieces in" in text
    assert max(counts.values()) > 20 and seen.page.locator("#leaf .row").count() <= len(report["parts"]) + len(counts)


def test_a_kind_of_fitting_is_opened_hidden_and_singled_out_as_a_whole(demo: Path, look: Look) -> None:
    report = json.loads((demo / "report.json").read_text())
    label = Counter(one["label"] for one in report["hardware"]).most_common(1)[0][0]
    names = [one["name"] for one in report["hardware"] if one["label"] == label]
    first = len(report["parts"]) + next(n for n, one in enumerate(report["hardware"]) if one["label"] == label) + 1
    run = f"{first}-{first + len(names) - 1}"
    seen = look(demo / "viewer.html")
    page = seen.page
    page.click(f"[data-key='kin {label}']")
    assert page.locator(".kin .rows .name").all_text_contents() == names
    page.uncheck(f"[data-key='show all {label}']")
    assert seen.address()["hide"] == run
    expect(page.locator("text=Show all:")).to_have_text(f"Show all: {len(names)} fittings hidden")
    page.check(f"[data-key='show {names[0]}']")
    assert page.locator(f"[data-key='show all {label}']").evaluate("box => box.indeterminate")
    page.click(f"[data-key='show all {label}']")
    assert "hide" not in seen.address()
    page.click(f"[data-key='only {label}']")
    assert seen.address()["only"] == run
    expect(page.locator(f"[data-key='only {label}']")).to_have_attribute("aria-pressed", "true")
    page.click(f"[data-key='only {label}']")
    assert "only" not in seen.address()


def test_the_eye_comes_back_from_a_joint(demo: Path, look: Look) -> None:
    seen = look(demo / "viewer.html", "#eye=30_20_2000_431.8_133_533_parallel")
    page = seen.page
    before = seen.address()["eye"]
    for leave in ("[data-key=back]", "#tab-findings"):
        page.click("#tab-joints")
        page.click("#leaf .item >> nth=0")
        assert seen.address()["eye"] != before
        page.locator("#tab-order").click()
        page.locator("#leaf .item >> nth=1").click()
        page.click(leave)
        assert seen.address()["eye"] == before


def test_from_a_link_to_a_joint_the_way_back_shows_the_whole(demo: Path, look: Look) -> None:
    joint = json.loads((demo / "report.json").read_text())["joints"][0]["id"]
    seen = look(demo / "viewer.html", f"#joint={joint}")
    near = float(seen.address()["eye"].split("_")[2])
    seen.page.click("[data-key=back]")
    # the cabinet is 42 in high
    assert near < 42 * 25.4 < float(seen.address()["eye"].split("_")[2])


def test_a_joint_is_seen_at_a_slant_also_from_straight_on(demo: Path, look: Look) -> None:
    """From where its member comes straight at the eye, the member would hide the mouth of the joint."""
    joints = json.loads((demo / "report.json").read_text())["joints"]
    ways = {tuple(round(n) for n in joint["opens"]): joint["id"] for joint in joints if joint["opens"]}
    assert len(ways) >= 4
    for way, joint in ways.items():
        seen = look(demo / "viewer.html", "#eye=0_0_1400_431.8_133_533_parallel", width=700, height=500)
        seen.page.fill("#seek", joint)
        seen.page.click(f"[data-key='joint {joint}']")
        yaw, pitch = (math.radians(float(n)) for n in seen.address()["eye"].split("_")[:2])
        eye = (math.sin(yaw) * math.cos(pitch), -math.cos(yaw) * math.cos(pitch), math.sin(pitch))
        assert 0.09 < sum(a * b for a, b in zip(eye, way, strict=True)) < 0.91, (joint, way)
