"""The spec as it is written: one class for each mapping, one field for each key.

The JSON Schema and the reference page are made from these classes, so what a key means is said here and nowhere else.
"""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from build123.fields.entry import Angle, Axis, Count, Entry, Extents, Face, Length, Names, OneOf, Position, Triple, Word, YesNo
from build123.problem import Text


class StockEntry(Entry):
    """What is in the shop: a kind of sheet or board, as measured.

    Example
        build123: 1
        piece: Label board
        stock:
          ply: {sheet: birch plywood, nominal: 12, thickness: 11.8, spread: 0.2, length: 2440, width: 1220, grain: length, colour: "#d9b88c"}
          larch: {board: larch, thickness: 20, width: 140, length: 3000, density: 590, rings: flat-sawn}
        parts:
          panel: {stock: ply, x: 0 to 600, y: from 0, z: 0 to 300}
          ledge: {stock: larch, x: 0 to 600, y: up to panel for 60, z: from 0}
        joints:
          - glued: {of: ledge, to: panel}
    """

    sheet: Word | None = Field(
        None, description="A sheet material, in words. Say `sheet` or `board`, not both.", examples=["birch plywood"]
    )
    board: Word | None = Field(None, description="A board's wood, in words.", examples=["white oak"])
    thickness: Length = Field(description="Measured thickness, the mean of several places.", examples=["0.715 in"])
    spread: Length | None = Field(None, description="Thickest place minus thinnest. Default: 0.", examples=["0.006 in"])
    nominal: Length | None = Field(
        None,
        description="The thickness in its name. It labels, and rules of thumb are judged on it; nothing is fitted to it.",
        examples=["3/4 in"],
    )
    length: Length | None = Field(None, description="Length of the sheet or board. Default: not checked.", examples=["96 in"])
    width: Length | None = Field(None, description="Width of the sheet or board. Default: not checked.", examples=["48 in"])
    grain: Annotated[Text, OneOf(("length", "width", "none"))] | None = Field(
        None, description="Which way the grain of the sheet runs. `none` for board without grain. Default: length.", examples=["length"]
    )
    rings: Annotated[Text, OneOf(("flat-sawn", "quarter-sawn"))] | None = Field(
        None,
        description="How the growth rings lie across a board's width, for its movement. Default: not known, taken as flat-sawn.",
        examples=["quarter-sawn"],
    )
    density: Word | None = Field(
        None, description="Density in kg/m3, for masses. Default: from the species table where known.", examples=["680"]
    )
    colour: Word | None = Field(
        None, description="Colour in the models, #rrggbb. Default: chosen by the material's name.", examples=["#d9b88c"]
    )


class FrameEntry(Entry):
    """A turned frame for raked or splayed parts.

    Example
        build123: 1
        piece: Leaning rack
        sizes: {width: 500, height: 1200}
        frames:
          lean: {turn: -10 deg, about: x, through: [0, 0, 0]}
          splay: {turn: 3 deg, about: y, within: lean}
        stock: {pine: {board: pine, thickness: 20}}
        parts:
          side: {pair: left and right, frame: lean, stock: pine, x: from 0, y: 0 to 100, z: floor to level height}
          shelf: {stock: pine, x: left side to right side, y: front of left side to back of left side, z: [from 300, from 700], edges: follow}
          prop: {frame: splay, stock: pine, x: from 250 for 40, y: from 300, z: 100 to 600, loose: yes}
        joints:
          - dado: {of: shelf, in: side, depth: 6}
    """

    turn: Angle = Field(description="Angle of the turn, right-handed about the axis.", examples=["-10 deg"])
    about: Axis = Field(description="Axis of the turn.", examples=["x"])
    through: Triple | None = Field(None, description="A point on the axis. Default: [0, 0, 0].", examples=[["0", "0", "0"]])
    within: Word | None = Field(
        None, description="Another frame that this one is turned in, for a splay. Default: the piece.", examples=["lean"]
    )


