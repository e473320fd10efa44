"""Five hundred parts load in under two seconds and need few draw calls."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from viewing import Seen

from build123.exports.viewer_page import piece_of, viewer_page

COPIES = 36
EVERY_MM = 1000.0


def row_of(piece: dict[str, Any]) -> dict[str, Any]:
    """The same piece many times side by side, every copy with its own names, joints and reasons."""
    report = piece["report"]
    bodies: dict[bool, list[Any]] = {True: [], False: []}
    made: dict[str, list[Any]] = {"parts": [], "hardware": [], "joints": []}
    for n in range(COPIES):
        for key in ("parts", "hardware"):
            for one in report[key]:
                rows = [list(row) for row in one["placement"]]
                rows[0][3] += n * EVERY_MM
                made[key].append({**one, "name": f"{one['name']} {n}", "placement": rows})
        named = {"member", "receiver", "id"}
        made["joints"] += [{key: f"{value} {n}" if key in named else value for key, value in joint.items()} for joint in report["joints"]]
        parts = {part["name"] for part in report["parts"]}
        for body in piece["bodies"]:
            bodies[body["name"] in parts].append({**body, "name": f"{body['name']} {n}"})
    counts = {**report["counts"], "parts": len(made["parts"]), "joints": len(made["joints"])}
    return {**piece, "report": {**report, **made, "counts": counts, "glue_up": None}, "bodies": bodies[True] + bodies[False]}


def test_five_hundred_parts(demo: Path, look: Callable[..., Seen], tmp_path: Path) -> None:
    piece = piece_of((demo / "viewer.html").read_text())
    assert piece is not None
    file = tmp_path / "many.html"
    file.write_text(viewer_page(row_of(piece), None))
    assert (demo / "viewer.html").stat().st_size < 3e6
    shown = []
    for _ in range(2):
        seen = look(file)
        shown.append(seen.page.evaluate("performance.getEntriesByName('shown')[0].startTime"))
        assert seen.page.locator("#tab-parts .count").text_content() == f" {14 * COPIES}"
        assert int(seen.page.get_attribute("#model", "data-calls") or 0) <= 3 * len(piece["meshes"])
    assert min(shown) < 2000


def test_a_long_row_pulled_apart_stays_in_sight(demo: Path, look: Callable[..., Seen], tmp_path: Path) -> None:
    """Each part lies on the one before it, 13 moves to the left in a row: the picture may not fall into dust."""
    piece = piece_of((demo / "viewer.html").read_text())
    assert piece is not None
    names = [part["name"] for part in piece["report"]["parts"]]
    same = {"travel_mm": 400.0, "joints": [], "within": 0}
    piece["report"]["glue_up"] = {
        "sub_assemblies": [],
        "steps": [
            {**same, "number": n + 1, "bodies": [name], "direction": [-1, 0, 0] if n else None, "onto": names[max(n - 1, 0) : n]}
            for n, name in enumerate(names)
        ],
    }
    file = tmp_path / "row.html"
    file.write_text(viewer_page(piece, None))
    seen = look(file, "#eye=0_0_1400_431.8_133_533_parallel")
    seen.page.click("#rail [data-tray=apart]")
    seen.page.click("text=Fully apart")
    span = float(seen.address()["eye"].split("_")[2])
    box = seen.page.locator("#model").bounding_box()
    assert box is not None
    # the cabinet is 902 x 305 x 1067 mm: with its diagonal of 1430 mm not longer than 902 + 1.2 x 1430 mm, and a margin of 12 in 100
    assert span * box["width"] / box["height"] == pytest.approx((902 + 1.2 * 1430) * 1.12, rel=0.03)
