"""Derivations of the report: trees of reasons as one table, shared reasons once."""

from __future__ import annotations

from typing import Any, TypeAlias

from build123.exports.figures import figure
from build123.exports.report_places import Places
from build123.model.why import Why

Key: TypeAlias = "tuple[str, float, str, tuple[int, ...], str, str, str]"


class Reasons:
    """The table as it grows. An entry's inputs stand before it, so that a reader can go through it once."""

    def __init__(self, places: Places) -> None:
        self.table: list[dict[str, Any]] = []
        self._places = places
        self._of_key: dict[Key, int] = {}
        self._of_id: dict[int, int] = {}
        self._kept: list[Why] = []

    def index(self, why: Why) -> int:
        """Where a reason stands in the table; put there with all its inputs when it is new."""
        waiting = [why]
        while waiting:
            one = waiting[-1]
            absent = [] if id(one) in self._of_id else [cause for cause in one.of if id(cause) not in self._of_id]
            if absent:
                waiting.extend(reversed(absent))
                continue
            waiting.pop()
            if id(one) not in self._of_id:
                self._add(one)
        return self._of_id[id(why)]

    def _add(self, why: Why) -> None:
        of = tuple(self._of_id[id(cause)] for cause in why.of)
        key = (why.what, why.value, why.how, of, str(why.span or ""), why.default, why.kind.value)
        if key not in self._of_key:
            self._of_key[key] = len(self.table)
            self.table.append(
                {
                    "what": why.what,
                    "value": figure(why.value),
                    "kind": why.kind.value,
                    "how": why.how,
                    "of": list(of),
                    "default": why.default,
                    "place": self._places.of(why.span),
                }
            )
        # An id is only good as long as its object lives.
        self._kept.append(why)
        self._of_id[id(why)] = self._of_key[key]
