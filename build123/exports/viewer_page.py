"""The page of the viewer, whole: markup, style, program and the piece in one text, under a strict content security policy.

Style and program are allowed by their hashes, pictures only from the page itself, and nothing may be loaded; a live page may
ask its own server. The piece lies in the page as packed JSON (gzip, base64), in which no character means anything to a browser.
"""

from __future__ import annotations

import base64
import gzip
import hashlib
import html
import json
import re
from collections.abc import Mapping
from pathlib import Path
from typing import Any, Final

VIEWER: Final = Path(__file__).resolve().parent.parent / "viewer"
BUNDLE: Final = VIEWER / "bundle"
SCRIPT, STYLE, REASON = "viewer.js", "viewer.css", "left-out.txt"
_MARKER: Final = re.compile(r"<!--(policy|live|title|style|piece|script)-->")
_PIECE: Final = re.compile(r'<script type="application/json" id="piece">(.*?)</script>', re.DOTALL)


def left_out() -> str:
    """Why there is no viewer in this install; empty where there is one."""
    if (BUNDLE / SCRIPT).is_file() and (BUNDLE / STYLE).is_file():
        return ""
    reason = BUNDLE / REASON
    return reason.read_text(encoding="utf-8").strip() if reason.is_file() else "its program was not bundled when build123 was installed"


def viewer_page(piece: Mapping[str, Any] | None, live: str | None) -> str:
    """The page with a piece in it (`viewer_payload.payload`), or one that asks its server under the path `live`, or both.

    The same piece gives the same text. FileNotFoundError where the viewer was left out of the install (`left_out`).
    """
    script, style = (_inline((BUNDLE / name).read_text(encoding="utf-8")) for name in (SCRIPT, STYLE))
    title = "build123" if piece is None else str(piece["report"]["piece"])
    parts = {
        "policy": f'<meta http-equiv="Content-Security-Policy" content="{policy(script, style, live is not None)}">',
        "live": "" if live is None else f'<meta name="build123-live" content="{html.escape(live)}">',
        "title": html.escape(_visible(title)),
        "style": f"<style>{style}</style>",
        "piece": "" if piece is None else f'<script type="application/json" id="piece">{pack(piece)}</script>',
        "script": f"<script>{script}</script>",
    }
    return _MARKER.sub(lambda found: parts[found[1]], (VIEWER / "page.html").read_text(encoding="utf-8"))


def policy(script: str, style: str, live: bool) -> str:
    """The content security policy (W3C CSP level 3) for just this program and style."""
    asks = ["connect-src 'self'"] if live else []
    rules = ["default-src 'none'", f"script-src '{_hash(script)}'", f"style-src '{_hash(style)}'", "img-src data: blob:", *asks]
    return "; ".join([*rules, "base-uri 'none'", "form-action 'none'"])


def pack(piece: Mapping[str, Any]) -> str:
    """A piece as JSON that holds its own text as gzip in base64."""
    text = json.dumps(piece, ensure_ascii=True, allow_nan=False, separators=(",", ":")).encode("ascii")
    return json.dumps({"packed": base64.b64encode(gzip.compress(text, 6, mtime=0)).decode("ascii")})


def piece_of(page: str) -> dict[str, Any] | None:
    """The piece in a page, read back; None where there is none."""
    found = _PIECE.search(page)
    if found is None:
        return None
    piece: dict[str, Any] = json.loads(gzip.decompress(base64.b64decode(json.loads(found[1])["packed"])))
    return piece


def _inline(text: str) -> str:
    """A program or style that the page can hold. ValueError where it would end its own element: a fault of ours."""
    if re.search(r"</(script|style)|<!--", text, re.IGNORECASE):
        raise ValueError("the viewer's bundle would end the element that it is in")
    return text.strip()


def _hash(text: str) -> str:
    return "sha256-" + base64.b64encode(hashlib.sha256(text.encode()).digest()).decode("ascii")


def _visible(text: str) -> str:
    """A text that UTF-8 can hold."""
    return text.encode("utf-8", "replace").decode("utf-8")
