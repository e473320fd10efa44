"""How much room text takes, whatever sans serif font a viewer has.

Widths are the larger advance of DejaVu Sans (Verdana is its equal) and Liberation Sans (equal to Arial and Helvetica), read
from the fonts and rounded up to 1/200 em, so a box from here is not too small with any of them.
"""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass
from functools import lru_cache

from build123.drawing.vocabulary import Label
from build123.model.frame import Vec2

CAPITALS_PER_EM = 0.72
"""Height of capitals over font size: DejaVu Sans 0.729, Liberation Sans 0.688 (measured on the fonts)."""
DESCENT_PER_EM = 0.21

_PER_MILLE: dict[int, str] = {
    275: "'",
    280: "ijl",
    295: "I",
    320: " ,.·",
    340: "/:;\\|",
    355: "f",
    365: "-",
    395: "()[]t",
    405: "!",
    415: "r",
    460: '"',
    500: "*J`°",
    525: "sz",
    550: "c",
    560: "?L_–",
    580: "k",
    595: "vxy",
    615: "FTao",
    620: "e",
    635: "bdghnpqu",
    640: "$0123456789{}",
    670: "EKPSY",
    685: "AV",
    690: "BXZ",
    725: "CR",
    735: "U",
    750: "N",
    755: "H",
    775: "D",
    780: "&G",
    790: "OQØ",
    820: "w",
    840: "#+<=>^~×±",
    865: "M",
    955: "%",
    975: "m",
    990: "W",
    1000: "—…",
    1020: "@",
}
_WIDTHS = {character: per_mille / 1000 for per_mille, characters in _PER_MILLE.items() for character in characters}
_OTHER = 1.05
"""Also for a full-width character."""


@lru_cache(4096)
def _advance(character: str) -> float:
    known = _WIDTHS.get(character)
    if known is None:
        known = _WIDTHS.get(unicodedata.normalize("NFD", character)[0], _OTHER)
    return known


@lru_cache(4096)
def text_width(text: str, height: float, bold: bool = False) -> float:
    """Room along the line for capitals of `height` mm; an upper bound for the common sans serif fonts."""
    ems = sum(_advance(c) for c in text)
    return ems * height / CAPITALS_PER_EM * (1.12 if bold else 1.0)


@dataclass(frozen=True, slots=True)
class Rect:
    """An upright rectangle on paper, mm."""

    left: float
    bottom: float
    right: float
    top: float

    def grown(self, by: float) -> Rect:
        """Larger on all sides."""
        return Rect(self.left - by, self.bottom - by, self.right + by, self.top + by)

    def overlaps(self, other: Rect) -> bool:
        """Whether the two share more than a border."""
        return self.left < other.right and other.left < self.right and self.bottom < other.top and other.bottom < self.top

    def within(self, other: Rect) -> bool:
        """Whether it lies in the other."""
        return self.left >= other.left and self.right <= other.right and self.bottom >= other.bottom and self.top <= other.top

    def crossed_by(self, a: Vec2, b: Vec2) -> bool:
        """Whether the line from `a` to `b` enters it (Liang and Barsky)."""
        enter, leave = 0.0, 1.0
        for start, step, low, high in ((a[0], b[0] - a[0], self.left, self.right), (a[1], b[1] - a[1], self.bottom, self.top)):
            if abs(step) < 1e-12:
                if start <= low or start >= high:
                    return False
                continue
            first, last = sorted(((low - start) / step, (high - start) / step))
            enter, leave = max(enter, first), min(leave, last)
            if enter >= leave:
                return False
        return True


def descent(height: float) -> float:
    """How far letters hang below the line."""
    return DESCENT_PER_EM * height / CAPITALS_PER_EM


def label_box(label: Label) -> Rect:
    """The box of a label: capitals and what hangs below the line."""
    width = text_width(label.text, label.height, label.bold)
    before = {"start": 0.0, "middle": width / 2, "end": width}[label.anchor]
    below = descent(label.height)
    x, y = label.at
    if label.turn == 90:
        return Rect(x - label.height, y - before, x + below, y - before + width)
    return Rect(x - before, y - below, x - before + width, y + label.height)


def fitted(text: str, height: float, width: float, bold: bool = False) -> str:
    """The text, cut off with an ellipsis where it is longer than `width`."""
    if text_width(text, height, bold) <= width:
        return text
    room = width - text_width("…", height, bold)
    kept = 0
    while kept < len(text) and (room := room - text_width(text[kept], height, bold)) >= 0:
        kept += 1
    return text[:kept].rstrip() + "…"


@lru_cache(1024)
def wrapped(text: str, height: float, width: float, lines: int) -> tuple[str, ...]:
    """The text in at most `lines` lines of `width`, broken at spaces; the last one cut off where it must be."""
    done: list[str] = []
    words = text.split(" ")
    while words and len(done) < lines - 1:
        taken = 1
        while taken < len(words) and text_width(" ".join(words[: taken + 1]), height) <= width:
            taken += 1
        done.append(fitted(" ".join(words[:taken]), height, width))
        words = words[taken:]
    if words:
        done.append(fitted(" ".join(words), height, width))
    return tuple(done)
