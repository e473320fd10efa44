"""From YAML events to a tree, within bounds; nothing is guessed from a value's looks."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field

import yaml

from build123.problem import Finding, Findings, Place, Severity, Source, Span, Text
from build123.text.bounds import DEPTH, FINDINGS, NODES, SCALAR_CHARACTERS
from build123.text.nodes import Items, Node, Table

UNSEEN = re.compile("[^\t\n\x20-\x7e\xa0-\u2027\u202f-\u2065\u206a-\ud7ff\ue000-\ufefe\uff00-\ufffd\U00010000-\U0010ffff]")
"""Control characters, line ends other than LF (YAML would count them as lines), and marks that reorder what is seen."""

_MANY = 5
"""So many places of one kind are told; the rest is counted."""


class Stop(Exception):
    """A bound is passed: the rest of the file is not read."""


@dataclass
class _Open:
    """A table or a list that is being filled. `key` waits for its value; None where a key comes next."""

    into: Table | Items
    flow: bool
    key: Text | None = None
    bad_key: bool = False
    keys: dict[str, Text] = field(default_factory=dict)


@dataclass
class Builder:
    """Takes events one at a time, on a stack of its own, so that depth costs no recursion.

    `line` is where the events' own line 0 lies in the source.
    """

    source: Source
    line: int = 0
    findings: Findings = field(default_factory=Findings)
    tables: list[Table] = field(default_factory=list)
    nodes: int = 0
    _stack: list[_Open] = field(default_factory=list)
    _aliases: list[Span] = field(default_factory=list)
    _tags: list[Span] = field(default_factory=list)
    _left_out: int = 0
    _root: Node | None = None

    def span(self, event: yaml.Event) -> Span:
        """The stretch between an event's marks, which every event of a parser has."""
        start, end = event.start_mark, event.end_mark
        assert start is not None and end is not None
        return Span(self.source, start.line + self.line, start.column, end.line + self.line, end.column)

    def error(self, id: str, message: str, *spans: Span | None, label: str = "", change: str = "") -> None:
        """Keep an error, or count it where there are many already."""
        if len(self.findings) >= FINDINGS:
            self._left_out += 1
        else:
            self.findings.error(id, message, *spans, label=label, change=change)

    def read(self, events: Iterator[yaml.Event]) -> None:
        """Take all events; raises `Stop` with its finding kept where a bound is passed."""
        self._stack.clear()
        self._root = None
        for event in events:
            match event:
                case yaml.ScalarEvent():
                    self._scalar(event)
                case yaml.MappingStartEvent() | yaml.SequenceStartEvent():
                    self._start(event)
                case yaml.MappingEndEvent() | yaml.SequenceEndEvent():
                    self._end(event)
                case yaml.AliasEvent():
                    self._put(Text("", self._count(event)))
                case yaml.DocumentEndEvent():
                    self._document()
                case _:
                    pass

    def close(self) -> None:
        """Report what was gathered over the whole file."""
        if self._aliases:
            self._several(
                "yaml-alias", "`&`, `*` and `<<` (YAML's anchors, aliases and merge keys) are not read", self._aliases,
                "say it once by name instead: a length under `sizes`, equal parts as a run or a pair, a group of parts as an assembly; "
                "put quotes around text that starts with one of these signs",
            )  # fmt: skip
        if self._tags:
            self._several("yaml-tag", "`!` (a YAML tag) is not read: the field decides how a value is taken", self._tags,
                          "take the tag out; put quotes around text that starts with `!`")  # fmt: skip
        if self._left_out:
            self.findings.add(Finding("findings-left-out", Severity.note, f"{self._left_out} more of the same in this file are not shown"))

    def _several(self, id: str, message: str, spans: list[Span], change: str) -> None:
        if len(spans) > 1:
            message += f" ({len(spans)} places)"
        self.findings.add(Finding(id, Severity.error, message, tuple(Place(s) for s in spans[:_MANY]), change=change))

    def _count(self, event: yaml.NodeEvent) -> Span:
        span = self.span(event)
        self.nodes += 1
        if self.nodes > NODES:
            self.findings.error("too-many-nodes", f"the file holds more than {NODES:,} values", span,
                       change="write equal parts as runs, pairs or assemblies, or make two files of it")  # fmt: skip
            raise Stop
        if event.anchor is not None:
            self._aliases.append(span)
        if getattr(event, "tag", None) is not None:
            self._tags.append(span)
        return span

    def _scalar(self, event: yaml.ScalarEvent) -> None:
        span = self._count(event)
        value: str = event.value
        if len(value) > SCALAR_CHARACTERS:
            self.error("scalar-too-long", f"this text has {len(value):,} characters; {SCALAR_CHARACTERS:,} are read", span)
            value = value[:SCALAR_CHARACTERS]
        hidden = UNSEEN.search(value)
        if hidden:
            self.error("control-character", f"this text holds the character U+{ord(hidden[0]):04X}, which cannot be seen", span,
                       change="take the escape out")  # fmt: skip
        self._put(Text(value, span, plain=not event.style))

    def _start(self, event: yaml.CollectionStartEvent) -> None:
        span = self._count(event)
        if len(self._stack) >= DEPTH:
            self.findings.error(
                "too-deep", f"values are nested more than {DEPTH} deep", span, change="close a bracket, or take a level out"
            )
            raise Stop
        into = Table(span) if isinstance(event, yaml.MappingStartEvent) else Items(span)
        if self._key_wanted():
            self.error("yaml-key", "a key is one plain word or name; here it is a list or a mapping", span,
                       change="write the key as text; put quotes around a value that starts with `[` or `{`")  # fmt: skip
        self._stack.append(_Open(into, bool(event.flow_style)))

    def _end(self, event: yaml.CollectionEndEvent) -> None:
        done = self._stack.pop()
        start = done.into.span
        if done.flow and start is not None:
            end = self.span(event)
            done.into.span = Span(self.source, start.line, start.column, end.end_line, end.end_column)
        self._put(done.into)

    def _key_wanted(self) -> bool:
        return bool(self._stack) and isinstance(self._stack[-1].into, Table) and self._stack[-1].key is None and not self._stack[-1].bad_key

    def _put(self, node: Node) -> None:
        if not self._stack:
            self._root = node
            return
        top = self._stack[-1]
        if isinstance(top.into, Items):
            top.into.append(node)
        elif top.bad_key:
            top.bad_key = False
        elif top.key is None:
            self._key(top, node)
            return
        else:
            top.into.setdefault(top.key, node)
            top.key = None
        _reach(top.into, node.span)

    def _key(self, top: _Open, node: Node) -> None:
        if not isinstance(node, Text):
            top.bad_key = True
            return
        top.key = node
        first = top.keys.setdefault(node, node)
        if node.span is None:
            return
        if node == "<<" and node.plain:
            self._aliases.append(node.span)
        elif not node.strip() or "\n" in node:
            if not self._aliases or self._aliases[-1] != node.span:
                self.error("yaml-key", "a key is missing before this colon" if not node.strip() else "a key stands on one line", node.span)
        elif first is not node and first.span is not None:
            self.error("duplicate-key", f"`{node}` stands here twice; the first is on line {first.span.line + 1}", node.span, first.span,
                       label="second", change="keep one of them")  # fmt: skip

    def _document(self) -> None:
        node, self._root = self._root, None
        if isinstance(node, Table):
            self.tables.append(node)
        elif isinstance(node, Items) or node:
            found = "a list" if isinstance(node, Items) else "a single value"
            change = "start with `build123: 1`, then `piece: NAME`: each key on its own line, with a space after its colon"
            self.error("not-a-mapping", f"a spec is a mapping of keys to values; this is {found}", node.span, change=change)


def _reach(into: Table | Items, last: Span | None) -> None:
    """Stretch a block's span to the end of its last value: the parser's own end mark lies past the blank lines after it."""
    if into.span is not None and last is not None:
        into.span = Span(into.span.source, into.span.line, into.span.column, last.end_line, last.end_column)
