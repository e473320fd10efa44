"""Ways to open a page and to know, from the address alone, where on the screen a point of the piece must be."""

from __future__ import annotations

import math
import zlib
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any
from urllib.parse import parse_qs

from playwright.sync_api import Browser, Page

from build123.kernel import Store
from build123.pipeline import build, compile_file

SPECS = Path(__file__).parents[2] / "specs"


@dataclass
class Seen:
    """A page, what its console complained of, and what it asked a network for."""

    page: Page
    faults: list[str] = field(default_factory=list)
    asked: list[str] = field(default_factory=list)

    def still(self) -> None:
        """Until nothing moves."""
        self.page.wait_for_selector("html[data-still=true]", state="attached")

    def address(self) -> dict[str, str]:
        """What the address says, once it has caught up with the page."""
        self.still()
        self.page.wait_for_selector("html[data-told=true]", state="attached")
        return {key: values[0] for key, values in parse_qs(self.page.evaluate("location.hash").lstrip("#"), keep_blank_values=True).items()}

    def pixel(self, x: float, y: float, z: float) -> tuple[float, float]:
        """Where a point of the piece (mm) must be in the window, from the eye in the address: computed here, not by the page.

        Only for parallel views, in which a picture is a plain projection."""
        eye = parse_qs(self.page.evaluate("location.hash").lstrip("#"))["eye"][0]
        yaw, pitch, span, *target, lens = eye.split("_")
        assert lens == "parallel"
        a, b = math.radians(float(yaw)), math.radians(float(pitch))
        right = (math.cos(a), math.sin(a), 0.0)
        up = (-math.sin(a) * math.sin(b), math.cos(a) * math.sin(b), math.cos(b))
        d = [p - float(t) for p, t in zip((x, y, z), target, strict=True)]
        box = self.page.locator("#model").bounding_box()
        assert box is not None
        scale = box["height"] / float(span)
        along, over = (sum(m * n for m, n in zip(d, axis, strict=True)) for axis in (right, up))
        return box["x"] + box["width"] / 2 + along * scale, box["y"] + box["height"] / 2 - over * scale

    def touch(self, x: float, y: float, z: float) -> None:
        """A click on a point of the piece."""
        self.page.mouse.click(*self.pixel(x, y, z))
        self.still()


def open_page(browser: Browser, file: Path, address: str, width: int, height: int, **more: Any) -> Seen:
    """A page from disk; whatever it asks of a network fails and is noted."""
    context = browser.new_context(viewport={"width": width, "height": height}, reduced_motion="reduce", offline=True, **more)
    seen = Seen(context.new_page())
    seen.page.set_default_timeout(10_000)
    seen.page.on("console", lambda said: seen.faults.append(said.text) if said.type == "error" else None)
    seen.page.on("pageerror", lambda fault: seen.faults.append(str(fault)))
    seen.page.on("request", lambda asked: seen.asked.append(asked.url) if not asked.url.startswith(("file:", "data:", "blob:")) else None)
    seen.page.goto(file.as_uri() + address)
    seen.page.wait_for_selector("html[data-ready=true]", state="attached")
    seen.still()
    return seen


def demo_files(name: str, store: Store, out: Path) -> Path:
    """The files of a piece of the gallery."""
    [made] = compile_file(SPECS / f"{name}.yaml", store=store)
    return build(made, out).folder


def colour_at(seen: Seen, x: float, y: float, dx: int = 0) -> tuple[int, int, int]:
    """Red, green and blue of one pixel of the window. A picture of one pixel needs no decoder: its filter has no neighbours."""
    data = seen.page.screenshot(clip={"x": round(x) + dx, "y": round(y), "width": 1, "height": 1})
    body, at = b"", 8
    while at < len(data):
        length, kind = int.from_bytes(data[at : at + 4], "big"), data[at + 4 : at + 8]
        body += data[at + 8 : at + 8 + length] if kind == b"IDAT" else b""
        at += 12 + length
    raw = zlib.decompress(body)
    return raw[1], raw[2], raw[3]
