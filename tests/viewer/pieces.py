"""Small specs for the viewer: one with findings to fly to, one that is in order until a solid is moved."""

FIGHTS = """
build123: 1
piece: Tool box that fights
units: mm
sizes: {width: 500, height: 300, depth: 200}
stock:
  ply: {sheet: birch plywood, thickness: 12, spread: 0.2}
  pine: {board: pine, thickness: 20}
parts:
  side: {pair: left and right, stock: ply, x: from 0, y: 0 to depth, z: 0 to height}
  shelf: {stock: ply, x: left side to right side, y: 0 to depth, z: from 100}
  rail: {stock: pine, x: 0 to width, y: from 100, z: 60 to 110}
joints:
  - dado: {of: shelf, in: side, depth: 4}
"""

TRAY = """
build123: 1
piece: Seed tray
units: mm
sizes: {width: 400, depth: 200, height: 300}
stock:
  ply: {sheet: birch plywood, thickness: 18}
parts:
  side: {pair: left and right, stock: ply, x: from 0, y: 0 to depth, z: 0 to height}
  shelf: {stock: ply, x: left side to right side, y: 0 to depth, z: from 100}
joints:
  - dado: {of: shelf, in: side, depth: 6}
"""
