"""The grammar, and the LALR parser made of it on first use."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cache
from typing import Any, Final, Literal

from build123.fields.lexer import Token

Start = Literal["value", "position", "extent"]

# One production a line: what it makes, of what, and the action that makes it. Capitals are tokens.
GRAMMAR: Final = """
value: sum                                             -> same
position: sum                                          -> same
position: LEVEL sum                                    -> level
extent: position TO position                           -> between
extent: FROM position length                           -> starting
extent: UP TO position length                          -> ending
extent: CENTRED ON position length                     -> centred
extent: sum EVENLY position TO position length         -> evenly
extent: SAME AS BODY                                   -> same_as
extent: EACH GAP OF BODY                               -> each_gap
length:                                                -> nothing
length: FOR sum                                        -> second
sum: product                                           -> same
sum: sum PLUS product                                  -> operation
sum: sum MINUS product                                 -> operation
product: unary                                         -> same
product: product TIMES unary                           -> operation
product: product OVER unary                            -> operation
unary: atom                                            -> same
unary: MINUS unary                                     -> negative
atom: NUMBER                                           -> number
atom: VALUE                                            -> name
atom: BODY                                             -> body
atom: FACE OF BODY                                     -> face
atom: OUTSIDE BODY                                     -> outside
atom: FLOOR                                            -> floor
atom: OPEN sum CLOSE                                   -> bracket
"""


@dataclass(frozen=True, slots=True)
class Branch:
    """One production found in the text; `of` has what its symbols became, `start` and `end` are offsets in the text."""

    action: str
    of: tuple[Branch | Token, ...]
    start: int
    end: int


class Unexpected(Exception):
    """A token that no production allows. `at` is its index, the count of tokens where the text ends too early."""

    def __init__(self, at: int, expected: frozenset[str]) -> None:
        super().__init__(at)
        self.at = at
        self.expected = expected


@dataclass
class _Ready:
    """What Lark takes for a lexer: hands on tokens that are there already."""

    leaves: list[Any]

    def lex(self, state: object) -> Iterator[Any]:
        yield from self.leaves


@cache
def parser() -> Any:
    """Lark's LALR parser of `GRAMMAR`. Lark is imported here, so that what parses no length does not pay for it.

    The parser is built from rules: to read them from Lark's own grammar language takes longer than all the rest.
    """
    from lark.common import ParserConf
    from lark.grammar import NonTerminal, Rule, Terminal
    from lark.parsers.lalr_parser import LALR_Parser

    callbacks: dict[Any, Callable[[list[Any]], Branch]] = {}
    for order, line in enumerate(GRAMMAR.strip().splitlines()):
        origin, rest = line.split(":")
        symbols, action = rest.split("->")
        expansion = [Terminal(word) if word.isupper() else NonTerminal(word) for word in symbols.split()]
        callbacks[Rule(NonTerminal(origin), expansion, order)] = _branch(action.strip())
    return LALR_Parser(ParserConf(list(callbacks), callbacks, ["value", "position", "extent"]))


def _branch(action: str) -> Callable[[list[Any]], Branch]:
    def make(symbols: list[Any]) -> Branch:
        if action == "same":
            only: Branch = symbols[0]
            return only
        of = tuple(s if isinstance(s, Branch) else s.value for s in symbols)
        return Branch(action, of, of[0].start if of else -1, max((s.end for s in of), default=-1))

    return make


def parse_tokens(tokens: list[Token], start: Start) -> Branch:
    """The tree of the tokens. Raises `Unexpected`."""
    table = parser()
    from lark import Token as Leaf
    from lark import UnexpectedToken

    leaves = [Leaf(token.kind, "", start_pos=index) for index, token in enumerate(tokens)]
    for leaf, token in zip(leaves, tokens, strict=True):
        leaf.value = token
    try:
        found: Branch = table.parse(_Ready(leaves), start)
    except UnexpectedToken as problem:
        at = len(tokens) if problem.token.type == "$END" else problem.token.start_pos
        raise Unexpected(at or 0, frozenset(problem.expected)) from None
    return found
