"""The command line: the only room that prints, exits and reads the clock."""

from build123.cli.run import main

__all__ = ["main"]
