"""The spec as it is written: one class for each mapping, one field for each key.

The JSON Schema and the reference page are made from these classes, so what a key means is said here and nowhere else.
"""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from build123.fields.entry import Angle, Axis, Count, Entry, Extents, Face, Length, Names, OneOf, Position, Triple, Word, YesNo
from build123.problem import Text


class StockEntry(Entry):
    """What is in the shop: a kind of sheet or board, as measured."""

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
    density: Word | None = Field(
        None, description="Density in kg/m3, for masses. Default: from the species table where known.", examples=["680"]
    )
    colour: Word | None = Field(
        None, description="Colour in the models, #rrggbb. Default: chosen by the material's name.", examples=["#d9b88c"]
    )


class FrameEntry(Entry):
    """A turned frame for raked or splayed parts."""

    turn: Angle = Field(description="Angle of the turn, right-handed about the axis.", examples=["-10 deg"])
    about: Axis = Field(description="Axis of the turn.", examples=["x"])
    through: Triple | None = Field(None, description="A point on the axis. Default: [0, 0, 0].", examples=[["0", "0", "0"]])
    within: Word | None = Field(
        None, description="Another frame that this one is turned in, for a splay. Default: the piece.", examples=["lean"]
    )


class FitEntry(Entry):
    """A named fit: the clearance of a housing about its member, both sides together."""

    clearance: Length = Field(description="What is cut.", examples=["0.15 mm"])
    low: Length | None = Field(
        None, description="Least clearance accepted. Default: as the built-in fit of that name, else half.", examples=["0.05 mm"]
    )
    high: Length | None = Field(
        None, description="Most clearance accepted. Default: as the built-in fit of that name, else double.", examples=["0.3 mm"]
    )


class PartEntry(Entry):
    """One finished board or panel, a pair of opposite hands, or a run of equal ones.

    The three extents say what is seen when the piece is assembled; joints add and take away the rest.
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


class PlaceEntry(Entry):
    """An assembly placed in the piece, once or in a row."""

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
    """A finding that was looked at and is accepted."""

    finding: Word = Field(description="The finding's id.", examples=["thin-under-trench"])
    parts: Names = Field(description="The parts it is accepted for.", examples=[["left side"]])
    reason: Word = Field(description="Why it is accepted.", examples=["lined with a strip afterwards"])


class MiddleEntry(Entry):
    """The middle planes that pairs are mirrored about."""

    x: Length | None = Field(
        None, description="Between left and right. Default: half of the size `width`, else of `length`.", examples=["width / 2"]
    )
    y: Length | None = Field(None, description="Between front and back. Default: half of the size `depth`.", examples=["depth / 2"])
