"""Text of a spec on its way to a terminal: nothing in it may act, and columns are counted as they are seen."""

from __future__ import annotations

import re
import unicodedata
from typing import Final

TAB: Final = 4
"""Columns between tab stops of an excerpt."""

_ACTING: Final = re.compile(
    "[\x00-\x1f\x7f-\x9f\xad\u061c\u115f\u1160\u180e\u200b-\u200f\u2028-\u202e\u2060-\u206f\u3164\ufeff\ufff9-\ufffb\ud800-\udfff"
    "\U000e0000-\U000e0fff]"
)
"""Control characters, line ends, marks that turn the direction of reading, and what has no width."""


def visible(text: str) -> str:
    """Each character that would act or hide, as a sign or as its number: terminal codes of a spec come out as text."""
    return _ACTING.sub(_sign, text)


def _sign(found: re.Match[str]) -> str:
    code = ord(found[0])
    if code < 0x20:
        return chr(0x2400 + code)
    return "\u2421" if code == 0x7F else f"<U+{code:04X}>"


def width(text: str) -> int:
    """Terminal columns of visible text (Unicode standard annex 11: wide and fullwidth take two, combining marks none)."""
    if text.isascii():
        return len(text)
    return sum(0 if unicodedata.combining(c) else 2 if unicodedata.east_asian_width(c) in "WF" else 1 for c in text)


def cells(line: str) -> list[str]:
    """What each character of a line becomes: tabs are spaces up to the next stop, the rest is made visible."""
    made: list[str] = []
    column = 0
    for character in line:
        seen = " " * (TAB - column % TAB) if character == "\t" else visible(character)
        column += width(seen)
        made.append(seen)
    return made
