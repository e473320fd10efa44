"""Compile a furniture spec into checked solids, drawings and files to cut from."""

__version__ = "0.1.0"
