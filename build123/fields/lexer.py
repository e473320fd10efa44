"""Tokens of a length or a placement. Names hold spaces, so at each word the longest declared name wins."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from itertools import islice
from typing import Final

from build123.fields.ast import Names, Unit
from build123.fields.literal import is_number, plain_signs, read_literal
from build123.fields.words import FACES, GRAMMAR, UNITS, did_you_mean
from build123.problem import SpecError, Text

CHARACTERS: Final = 400
NESTING: Final = 30

_SIGNS: Final = {"+": "PLUS", "-": "MINUS", "*": "TIMES", "/": "OVER", "(": "OPEN", ")": "CLOSE"}
_WORD = re.compile(r"\w+")
_SPACES = re.compile(r"\s+")
_OF = re.compile(r"\s+of\s+")
_RUN = re.compile(r"[\w.'-]+")
_GLUED = re.compile(r"[\w-]+-$")
_RUN_ENDS = frozenset({"to", "for", "evenly"})


@dataclass(frozen=True, slots=True)
class Token:
    """One word, name, number or sign with its offsets in the text. `name` is the name as declared."""

    kind: str
    start: int
    end: int
    name: str = ""
    value: Fraction | None = None
    unit: Unit | None = None


class _Index:
    """Declared names, to be found in a text whatever the spaces between their words."""

    def __init__(self, names: Names) -> None:
        self._declared = {" ".join(name.split()): name for name in sorted(names.values | names.bodies)}
        self._words = max((len(_WORD.findall(name)) for name in self._declared), default=0)

    def longest(self, text: str, at: int) -> tuple[str, int] | None:
        """The longest name of whole words that starts at `at`, and where it ends."""
        ends = [word.end() for word in islice(_WORD.finditer(text, at), self._words)]
        for end in reversed(ends):
            name = self._declared.get(" ".join(text[at:end].split()))
            if name is not None:
                return name, end
        return None


@lru_cache(maxsize=256)
def _index(names: Names) -> _Index:
    return _Index(names)


@dataclass
class Lexer:
    """Reads one text. `wanted` says what a name may be here, for the error about one that is not known."""

    text: Text
    names: Names
    wanted: str

    def __post_init__(self) -> None:
        self._plain = plain_signs(self.text)
        self._find = _index(self.names)

    def tokens(self) -> list[Token]:
        """All tokens. Raises SpecError: bad-length, unknown-unit, unknown-name, division-by-zero."""
        if len(self.text) > CHARACTERS:
            raise SpecError.at("bad-length", f"this has {len(self.text)} characters; {CHARACTERS} are read", self.text.place(0, CHARACTERS),
                               change="name a part of it under `sizes`")  # fmt: skip
        found: list[Token] = []
        at = depth = 0
        while at < len(self._plain):
            if self._plain[at].isspace():
                at += 1
                continue
            token = self._token(at, found[-1].kind if found else "")
            depth = depth + 1 if token.kind == "OPEN" or (token.kind == "MINUS" and _no_left(found)) else depth
            depth = max(0, depth - 1) if token.kind == "CLOSE" else depth
            if depth > NESTING:
                raise SpecError.at(
                    "bad-length", f"brackets and minus signs are nested more than {NESTING} deep", self.text.place(at, token.end)
                )
            found.append(token)
            at = token.end
        return found

    def _token(self, at: int, before: str) -> Token:
        character = self._plain[at]
        if self._plain.startswith("**", at) or character in "^²³":
            width = 2 if character == "*" else 1
            raise SpecError.at(
                "bad-length", "a power is not read in a length", self.text.place(at, at + width), label="a power", change="write it out"
            )
        if is_number(self._plain, at):
            return self._number(at, before)
        if character in _SIGNS:
            return Token(_SIGNS[character], at, at + 1)
        if character.isalpha() or character == "_":
            return self._word(at, before)
        raise SpecError.at("bad-length", f"`{self.text[at]}` does not belong in a length", self.text.place(at, at + 1), label="here")

    def _number(self, at: int, before: str) -> Token:
        number = read_literal(self._plain, at, self.text, self._name_end)
        if number.fraction and before == "OVER":
            here, said = self.text.place(at, number.end), self.text[at : number.end]
            raise SpecError.at("bad-length", "a fraction right after a division sign can be read in two ways", here,
                               label="which division comes first?", change=f"put brackets around it: ({said})")  # fmt: skip
        return Token("NUMBER", at, number.end, value=number.value, unit=number.unit)

    def _name_end(self, at: int) -> int:
        declared = self._find.longest(self._plain, at)
        return declared[1] if declared else at

    def _word(self, at: int, before: str) -> Token:
        first = _WORD.match(self._plain, at)
        assert first is not None
        word = first[0]
        declared = self._find.longest(self._plain, at)
        of = _OF.match(self._plain, first.end())
        if word in FACES and of and (declared is None or declared[1] <= first.end()):
            part = self._find.longest(self._plain, of.end())
            if part is None:
                raise self._unknown(of.end(), "a part")
            return Token("FACE", at, first.end(), word)
        if declared is not None:
            name, end = declared
            self._refuse_longer(at, end)
            return Token("VALUE" if name in self.names.values else "BODY", at, end, name)
        if word in GRAMMAR:
            return Token(GRAMMAR[word], at, first.end(), word)
        raise self._unknown(at, self.wanted)

    def _refuse_longer(self, at: int, end: int) -> None:
        """A name is followed by a sign, a grammar word or nothing; else a longer name was meant that is not declared."""
        space = _SPACES.match(self._plain, end)
        following = _RUN.match(self._plain, space.end()) if space else _RUN.match(self._plain, end)
        if following is None or following[0].startswith("-") or (space is None and not following[0].startswith(".")):
            return
        if following[0] in UNITS:
            raise SpecError.at("bad-length", f"`{following[0]}` goes with a number; `{self.text[at:end]}` has its own unit",
                               self.text.place(following.start(), following.end()), label="no unit here")  # fmt: skip
        if following[0] not in GRAMMAR:
            raise self._unknown(at, self.wanted)

    def _unknown(self, at: int, wanted: str) -> SpecError:
        words: list[re.Match[str]] = []
        while True:
            space = _SPACES.match(self._plain, words[-1].end()) if words else None
            start = space.end() if space else at
            word = _RUN.match(self._plain, start) if space or not words else None
            if word is None or word[0] in _RUN_ENDS or word[0].startswith("-"):
                break
            words.append(word)
        end = words[-1].end() if words else at + 1
        known = (
            self.names.bodies if wanted == "a part" else self.names.values if wanted == "a size" else self.names.values | self.names.bodies
        )
        glued = _GLUED.search(self._plain, 0, at)
        near = did_you_mean(self.text[glued.start() : end], (name for name in known if "-" in name)) if glued else None
        if near and glued:
            at = glued.start()
        near = near or did_you_mean(self.text[at:end], known)
        if near is None and len(words) > 1:
            near = did_you_mean(words[0][0], [*known, *GRAMMAR])
            end = words[0].end() if near else end
        name = " ".join(self.text[at:end].split())
        near = near or did_you_mean(name, GRAMMAR)
        change = f"did you mean `{near}`?" if near else ""
        if name in FACES:
            change = f"say whose: `{name} of PART`"
        message = f"nothing is named `{name}`; {wanted} is wanted here"
        return SpecError.at("unknown-name", message, self.text.place(at, end), label="unknown name", change=change)


def _no_left(found: list[Token]) -> bool:
    return not found or found[-1].kind not in {"NUMBER", "VALUE", "BODY", "CLOSE", "FLOOR"}
