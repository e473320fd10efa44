"""Checks on the assembled solids: one file a check, found by itself."""