class FitEntry(Entry):
    """A named fit: the clearance of a housing about its member, both sides together.

    Example
        build123: 1
        piece: Pot shelf
        sizes: {width: 500}
        fits:
          slip: 0.15 mm
          painted: {clearance: 0.4 mm, low: 0.3 mm, high: 0.6 mm}
        stock: {ply: {sheet: birch plywood, thickness: 17.8}}
        parts:
          side: {pair: left and right, stock: ply, x: from 0, y: 0 to 200, z: 0 to 300}
          shelf: {stock: ply, x: left side to right side, y: 0 to 200, z: [from 50, from 200]}
        joints:
          - dado: {of: shelf 1, in: side, depth: 6}
          - dado: {of: shelf 2, in: side, depth: 6, fit: painted}
    """

    clearance: Length = Field(description="What is cut.", examples=["0.15 mm"])
    low: Length | None = Field(
        None, description="Least clearance accepted. Default: as the built-in fit of that name, else half.", examples=["0.05 mm"]
    )
    high: Length | None = Field(
        None, description="Most clearance accepted. Default: as the built-in fit of that name, else double.", examples=["0.3 mm"]
    )


class ShopEntry(Entry):
    """How exactly this shop works, for the odds of the first dry fit, and what it drives screws with.

    A spread is the largest less the smallest of what comes out when the same thing is made again and again: make ten, measure
    them, take the difference.

    Example
        build123: 1
        piece: Seed drawer front
        sizes: {width: 400, height: 160}
        shop: {cutting: 0.1, sawing: 0.3, drilling: 0.05, laying out: 0.4, screwdriver: 8 in, hand: 70, marking: 0.5}
        stock: {ply: {sheet: birch plywood, thickness: 12, spread: 0.1}}
        parts:
          side: {pair: left and right, stock: ply, x: from 0, y: 0 to 150, z: 0 to height}
          front: {stock: ply, x: left side to right side, y: from 10, z: 0 to height}
        joints:
          - dado: {of: front, in: side, depth: 4}
    """

    cutting: Length | None = Field(
        None, description="Spread of the width and depth of a trench cut from one setup. Default: 0.1 mm.", examples=["0.1 mm"]
    )
    sawing: Length | None = Field(None, description="Spread of a length sawn off a stop. Default: 0.25 mm.", examples=["0.25 mm"])
    drilling: Length | None = Field(None, description="Spread of the diameter of a hole. Default: 0.05 mm.", examples=["0.05 mm"])
    laying_out: Length | None = Field(
        None,
        alias="laying out",
        description="Spread of a position marked with rule and square. Default: 0.25 mm.",
        examples=["0.25 mm"],
    )
    screwdriver: Length | None = Field(
        None, description="Length of the screwdriver with its handle, or of the drill with its bit. Default: 250 mm.", examples=["8 in"]
    )
    hand: Length | None = Field(None, description="Room that a hand needs around the head of a screw. Default: 60 mm.", examples=["60 mm"])
    marking: Length | None = Field(
        None,
        description="The stroke that shoulders of trenches are marked to on the sheets; holes and fits stay exact. Default: exact.",
        examples=["1/32 in"],
    )


