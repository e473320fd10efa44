"""What a finding means, read from the docstring of its check without importing it (nor the kernel, nor numpy).

A docstring has its first line (what is wrong), maybe more about how it is measured, and the sections Why (its last line
"Source: ..."), Change, Bad and Good. The two examples are whole specs; one of them may end in a line
"damage: ...", which names what is done to the solids for what the compiler itself never gets wrong.
"""

from __future__ import annotations

import ast
import pkgutil
import textwrap
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from build123.problem import Severity

SECTIONS = ("Why", "Change", "Bad", "Good")


@dataclass(frozen=True, slots=True)
class Example:
    """A whole spec as text; `damage` is what is then done to its solids, or empty."""

    spec: str
    damage: str = ""


@dataclass(frozen=True, slots=True)
class Explanation:
    """All that is said about one finding. `severity` is the worst that the check reports."""

    id: str
    severity: Severity
    what: str
    more: str
    why: str
    source: str
    change: str
    bad: Example
    good: Example


class BadDocstring(ValueError):
    """A check is not written up as the house asks."""


def ids() -> tuple[str, ...]:
    """The ids of all checks, sorted."""
    return tuple(sorted(_sources()))


@cache
def explain(id: str) -> Explanation:
    """All that is said about a finding. KeyError for an id that no check has, BadDocstring for a missing section."""
    tree = ast.parse(_sources()[id])
    severity = _severity(tree)
    if severity is None:
        raise BadDocstring(f"{id}: find is not decorated with @check(severity=Severity....)")
    return written_up(id, severity, ast.get_docstring(tree) or "")


def written_up(id: str, severity: Severity, docstring: str) -> Explanation:
    """Read one docstring. BadDocstring when a section is missing or empty."""
    what, more, sections = _split(docstring)
    absent = [name for name in SECTIONS if not sections.get(name, "").strip()]
    if not what:
        absent.insert(0, "the first line")
    why, mark, source = sections.get("Why", "").rpartition("Source:")
    if not mark or not source.strip():
        absent.append("Source")
    if absent:
        raise BadDocstring(f"{id}: the docstring lacks {', '.join(absent)}")
    return Explanation(
        id,
        severity,
        what,
        more,
        _line(why),
        _line(source),
        _line(sections["Change"]),
        _example(sections["Bad"]),
        _example(sections["Good"]),
    )


def _split(docstring: str) -> tuple[str, str, dict[str, str]]:
    first, _, rest = docstring.strip().partition("\n")
    more: list[str] = []
    sections: dict[str, list[str]] = {}
    current = more
    for line in rest.split("\n"):
        if line in SECTIONS:
            current = sections.setdefault(line, [])
        else:
            current.append(line)
    return first.strip(), _line("\n".join(more)), {name: textwrap.dedent("\n".join(lines)).strip("\n") for name, lines in sections.items()}


def _line(text: str) -> str:
    return " ".join(text.split())


def _example(block: str) -> Example:
    lines = block.strip("\n").split("\n")
    damage = ""
    if lines[-1].startswith("damage:"):
        damage = lines.pop().partition(":")[2].strip()
    return Example("\n".join(lines).rstrip() + "\n", damage)


@cache
def _sources() -> dict[str, str]:
    """The text of every module of this room that holds a check, by id."""
    room = files("build123.checks")
    names = [module.name for module in pkgutil.iter_modules([str(room)])]
    texts = {name.replace("_", "-"): (room / f"{name}.py").read_text(encoding="utf-8") for name in names}
    return {id: text for id, text in texts.items() if "\n@check(" in text}


def _severity(tree: ast.Module) -> Severity | None:
    for node in tree.body:
        if isinstance(node, ast.FunctionDef) and node.name == "find":
            for mark in node.decorator_list:
                if isinstance(mark, ast.Call) and isinstance(mark.func, ast.Name) and mark.func.id == "check":
                    for word in mark.keywords:
                        if word.arg == "severity" and isinstance(word.value, ast.Attribute):
                            return Severity[word.value.attr]
    return None
