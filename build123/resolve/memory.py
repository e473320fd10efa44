"""Values that are made when first asked for, kept, and never in a ring."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import TypeVar

from build123.problem import Span, SpecError

T = TypeVar("T")


@dataclass
class Memory:
    """Asking again gives the same value, or raises the same SpecError; a ring of questions is an error that shows it."""

    _kept: dict[object, object] = field(default_factory=dict, init=False)
    _open: list[tuple[object, str, Span | None]] = field(default_factory=list, init=False)

    @contextmanager
    def _asking(self, key: object, label: str, span: Span | None) -> Iterator[None]:
        for n, (other, _, _) in enumerate(self._open):
            if other == key:
                ring = self._open[n:]
                shown = " -> ".join([f"{text} (line {s.line + 1})" if s else text for _, text, s in ring] + [ring[0][1]])
                spans = [s for _, _, s in ring]
                raise SpecError.at("cycle", f"these depend on one another in a ring: {shown}", *spans, change="say one of them by itself")
        if len(self._open) > 900:
            raise SpecError.at("too-deep", "this chain of positions is longer than 900", span)
        self._open.append((key, label, span))
        try:
            yield
        finally:
            self._open.pop()

    def _keep(self, key: object, label: str, span: Span | None, make: Callable[[], T]) -> T:
        """Make a value once; an error is kept too."""
        if key in self._kept:
            kept = self._kept[key]
            if isinstance(kept, SpecError):
                raise kept
            return kept  # type: ignore[return-value]
        with self._asking(key, label, span):
            try:
                made = make()
            except SpecError as error:
                self._kept[key] = error
                raise
        self._kept[key] = made
        return made