class PartEntry(Entry):
    """One finished board or panel, a pair of opposite hands, or a run of equal ones.

    The three extents say what is seen when the piece is assembled; joints add and take away the rest.

    Example
        build123: 1
        piece: Twine holder
        sizes: {width: 300, depth: 120, height: 250}
        stock: {ply: {sheet: birch plywood, thickness: 12}}
        parts:
          side: {pair: left and right, stock: ply, x: from 0, y: 0 to depth, z: 0 to height, grain: z, show: left}
          floor board: {stock: ply, x: left side to right side, y: 0 to depth, z: from 30}
          back: {stock: ply, x: left side to right side, y: up to depth, z: floor board to height}
          rod: {hardware: steel rod, round: x, x: left side to right side, y: centred on depth / 2 for 8, z: centred on 150 for 8}
          lid: {stock: ply, x: 0 to width, y: 0 to depth, z: from height, loose: yes}
        joints:
          - dado: {of: floor board, in: side, depth: 4}
          - rabbet: {of: back, in: side, depth: 6}
          - glued: {of: back, to: floor board}
    """

    stock: Word | None = Field(None, description="What it is cut from. Needed but for hardware.", examples=["ply"])
    x: Extents = Field(description="Extent from left to right.", examples=["left side to right side"])
    y: Extents = Field(description="Extent from front to back.", examples=["0 to depth"])
    z: Extents = Field(description="Extent from bottom to top.", examples=["from 3"])
    pair: Annotated[Text, OneOf(("left and right", "front and back", "both"))] | None = Field(
        None,
        description="Makes the opposite hand too, mirrored about the middle; what is written is the left (front, front left) one.",
        examples=["left and right"],
    )
    frame: Word | None = Field(None, description="The frame it stands in. Default: the piece's own.", examples=["lean"])
    grain: Axis | None = Field(None, description="The axis that the grain runs along. Default: along the longest side.", examples=["z"])
    show: Face | None = Field(
        None,
        description="The face that is seen. Default: away from the middle for uprights, up for horizontals, front for backs.",
        examples=["front"],
    )
    edges: Annotated[Text, OneOf(("square", "follow"))] | None = Field(
        None, description="Whether ends against a leaning face follow it or stay square. Default: square.", examples=["follow"]
    )
    loose: YesNo | None = Field(
        None, description="Yes for a part that is meant to lie loose, joined to nothing. Default: no.", examples=["yes"]
    )
    hardware: Word | None = Field(
        None, description="Instead of stock: a thing that is bought, shown as a solid and not cut.", examples=["steel bar"]
    )
    round: Axis | None = Field(None, description="For hardware: a rod along that axis. Default: a block.", examples=["x"])


class AsCutEntry(Entry):
    """What is made already: finished sizes as measured, of a part or of all parts of a pair or run.

    Nothing in sight moves. An end that meets nothing comes out where it may; where the part is let in, the housing is cut as
    much deeper or shallower, if the part that it is cut into is not made yet. What does not fit any more is told.

    Example
        build123: 1
        piece: Onion shelf
        sizes: {width: 600, depth: 250, height: 500}
        stock: {ply: {sheet: birch plywood, thickness: 17.8}}
        parts:
          side: {pair: left and right, stock: ply, x: from 0, y: 0 to depth, z: 0 to height}
          shelf: {stock: ply, x: left side to right side, y: 0 to depth, z: [from 60, from 280]}
        joints:
          - dado: {of: shelf, in: side, depth: 6}
        as cut:
          shelf 1: {length: 575.8, width: 249.5, thickness: 17.8}     # its dados are cut 5.7 mm deep
    """

    length: Length | None = Field(None, description="Along the grain, with what goes into its joints.", examples=["575.4"])
    width: Length | None = Field(None, description="Across the grain, with what goes into its joints.", examples=["299.5"])
    thickness: Length | None = Field(
        None,
        description="Only to say that it is that of its stock: a part of another thickness needs a stock of its own.",
        examples=["17.8"],
    )


