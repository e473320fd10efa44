"""The piece and its placed assemblies as a tree of scopes, with pairs and runs written out part by part."""

from __future__ import annotations

import itertools
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field

from build123.fields.words import suggestion
from build123.problem import Findings, SpecError, Text
from build123.spec.entries import PartEntry, PlaceEntry
from build123.spec.piece import Group

MOST_PARTS = 2000
"""Bound on the parts of a piece, so that a slip of the keyboard cannot eat the machine."""
MOST_SCOPES = 500
MOST_NESTING = 8

Flip = frozenset[int]
"""The axes (0 x, 1 y) that a hand is mirrored in."""

HANDS: dict[str, tuple[tuple[str, Flip], ...]] = {
    "left and right": (("left", frozenset()), ("right", frozenset({0}))),
    "front and back": (("front", frozenset()), ("back", frozenset({1}))),
    "both": (
        ("front left", frozenset()),
        ("front right", frozenset({0})),
        ("back left", frozenset({1})),
        ("back right", frozenset({0, 1})),
    ),
}


@dataclass(eq=False)
class Declared:
    """One part to be laid out: an entry with its hand and its place in the run. `name` is unique in the piece."""

    name: str
    local: str
    key: Text
    entry: PartEntry
    scope: Scope
    flip: Flip = frozenset()
    index: int | None = None
    base: Declared | None = None


@dataclass(eq=False)
class Scope:
    """A piece or a placed assembly: its entries, and where it stands in the one around it.

    `given` are sizes said by the place instead of the assembly; they are read in the outer scope.
    """

    label: str
    group: Group
    outer: Scope | None = None
    place: PlaceEntry | None = None
    place_key: Text | None = None
    number: int = 0
    given: dict[str, Text] = field(default_factory=dict)
    parts: dict[str, Declared] = field(default_factory=dict)
    groups: dict[str, list[str]] = field(default_factory=dict)
    counts: dict[str, int] = field(default_factory=dict)
    children: list[Scope] = field(default_factory=list)

    @property
    def path(self) -> tuple[str, ...]:
        """The labels of the assemblies, outermost first."""
        return (*self.outer.path, self.label) if self.outer is not None else ()

    def full(self, local: str) -> str:
        """A local name as it is known in the whole piece: "side of cell 2"."""
        return local if self.outer is None else self.outer.full(f"{local} of {self.label}")

    def walk(self) -> Iterator[Scope]:
        """This scope and all within it."""
        yield self
        for child in self.children:
            yield from child.walk()

    def declared(self) -> Iterator[Declared]:
        """All parts of this scope and those within it, in order of the text."""
        for scope in self.walk():
            yield from scope.parts.values()


