"""A live page: it asks its server for the piece, follows what the server tells, and keeps what the eye was on."""

from __future__ import annotations

import copy
import json
import re
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from queue import Queue
from typing import Any

from playwright.sync_api import Browser, expect

from build123.exports.viewer_page import piece_of, viewer_page


class Server:
    """What the preview serves, as far as the page sees it."""

    def __init__(self, piece: dict[str, Any] | None) -> None:
        self.piece = piece
        self.news: Queue[tuple[str, Any] | None] = Queue()

    def tell(self, event: str, data: Any) -> None:
        self.news.put((event, data))


@contextmanager
def serving(server: Server) -> Iterator[str]:
    class Handler(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            if self.path == "/":
                self._send("text/html; charset=utf-8", viewer_page(None, "/live").encode())
            elif self.path == "/live/piece.json":
                self._send("application/json", json.dumps(server.piece).encode())
            elif self.path == "/live/events":
                self.send_response(200)
                self.send_header("Content-Type", "text/event-stream")
                self.end_headers()
                self.wfile.write(b": here\n\n")
                while (one := server.news.get()) is not None:
                    self.wfile.write(f"event: {one[0]}\ndata: {json.dumps(one[1])}\n\n".encode())
                    self.wfile.flush()
            else:
                self.send_error(404)

        def _send(self, kind: str, body: bytes) -> None:
            self.send_response(200)
            self.send_header("Content-Type", kind)
            self.send_header("Content-Length", str(len(body)))
            self.end_headers()
            self.wfile.write(body)

        def log_message(self, format: str, *args: object) -> None:
            pass

    listening = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
    listening.daemon_threads = True
    threading.Thread(target=listening.serve_forever, daemon=True).start()
    try:
        yield f"http://127.0.0.1:{listening.server_address[1]}/"
    finally:
        server.news.put(None)
        listening.shutdown()
        listening.server_close()


BROKEN = {"id": "bad-length", "severity": "error", "message": "no <b>length</b>", "places": [{"file": "x.yaml", "line": 7}],
          "parts": [], "joint": "", "change": "write one", "excerpt": "    7 | x: <script>1</script>\n      | ^~~"}  # fmt: skip


def test_a_page_without_a_piece_yet_waits_for_it(demo: Path, browser: Browser) -> None:
    server = Server(None)
    faults: list[str] = []
    page = browser.new_page(reduced_motion="reduce", color_scheme="dark")
    page.on("pageerror", lambda fault: faults.append(str(fault)))
    with serving(server) as address:
        page.goto(address)
        server.tell("broken", {"findings": [BROKEN]})
        expect(page.locator("#trouble")).to_contain_text("no <b>length</b>")
        expect(page.locator("#verdict")).to_have_text("No model yet")
        for button in (
            "#theme",
            "#units-in",
            "#whole",
            "#rail [data-tray=cut]",
            "#rail [data-tray=apart]",
            "#rail [data-tray=measure]",
            "#tab-order",
        ):
            page.click(button)
        page.focus("#model")
        for key in ("ArrowLeft", "Enter", "3", "Escape"):
            page.keyboard.press(key)
        server.piece = piece_of((demo / "viewer.html").read_text())
        server.tell("piece", {"version": 1})
        server.tell("mended", {})
        expect(page.locator("h1")).to_have_text("Seed cabinet")
        expect(page.locator("#trouble")).to_be_hidden()
        expect(page.locator("#verdict")).to_have_text("✓ Goes together")
    page.close()
    assert not faults


def test_a_live_page_follows_its_server(demo: Path, browser: Browser) -> None:
    piece = piece_of((demo / "viewer.html").read_text())
    assert piece is not None
    server = Server(piece)
    faults: list[str] = []
    context = browser.new_context(viewport={"width": 1000, "height": 700}, reduced_motion="reduce")
    page = context.new_page()
    page.set_default_timeout(10_000)
    page.on("console", lambda said: faults.append(said.text) if said.type == "error" else None)
    with serving(server) as address:
        page.goto(address + "#eye=10_20_1500_400_100_500_perspective")
        page.wait_for_selector("html[data-ready=true]", state="attached")
        page.locator("#leaf .item", has_text=re.compile(r"^shelf 2")).click()
        page.click("text=Hide")
        kept = page.evaluate("location.hash.split('&')[0]")

        longer = copy.deepcopy(piece)
        for part in longer["report"]["parts"]:
            if part["name"] == "shelf 2":
                part["length_mm"] = 1000.0
        server.piece = longer
        server.tell("piece", {"version": 2})
        expect(page.locator("#leaf")).to_contain_text("39.3701 in")  # 1000 mm by hand
        assert page.locator("#leaf h2").text_content() == "shelf 2"
        assert page.locator("#leaf [data-key=hide]").get_attribute("aria-pressed") == "true"
        assert page.evaluate("location.hash.split('&')[0]") == kept

        server.tell("broken", {"findings": [BROKEN]})
        page.locator("#trouble pre").wait_for()
        told = page.locator("#trouble").inner_text()
        assert "no <b>length</b>" in told and "x.yaml, line 7" in told and "<script>1</script>" in told
        assert page.locator("#model").is_visible() and page.locator("#leaf h2").text_content() == "shelf 2"

        server.tell("mended", {})
        page.locator("#trouble").wait_for(state="hidden")
    context.close()
    assert not [fault for fault in faults if "ERR_CONNECTION" not in fault and "ERR_INCOMPLETE" not in fault]
