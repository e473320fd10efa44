"""The commands with their options. What they do is loaded when they run, so that `--help` stays quick."""

from __future__ import annotations

from enum import Enum
from pathlib import Path
from typing import Annotated

import typer

from build123 import __version__

app = typer.Typer(
    name="build123",
    help="Compile a furniture spec into checked solids, drawings and files to cut from.",
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    add_completion=False,
    no_args_is_help=True,
    context_settings={"help_option_names": ["-h", "--help"]},
    epilog="Exit codes: 0 no errors, 1 the checks found errors, 2 the spec or the command is wrong, 3 a fault of ours.",
)


class Format(str, Enum):
    """How findings are printed."""

    text = "text"
    json = "json"


Specs = Annotated[list[Path], typer.Argument(metavar="SPEC", help="Spec files; each may hold several pieces.", show_default=False)]
Spec = Annotated[Path, typer.Argument(metavar="SPEC", help="A spec file.", show_default=False)]
Sizes = Annotated[list[str] | None, typer.Option("--set", metavar="SIZE=VALUE", help="Replace a named size; may be given again.")]
Formats = Annotated[Format, typer.Option("--format", help="How findings are printed: for a person, or as a list for programs.")]


def _version(asked: bool) -> None:
    if asked:
        print(f"build123 {__version__}")
        raise typer.Exit(0)


@app.callback()
def _options(
    version: Annotated[bool, typer.Option("--version", callback=_version, is_eager=True, help="Show the version.")] = False,
) -> None:
    pass


@app.command()
def build(
    specs: Specs,
    out: Annotated[Path, typer.Option("-o", "--out", metavar="FOLDER", help="Each piece gets a folder of its own in here.")] = Path("out"),
    sizes: Sizes = None,
    format: Formats = Format.text,
    hand_over: Annotated[
        bool, typer.Option("--hand-over", help="Pack cut files, drawings and the parts' STEP into hand-over.zip as well.")
    ] = False,
) -> int:
    """Compile and check each piece, and write its models, drawings and lists."""
    from build123.cli.building import build_all

    return build_all(specs, pairs(sizes), out, as_json=format is Format.json, packed=hand_over)


@app.command()
def dryfit(specs: Specs, sizes: Sizes = None, format: Formats = Format.text) -> int:
    """Compile and check each piece; write nothing."""
    from build123.cli.building import build_all

    return build_all(specs, pairs(sizes), None, as_json=format is Format.json)


@app.command()
def why(
    spec: Spec,
    of: Annotated[
        str, typer.Argument(metavar="PART[.SIZE]", help="A part, one of its sizes or features, or a named size.", show_default=False)
    ],
    sizes: Sizes = None,
) -> int:
    """Show where the sizes of a part come from, down to lines of the spec."""
    from build123.cli.why import explain_size

    return explain_size(spec, of, pairs(sizes))


@app.command()
def preview(
    spec: Spec,
    port: Annotated[int, typer.Option("--port", min=0, max=65535, metavar="N", help="The port on this machine; 0 takes a free one.")] = 0,
    no_open: Annotated[bool, typer.Option("--no-open", help="Do not open the browser.")] = False,
) -> int:
    """Show the piece in the browser, and again whenever the spec is saved."""
    from build123.cli.preview import preview_spec

    return preview_spec(spec, port, open_browser=not no_open)


@app.command()
def new(
    name: Annotated[str, typer.Argument(metavar="NAME", help="What the piece is called, or a file name.", show_default=False)],
    start: Annotated[str, typer.Option("--from", metavar="GALLERY-PIECE", help="The piece of the gallery to start from.")] = "",
) -> int:
    """Start a spec from a piece of the gallery, with its comments."""
    from build123.cli.new import start_spec

    return start_spec(name, start)


@app.command()
def schema(
    spec: Annotated[
        Path | None, typer.Argument(metavar="[SPEC]", help="Adds the part and size names of this spec.", show_default=False)
    ] = None,
) -> int:
    """Print the JSON Schema of the spec, for completion in an editor."""
    from build123.cli.schema import print_schema

    return print_schema(spec)


@app.command()
def explain(id: Annotated[str, typer.Argument(metavar="ID", help="As in `error[ID]`.", show_default=False)]) -> int:
    """Say what a finding means, with a bad and a good example."""
    from build123.cli.explain import explain_finding

    return explain_finding(id)


def pairs(sizes: list[str] | None) -> dict[str, str]:
    """`SIZE=VALUE` options as a mapping. BadParameter for one without a name or a value, or said twice."""
    found: dict[str, str] = {}
    for written in sizes or []:
        name, _, value = (word.strip() for word in written.partition("="))
        if not name or not value:
            raise typer.BadParameter(f"--set wants SIZE=VALUE, as in --set 'width=900 mm'; this is {written!r}")
        if name in found:
            raise typer.BadParameter(f"--set gives {name!r} twice")
        found[name] = value
    return found
