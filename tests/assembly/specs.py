"""Pieces that go together in ways worth a look."""

from __future__ import annotations

FRAME = """\
build123: 1
piece: Cold frame light
units: mm
sizes: {width: 500, height: 700}
stock:
  larch: {board: larch, thickness: 30}
  thin: {sheet: birch plywood, thickness: 6}
parts:
  stile: {pair: left and right, stock: larch, x: from 0 for 60, y: from 0, z: 0 to height}
  rail: {stock: larch, x: left stile to right stile, y: from 0, z: [from 0 for 60, up to height for 60]}
  panel: {stock: thin, x: left stile to right stile, y: centred on 15, z: rail 1 to rail 2}
joints:
  - groove: {of: panel, in: [stile, rail], depth: 8, fit: easy}
  - dowels: {of: rail, to: stile, count: 2, ends: 20, diameter: 8}
"""
"""A floating panel in grooves on four sides."""

CLOSED_FRAME = FRAME.replace("joints:", "made up:\n  frame: [stile, rail]\njoints:")
"""The same with the frame glued up first."""

CORNER = """\
build123: 1
piece: Corner of three boards
units: mm
stock: {ply: {sheet: birch plywood, thickness: 18}}
parts:
  base: {stock: ply, x: 0 to side, y: 0 to 318, z: from 0}
  side: {stock: ply, x: from 400, y: 0 to back, z: -60 to 300}
  back: {stock: ply, x: 0 to 460, y: from 300, z: base to 300}
  ledge: {stock: ply, x: 100 to 300, y: 50 to 150, z: from 18}
joints:
  - dowels: {of: base, to: side, count: 2}
  - dowels: {of: side, to: back, count: 2}
  - dowels: {of: back, to: base, count: 2}
  - glued: {of: ledge, to: base}
"""
"""Three boards, dowelled to one another along three axes: each pair parts along one, all three along none. The ledge is innocent."""

CASE = """\
build123: 1
piece: Case with two nests
units: mm
sizes: {width: 700, height: 900, depth: 250}
stock:
  ply: {sheet: birch plywood, thickness: 18}
parts:
  side: {pair: left and right, stock: ply, x: from 0, y: 0 to depth, z: 0 to height}
  shelf: {stock: ply, x: left side to right side, y: 0 to depth, z: [from 60, from 300, from 540, up to height - 20]}
  low divider: {stock: ply, x: centred on 300, y: 0 to depth, z: shelf 1 to shelf 2}
  high divider: {stock: ply, x: centred on 400, y: 0 to depth, z: shelf 3 to shelf 4}
joints:
  - dado: {of: shelf, in: side, depth: 6, stop: 10 from front}
  - dado: {of: low divider, in: [shelf 1, shelf 2], depth: 5}
  - dado: {of: high divider, in: [shelf 3, shelf 4], depth: 5}
"""
"""Dividers between shelves that are themselves let into sides."""

SIEVE = """\
build123: 1
piece: Sieve
units: mm
sizes: {width: 400, depth: 300, height: 80}
stock:
  pine: {board: pine, thickness: 18}
  thin: {sheet: birch plywood, thickness: 6}
parts:
  front: {stock: pine, x: 0 to right, y: from 0, z: 0 to height}
  right: {stock: pine, x: up to width, y: 0 to back, z: 0 to height}
  back: {stock: pine, x: left to width, y: up to depth, z: 0 to height}
  left: {stock: pine, x: from 0, y: front to depth, z: 0 to height}
  bottom: {stock: thin, x: left to right, y: front to back, z: from 20}
joints:
  - groove: {of: bottom, in: [front, right, back, left], depth: 5}
  - dowels: {of: front, to: right, count: 2, diameter: 6, length: 30, ends: 15}
  - dowels: {of: right, to: back, count: 2, diameter: 6, length: 30, ends: 15}
  - dowels: {of: back, to: left, count: 2, diameter: 6, length: 30, ends: 15}
  - dowels: {of: left, to: front, count: 2, diameter: 6, length: 30, ends: 15}
"""
"""Four boards, each butted against the next: no board comes off by itself."""

TABLE = """\
build123: 1
piece: Potting table
units: mm
sizes: {width: 900, depth: 600, height: 800}
stock:
  ash: {board: ash, thickness: 50}
  slab: {board: ash, thickness: 25}
middle: {x: width / 2, y: depth / 2}
parts:
  leg: {pair: both, stock: ash, x: from 30, y: from 30 for 50, z: 0 to top}
  apron: {pair: front and back, stock: slab, x: front left leg to front right leg, y: from 40, z: up to top for 90}
  end apron: {pair: left and right, stock: slab, x: from 40, y: front left leg to back left leg, z: up to top for 90}
  top: {stock: slab, x: 0 to width, y: 0 to depth, z: up to height}
joints:
  - dowels: {of: apron, to: leg, count: 2, diameter: 8, length: 40, ends: 15}
  - dowels: {of: end apron, to: leg, count: 2, diameter: 8, length: 40, ends: 30}
  - rests: {of: top, upon: [leg, apron, end apron]}
"""

