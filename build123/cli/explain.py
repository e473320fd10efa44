"""`explain`: what a finding means."""

from __future__ import annotations

import difflib
import sys
import textwrap
from collections.abc import Iterator

from build123.checks import docs
from build123.cli.run import OK, USAGE
from build123.problem.spec_errors import spec_errors
from build123.problem.visible import visible

COLUMNS = 100


def explain_finding(id: str) -> int:
    """Print all that is said about a finding."""
    id = id.strip().removeprefix("error[").removeprefix("warning[").removeprefix("note[").rstrip("]").lower()
    errors = spec_errors()
    known = [*docs.ids(), *errors]
    if id in docs.ids():
        print("\n".join(_check(docs.explain(id))))
    elif id in errors:
        said = errors[id]
        blocks = [_paragraph("", said.what), _paragraph("change: ", said.change)]
        print(f"{id} ({said.severity})\n\n" + "\n\n".join(blocks))
        for title, example in (("bad", said.bad), ("good", said.good)):
            if example:
                print(f"\n{title}:\n{textwrap.indent(example, '    ')}")
    else:
        near = difflib.get_close_matches(id, known, 3, 0.5)
        hint = f"; did you mean {' or '.join(near)}?" if near else ". There are:\n" + _paragraph("", ", ".join(sorted(known)))
        print(visible(f"there is no finding {id!r}") + hint, file=sys.stderr)
        return USAGE
    return OK


def _check(said: docs.Explanation) -> Iterator[str]:
    yield f"{said.id} ({said.severity.name})\n"
    yield _paragraph("", said.what) + "\n"
    if said.more:
        yield _paragraph("", said.more) + "\n"
    yield _paragraph("why: ", f"{said.why} (source: {said.source})") + "\n"
    yield _paragraph("change: ", said.change) + "\n"
    for title, example in (("bad", said.bad), ("good", said.good)):
        yield f"{title}:\n{textwrap.indent(example.spec, '    ')}"
        if example.damage:
            yield f"    and then, on the solids: {example.damage}\n"


def _paragraph(start: str, words: str) -> str:
    return textwrap.fill(words, COLUMNS, initial_indent=start, subsequent_indent=" " * len(start), break_long_words=False)
