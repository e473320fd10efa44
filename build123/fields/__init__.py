"""Lengths, positions and extents: what they say, what they come to and how they are shown.

Import from the modules: `parse` (text to AST), `evaluate` (AST to a value with its reason), `quantity` (values with their
dimension), `show` (values to text), `words` (what may be a name).
"""