PIN_SHELF = """\
build123: 1
piece: Pin shelf
units: mm
sizes: {width: 400, depth: 200, height: 300}
stock:
  ply: {sheet: birch plywood, thickness: 18}
  thin: {sheet: birch plywood, thickness: 6}
parts:
  side: {pair: left and right, stock: ply, x: from 0, y: 0 to depth, z: 0 to height}
  base: {stock: ply, x: left side to right side, y: 6 to back, z: from 0}
  cap: {stock: ply, x: left side to right side, y: 6 to back, z: up to height}
  back: {stock: thin, x: left side to right side, y: up to depth, z: 0 to height}
  pin: {hardware: shelf pin, round: x, x: 6 to 26, y: centred on 57 for 5, z: centred on 150 for 5}
  shelf: {stock: ply, x: left side + 1 to right side - 1, y: 30 to back - 5, z: from 152.5, loose: yes}
  FRONT
joints:
  - dado: {of: [base, cap], in: side, depth: 6}
  - rabbet: {of: back, in: side, depth: 9}
  - glued: {of: back, to: [base, cap]}
  LAP
shapes:
  - holes: {of: left side, face: right, columns: [57 from front], first: 150 from bottom, every: 32, count: 1, diameter: 5, depth: 12}
"""
OPEN_PIN_SHELF = PIN_SHELF.replace("  FRONT\n", "").replace("  LAP\n", "")
SHUT_PIN_SHELF = PIN_SHELF.replace("FRONT", "front: {stock: thin, x: left side to right side, y: from 0, z: 0 to height}").replace(
    "LAP", "- rabbet: {of: front, in: side, depth: 6}\n  - glued: {of: front, to: [base, cap]}"
)
"""The same with a fixed front."""

LEANING = """\
build123: 1
piece: Leaning rack
units: mm
sizes: {width: 600, height: 900}
frames:
  lean: {turn: -10 deg, about: x, through: [0, 0, 0]}
stock: {pine: {board: pine, thickness: 20}}
parts:
  side: {pair: left and right, frame: lean, stock: pine, x: from 0, y: 0 to 100, z: floor to level height}
  shelf: {stock: pine, x: left side to right side, y: front of left side to back of left side, z: [from 300, from 700], edges: follow}
joints:
  - dado: {of: shelf, in: side, depth: 6}
"""

DRAWER_IN_CASE = """\
build123: 1
piece: Seed drawer
units: mm
sizes: {width: 400, depth: 300, height: 200}
stock:
  ply: {sheet: birch plywood, thickness: 18}
  thin: {sheet: birch plywood, thickness: 6}
parts:
  side: {pair: left and right, stock: ply, x: from 0, y: 0 to depth, z: 0 to height}
  board: {stock: ply, x: left side to right side, y: 0 to back, z: [from 0, up to height]}
  back: {stock: thin, x: left side to right side, y: up to depth, z: 0 to height}
joints:
  - rabbet: {of: board, in: side, depth: 6}
  - rabbet: {of: back, in: side, depth: 9}
  - glued: {of: back, to: board}
assemblies:
  drawer:
    middle: {x: 179, y: 125}
    parts:
      cheek: {pair: left and right, stock: ply, x: from 0, y: 0 to 250, z: 0 to 100}
      end: {pair: front and back, stock: ply, x: left cheek to right cheek, y: from 0, z: 0 to 100}
      bottom: {stock: thin, x: left cheek to right cheek, y: front end to back end, z: from 10}
    joints:
      - groove: {of: bottom, in: [cheek, end], depth: 5, fit: easy, run: through}
      - dowels: {of: end, to: cheek, count: 2, diameter: 6, length: 30}
place:
  drawer: {assembly: drawer, at: [21, 5, 20], sizes: {}}
"""

FACE_FRAME = """\
build123: 1
piece: Case with a face frame
units: mm
sizes: {width: 600, depth: 250, height: 800}
stock:
  ply: {sheet: birch plywood, thickness: 18}
  pine: {board: pine, thickness: 20}
parts:
  side: {pair: left and right, stock: ply, x: from 0, y: 0 to depth, z: 0 to height}
  board: {stock: ply, x: left side to right side, y: 0 to depth, z: [from 50, up to height - 30]}
  stile: {pair: left and right, stock: pine, x: from 0 for 40, y: up to 0, z: 0 to height}
  rail: {stock: pine, x: left stile to right stile, y: up to 0, z: [from 30 for 40, up to height for 60]}
joints:
  - dado: {of: board, in: side, depth: 6}
  - dowels: {of: rail, to: stile, count: 2, diameter: 6, length: 30, ends: 12}
  - glued: {of: stile, to: [side, board]}
  - glued: {of: rail, to: board}
"""


def wall_of_boards(columns: int, rows: int) -> str:
    """A wall of shelving with shared posts, all in one: a post more than `columns`, `rows` boards in each column."""
    lines = [
        *("build123: 1", "piece: Wall of boards", "units: mm", "stock: {ply: {sheet: birch plywood, thickness: 18}}", "parts:"),
        *(f"  post {n}: {{stock: ply, x: from {400 * n}, y: 0 to 300, z: 0 to {150 * rows + 100}}}" for n in range(columns + 1)),
    ]
    for n in range(columns):
        heights = ", ".join(f"from {50 + 150 * row + 40 * (n % 2)}" for row in range(rows))
        lines.append(f"  board {n}: {{stock: ply, x: post {n} to post {n + 1}, y: 0 to 300, z: [{heights}]}}")
    lines.append("joints:")
    lines += [f"  - dado: {{of: board {n}, in: [post {n}, post {n + 1}], depth: 6, stop: 10 from front}}" for n in range(columns)]
    return "\n".join(lines) + "\n"