class PlaceEntry(Entry):
    """An assembly placed in the piece, once or in a row.

    Example
        build123: 1
        piece: Nesting boxes
        units: mm
        sizes: {boxes: 3}
        stock: {ply: {sheet: birch plywood, thickness: 9}}
        assemblies:
          box:
            sizes: {width: 250, depth: 250}
            parts:
              wall: {pair: left and right, stock: ply, x: from 0, y: 0 to depth, z: 0 to 250}
              floor board: {stock: ply, x: left wall to right wall, y: 0 to depth, z: from 0}
            joints:
              - rabbet: {of: floor board, in: wall, depth: 4.5}
        place:
          box: {assembly: box, at: [0, 0, 0], count: boxes, every: [250, 0, 0], sizes: {depth: 300}}
          end box: {assembly: box, at: [1000, 0, 0], turn: 90 deg}
        joints:
          - glued: {of: right wall of box, to: left wall of box}
          - rests: {of: [wall of end box, floor board of end box], upon: right wall of box 3}
    """

    assembly: Word = Field(description="Which assembly.", examples=["cubby"])
    at: tuple[Position, Position, Position] = Field(description="Where its origin goes: x, y and z.", examples=[["0", "0", "80"]])
    turn: Angle | None = Field(None, description="Turned about its upright axis. Default: 0.", examples=["90 deg"])
    sizes: dict[Word, Length] | None = Field(
        None, description="Its sizes for this place, instead of those that it declares.", examples=[{"width": "400"}]
    )
    count: Count | None = Field(None, description="How many in a row; they are numbered. Default: one, without a number.", examples=["4"])
    every: Triple | None = Field(
        None, description="The step from one to the next: x, y and z. Needed with `count`.", examples=[["400", "0", "0"]]
    )


class WaiverEntry(Entry):
    """A finding that was looked at and is accepted.

    Example
        build123: 1
        piece: Cramped shelf
        sizes: {width: 400}
        stock: {ply: {sheet: birch plywood, thickness: 12}}
        parts:
          side: {pair: left and right, stock: ply, x: from 0, y: 0 to 200, z: 0 to 300}
          shelf: {stock: ply, x: left side to right side, y: 0 to 200, z: from 100}
        joints:
          - dado: {of: shelf, in: side, depth: 8.5}
        waivers:
          - {finding: thin-under-trench, parts: [left side, right side], reason: a strip is glued on outside afterwards}
    """

    finding: Word = Field(description="The finding's id.", examples=["thin-under-trench"])
    parts: Names = Field(description="The parts it is accepted for.", examples=[["left side"]])
    reason: Word = Field(description="Why it is accepted.", examples=["lined with a strip afterwards"])


class ClimateEntry(Entry):
    """Where the piece will stand: how dry and how damp the air gets there in a year. Solid wood moves with it.

    Example
        build123: 1
        piece: Shed shelf
        climate: {place: garden shed, driest: 40, dampest: 75}
        stock: {larch: {board: larch, thickness: 25}}
        parts:
          shelf: {stock: larch, x: 0 to 900, y: 0 to 240, z: from 25}
          batten: {stock: larch, x: 300 to 345, y: 20 to 220, z: up to shelf, grain: y}
        joints:
          - screws: {through: batten, into: shelf, size: 4 x 40, count: 3, fixed: middle}
    """

    place: Annotated[Text, OneOf(("heated house", "dry house", "damp house", "garden shed"))] | None = Field(
        None, description="A usual place, with figures from the climate table. Default: heated house.", examples=["garden shed"]
    )
    driest: Word | None = Field(None, description="Lowest relative humidity of a year, %. Default: as the place.", examples=["35"])
    dampest: Word | None = Field(None, description="Highest relative humidity of a year, %. Default: as the place.", examples=["65"])


class MiddleEntry(Entry):
    """The middle planes that pairs are mirrored about.

    Example
        build123: 1
        piece: Trestle
        sizes: {span: 700}
        middle: {x: span / 2, y: 200}
        stock: {ash: {board: ash, thickness: 30}}
        parts:
          leg: {pair: both, stock: ash, x: from 0 for 40, y: from 0, z: 0 to 600}
          stretcher: {pair: left and right, stock: ash, x: from 5, y: front left leg to back left leg, z: from 200 for 60}
          bar: {stock: ash, x: left stretcher to right stretcher, y: centred on 200, z: from 200 for 60}
        joints:
          - dowels: {of: stretcher, to: leg, count: 2}
          - dowels: {of: bar, to: stretcher, count: 2}
    """

    x: Length | None = Field(
        None, description="Between left and right. Default: half of the size `width`, else of `length`.", examples=["width / 2"]
    )
    y: Length | None = Field(None, description="Between front and back. Default: half of the size `depth`.", examples=["depth / 2"])
