"""Bytes, load time and frame time of pages that were built: `python tests/viewer/measure.py out/*/viewer.html`.

Load is from the start of navigation to the first picture. A frame is what passes between two pictures while the model is turned
by the mouse; with the software renderer of a machine without a graphics card most of it is filling pixels.
Best of three.
"""

from __future__ import annotations

import statistics
import sys
from pathlib import Path

from playwright.sync_api import sync_playwright
from viewing import ARGUMENTS, open_page

SIZE = (1280, 800)
TURN = """async () => {
  const canvas = document.getElementById("model"), box = canvas.getBoundingClientRect();
  const point = (type, x) => canvas.dispatchEvent(new PointerEvent(type, {pointerId: 1, clientX: box.x + x, clientY: box.y + 200, bubbles: true}));
  canvas.setPointerCapture = () => {};
  const next = () => new Promise(requestAnimationFrame);
  point("pointerdown", 100);
  const frames = [];
  for (let n = 0, last = await next(); n < 25; n++) {
    point("pointermove", 110 + 8 * n);
    const now = await next();
    frames.push(now - last);
    last = now;
  }
  point("pointerup", 400);
  return frames.slice(5);
}"""


def main() -> None:
    with sync_playwright() as play:
        for file in map(Path, sys.argv[1:]):
            loads, frames, calls, parts = [], [], "", 0
            for _ in range(3):
                browser = play.chromium.launch(executable_path="/usr/bin/chromium", args=ARGUMENTS)
                seen = open_page(browser, file.resolve(), "", *SIZE)
                loads.append(seen.page.evaluate("performance.getEntriesByName('shown')[0].startTime"))
                frames.append(statistics.median(seen.page.evaluate(TURN)))
                calls = seen.page.get_attribute("#model", "data-calls") or ""
                parts = int((seen.page.locator("#tab-parts .count").text_content() or "0").strip())
                browser.close()
            size = file.stat().st_size / 1e6
            print(
                f"{file.parent.name}: {parts} parts, {size:.2f} MB, load {min(loads):.0f} ms, frame {min(frames):.0f} ms, {calls} draw calls"
            )


if __name__ == "__main__":
    main()
