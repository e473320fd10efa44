"""`new`: a first spec from the gallery."""

from __future__ import annotations

import difflib
import json
import re
import sys
from pathlib import Path
from typing import Final

import build123
from build123.cli.run import OK, USAGE
from build123.model.slugs import slug
from build123.problem.visible import visible

FIRST: Final = "wall-rack"
"""The easiest piece of the gallery to read."""

_PIECE: Final = re.compile(r"^(piece:[ \t]*)[^#\n]*?([ \t]*(?:#.*)?)$", re.MULTILINE)
_PLAIN: Final = re.compile(r"[A-Za-z][A-Za-z0-9 _-]*[A-Za-z0-9]")
_GUESSED: Final = frozenset({"true", "false", "yes", "no", "on", "off", "null"})


def gallery() -> dict[str, Path]:
    """The pieces of the gallery by name: those of the installed package, or of the repository."""
    package = Path(build123.__file__).parent
    for folder in (package / "gallery", package.parent / "specs"):
        found = {path.stem: path for path in sorted(folder.glob("*.yaml"))}
        if found:
            return found
    return {}


def start_spec(name: str, start: str) -> int:
    """Write a spec called `name` that begins as a piece of the gallery. An existing file is never touched."""
    pieces = gallery()
    wanted = start or (FIRST if FIRST in pieces else next(iter(pieces), FIRST))
    chosen = pieces.get(wanted) or pieces.get(slug(wanted))
    if chosen is None:
        near = difflib.get_close_matches(slug(wanted), pieces, 1, 0.5)
        hint = f"did you mean {near[0]!r}? " if near else ""
        return _refuse(
            f"the gallery has no piece {wanted!r}; {hint}it has {', '.join(pieces)}" if pieces else "the gallery is not installed"
        )
    if name.endswith((".yaml", ".yml")):
        path = Path(name)
        title = re.sub(r"[-_\s]+", " ", path.stem).strip().capitalize()
    else:
        path = Path(f"{slug(name, 'piece')}.yaml")
        title = " ".join(name.split())
    if not title:
        return _refuse("a piece needs a name")
    text = named(chosen.read_text(encoding="utf-8"), title)
    try:
        with path.open("x", encoding="utf-8", newline="\n") as stream:
            stream.write(text)
    except FileExistsError:
        return _refuse(f"{path} is there already; it was not touched")
    except OSError as problem:
        return _refuse(f"{path} cannot be written: {problem.strerror or problem}")
    print(f"{path} is a spec that builds as it is, made from {chosen.stem} of the gallery. Next: build123 build {_quoted(path)}")
    return OK


def named(text: str, title: str) -> str:
    """A spec with its first piece called `title`; all else, comments too, stays."""
    plain = _PLAIN.fullmatch(title) and title.lower() not in _GUESSED
    return _PIECE.sub(lambda found: found[1] + (title if plain else json.dumps(title)) + found[2], text, count=1)


def _quoted(path: Path) -> str:
    return f'"{path}"' if " " in str(path) else str(path)


def _refuse(words: str) -> int:
    print(visible(words), file=sys.stderr)
    return USAGE
