"""What to say where a text stops making sense."""

from __future__ import annotations

from typing import Final

from build123.fields.grammar import Start, Unexpected
from build123.fields.lexer import Token
from build123.fields.words import GRAMMAR
from build123.problem import SpecError, Text

FORMS: Final = (
    "an extent is `A to B`; `from A`, `up to A` or `centred on A`, with `for LENGTH` if it is not the stock's thickness; "
    "`N evenly A to B`; `same as PART`; or `each gap of RUN`"
)

_OPERANDS: Final = frozenset({"NUMBER", "VALUE", "BODY", "FACE", "OUTSIDE", "FLOOR", "OPEN"})
_SIGNS: Final = frozenset({"PLUS", "MINUS", "TIMES", "OVER"})
_WORDS: Final = {kind: word for word, kind in GRAMMAR.items() if kind in {"TO", "ON", "AS", "GAP", "OF"}}
_PARTS_ONLY: Final = frozenset({"BODY"})


def unexpected(text: Text, tokens: list[Token], start: Start, problem: Unexpected) -> SpecError:
    """The finding for a token that does not fit, or for a text that ends too early."""
    id = "bad-extent" if start == "extent" else "bad-length"
    forms = FORMS if start == "extent" else ""
    before = tokens[problem.at - 1] if problem.at else None
    opened = next((t for n, t in enumerate(tokens) if t.kind == "OPEN" and not _closed(tokens, n)), None)
    if problem.at >= len(tokens):
        return _too_short(text, before, opened, id, forms, problem)
    token = tokens[problem.at]
    here = text.place(token.start, token.end)
    said = text[token.start : token.end]
    missing = _WORDS.get(next(iter(problem.expected))) if len(problem.expected) == 1 else None
    if missing:
        return SpecError.at(id, f"`{missing}` is missing before `{said}`", here, label="here", change=forms)
    if token.kind == "CLOSE" and before and before.kind not in _SIGNS | {"OPEN"}:
        return SpecError.at(id, "this bracket closes nothing", here, label="closes nothing", change="take it out, or open one before it")
    if problem.expected <= _PARTS_ONLY and token.kind == "VALUE":
        return SpecError.at(id, f"`{said}` is a size; a part's name is wanted here", here, label="a size")
    if token.kind == "TO" and tokens[0].kind in {"FROM", "CENTRED"}:
        first = text[tokens[0].start : tokens[0].end]
        return SpecError.at(id, f"`{first} ... to ...` says two things at once", here, label="here",
                            change=f"write `A to B` without `{first}`, or `{first} A for LENGTH`")  # fmt: skip
    if token.kind == "FOR" and any(t.kind == "TO" for t in tokens[: problem.at]):
        return SpecError.at(
            id, "`A to B` has its length already", here, label="here", change="take `for` out, or write `from A for LENGTH`"
        )
    if before and token.kind in _SIGNS and before.kind in _SIGNS:
        return SpecError.at(id, f"two signs in a row: `{text[before.start : token.end]}`", here, label="a number or a name is wanted here")
    if token.kind in _SIGNS | {"CLOSE"}:
        return SpecError.at(id, f"a number or a name is missing before `{said}`", here, label="here")
    if token.kind in _OPERANDS and before and not problem.expected & _OPERANDS and problem.expected & _SIGNS:
        return SpecError.at(id, f"a sign (+ - * /){' or a word' if start == 'extent' else ''} is missing before `{said}`", here,
                            label="here", change=forms)  # fmt: skip
    return SpecError.at(id, f"`{said}` does not fit here", here, label="here", change=forms or "a size or a length is wanted here")


def _too_short(text: Text, before: Token | None, opened: Token | None, id: str, forms: str, problem: Unexpected) -> SpecError:
    if before is None:
        wanted = "an extent" if id == "bad-extent" else "a length"
        return SpecError.at(id, f"nothing is said here; {wanted} is wanted", text.span, change=forms)
    if opened is not None and "CLOSE" in problem.expected:
        return SpecError.at(id, "this bracket is never closed", text.place(opened.start, opened.end), label="opened here")
    last = text.place(before.start, before.end)
    if "TO" in problem.expected or "EVENLY" in problem.expected:
        return SpecError.at(
            id, "this says one end of the extent only", text.place(0, before.end), label="where does it go to?", change=forms
        )
    said = text[before.start : before.end]
    return SpecError.at(id, f"something is missing after `{said}`", last, label="and then?", change=forms)


def _closed(tokens: list[Token], opened: int) -> bool:
    depth = 0
    for token in tokens[opened:]:
        depth += {"OPEN": 1, "CLOSE": -1}.get(token.kind, 0)
        if depth == 0:
            return True
    return False