class Expander:
    """Writes out pairs, runs and placed assemblies. `number` evaluates a count in a scope."""

    def __init__(self, assemblies: dict[Text, Group], number: Callable[[Scope, Text, int, int], int], findings: Findings) -> None:
        self._assemblies = assemblies
        self._number = number
        self._findings = findings
        self._parts = 0
        self._scopes = 0

    def expand(self, scope: Scope, depth: int = 0) -> Scope:
        """Fill a scope with its parts and its placed assemblies."""
        taken: dict[str, Text] = {}
        for key, entry in scope.group.parts.items():
            try:
                self._expand_part(scope, Text(key) if not isinstance(key, Text) else key, entry, taken)
            except SpecError as error:
                self._findings.add(error.finding)
        for key, place in scope.group.place.items():
            try:
                self._expand_place(scope, key if isinstance(key, Text) else Text(key), place, depth)
            except SpecError as error:
                self._findings.add(error.finding)
        return scope

    def _expand_part(self, scope: Scope, key: Text, entry: PartEntry, taken: dict[str, Text]) -> None:
        count = self._count_of(scope, str(key), entry, ())
        hands: tuple[tuple[str, Flip], ...] = HANDS[entry.pair] if entry.pair is not None else (("", frozenset()),)
        if count is not None:
            scope.counts[str(key)] = count
        numbers: list[int | None] = [None] if count is None else list(range(count))
        self._parts += len(hands) * len(numbers)
        if self._parts > MOST_PARTS:
            raise SpecError.at("too-many-parts", f"this piece has more than {MOST_PARTS} parts", key.span)
        for index in numbers:
            base: Declared | None = None
            for hand, flip in hands:
                tail = "" if index is None else f" {index + 1}"
                local = f"{hand} {key}".strip() + tail
                if local in taken:
                    raise SpecError.at("two-of-one-name", f"two parts are called {local!r}", key.span, taken[local].span)
                taken[local] = key
                one = Declared(scope.full(local), local, key, entry, scope, flip, index, base)
                base = base or one
                scope.parts[local] = one
                names = {str(key), f"{key}{tail}", f"{hand} {key}".strip()}
                for word in hand.split():
                    names |= {f"{word} {key}", f"{word} {key}{tail}"}
                for name in names - {local}:
                    scope.groups.setdefault(name, []).append(local)

    def _count_of(self, scope: Scope, key: str, entry: PartEntry, seen: tuple[str, ...]) -> int | None:
        """How many the run has, None for a single part; read from the text, before names are known."""
        counts: list[tuple[int, Text]] = []
        for texts in (entry.x, entry.y, entry.z):
            if len(texts) > 1:
                counts.append((len(texts), texts[0]))
                continue
            text = texts[0]
            found = re.match(r"\s*(.+?)\s*\bevenly\s", text)
            gap = re.match(r"\s*each\s+gap\s+of\s+(.+?)\s*$", text)
            same = re.match(r"\s*same\s+as\s+(.+?)\s*$", text)
            if found:
                count = Text(found.group(1), text.place(found.start(1), found.end(1)), text.plain)
                counts.append((self._number(scope, count, 1, 200), text))
            elif gap or same:
                other = " ".join((gap or same).group(1).split())  # type: ignore[union-attr]
                if other not in scope.group.parts:
                    continue
                if other in seen:
                    raise SpecError.at("cycle", f"{key} and {other} each say that they are placed by the other", text.span)
                entry_there = next(v for k, v in scope.group.parts.items() if k == other)
                there = self._count_of(scope, other, entry_there, (*seen, key))
                if gap:
                    if there is None:
                        raise SpecError.at("bad-extent", f"{other!r} is one part, so it has no gaps", text.span)
                    even = any(" evenly " in f" {t} " for ts in (entry_there.x, entry_there.y, entry_there.z) for t in ts)
                    counts.append((there + 1 if even else there - 1, text))
                elif there is not None:
                    counts.append((there, text))
        for (a, first), (b, second) in itertools.combinations(counts, 2):
            if a != b:
                raise SpecError.at("bad-extent", f"{key!r} is a run of {a} by one extent and of {b} by another", second.span, first.span)
        return counts[0][0] if counts else None

    def _expand_place(self, scope: Scope, key: Text, place: PlaceEntry, depth: int) -> None:
        group = next((g for k, g in self._assemblies.items() if k == place.assembly), None)
        if group is None:
            hint = suggestion(place.assembly, self._assemblies)
            raise SpecError.at("unknown-name", f"there is no assembly {str(place.assembly)!r}{hint}", place.assembly.span)
        if depth >= MOST_NESTING:
            raise SpecError.at("too-deep", f"assemblies stand in one another more than {MOST_NESTING} deep", key.span)
        if (place.count is None) != (place.every is None):
            raise SpecError.at("bad-value", "`count` and `every` go together: how many, and the step from one to the next", key.span)
        count = 1 if place.count is None else self._number(scope, place.count, 1, 200)
        known = {str(name) for name in group.sizes}
        for name in place.sizes or {}:
            if name not in known:
                hint = suggestion(name, known)
                raise SpecError.at(
                    "unknown-name", f"the assembly {place.assembly} has no size {str(name)!r}{hint}", getattr(name, "span", None)
                )
        for number in range(count):
            self._scopes += 1
            if self._scopes > MOST_SCOPES:
                raise SpecError.at("too-many-parts", f"more than {MOST_SCOPES} assemblies are placed", key.span)
            label = str(key) if place.count is None else f"{key} {number + 1}"
            child = Scope(label, group, scope, place, key, number, {str(k): v for k, v in (place.sizes or {}).items()})
            scope.children.append(child)
            self.expand(child, depth + 1)
