"""Sheets to cut from: one drawing vocabulary, filled from the features of a part, with renderers on top.

`sheet.part_sheets` makes them, `svg.render` writes one. Nothing here looks at a solid.
"""
