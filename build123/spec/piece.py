"""The top of a spec, with the joints and shapes that are known."""

from __future__ import annotations

from functools import lru_cache
from typing import Annotated, Any

from pydantic import Field, create_model

from build123 import joints, shapes
from build123.fields.entry import Entry, Length, Names, OneOf, Word
from build123.joints import JointEntry
from build123.problem import Text
from build123.shapes import ShapeEntry
from build123.spec.entries import (
    AsCutEntry,
    ClimateEntry,
    FitEntry,
    FrameEntry,
    MiddleEntry,
    PartEntry,
    PlaceEntry,
    ShopEntry,
    StockEntry,
    WaiverEntry,
)


class KindEntry(Entry):
    """A mapping with one key, which is the kind of what it holds."""

    def chosen(self) -> Entry:
        """What stands under the key."""
        values = (getattr(self, name) for name in type(self).model_fields)
        return next(value for value in values if isinstance(value, Entry))


def _one_of(title: str, kinds: dict[str, Any], doc: str) -> type[KindEntry]:
    fields: dict[str, Any] = {
        key.replace(" ", "_"): (kind | None, Field(None, alias=key, description=(kind.__doc__ or "").split("\n", 1)[0]))
        for key, kind in kinds.items()
    }
    return create_model(title, __base__=KindEntry, __doc__=doc, **fields)


class Group(Entry):
    """What a piece and an assembly both hold. Subclassed when the joints are known."""

    sizes: dict[Word, Length] = Field({}, description="Named sizes. A name may hold spaces.", examples=[{"width": "34", "over": "3/4"}])
    middle: MiddleEntry = Field(
        MiddleEntry(), description="The middle planes that pairs are mirrored about.", examples=[{"x": "width / 2"}]
    )
    parts: dict[Word, PartEntry] = Field({}, description="The parts by name.")
    place: dict[Word, PlaceEntry] = Field({}, description="Assemblies placed, by name.")
    made_up: dict[Word, Names] = Field(
        {},
        alias="made up",
        description="Parts that act as one once they are glued: a name for joints to use.",
        examples=[{"top": ["board", "lipping"]}],
    )

    def joint_entries(self) -> list[JointEntry]:
        """The joints in order."""
        return [j.chosen() for j in getattr(self, "joints", [])]

    def shape_entries(self) -> list[ShapeEntry]:
        """The shapes in order."""
        return [s.chosen() for s in getattr(self, "shapes", [])]


class Spec(Group):
    """One piece of furniture."""

    build123: Annotated[Text, OneOf(("1",))] = Field(description="The version of this format. Always 1.", examples=["1"])
    piece: Word = Field(description="What the piece is called.", examples=["Seed cabinet"])
    units: Annotated[Text, OneOf(("mm", "in"))] = Field(
        Text("mm"), description="The unit of bare numbers, and of what is printed. Default: mm.", examples=["in"]
    )
    stock: dict[Word, StockEntry] = Field({}, description="What is in the shop, by the name that parts use.")
    frames: dict[Word, FrameEntry] = Field({}, description="Turned frames for raked and splayed parts.")
    fits: dict[Word, FitEntry | Length] = Field(
        {}, description="Named fits, as clearances; the built-in press, slip and easy can be changed.", examples=[{"slip": "0.15 mm"}]
    )
    climate: ClimateEntry = Field(
        ClimateEntry(), description="Where the piece will stand, for the movement of solid wood.", examples=[{"place": "garden shed"}]
    )
    as_cut: dict[Word, AsCutEntry] = Field(
        {}, alias="as cut", description="What is made already, by part, pair or run: its finished sizes as measured."
    )
    shop: ShopEntry = Field(ShopEntry(), description="How exactly this shop works, and what it drives screws with.")
    waivers: list[WaiverEntry] = Field([], description="Findings that were looked at and are accepted.")

    def assembly_groups(self) -> dict[Text, Group]:
        """The assemblies by name."""
        found: dict[Text, Group] = getattr(self, "assemblies", {})
        return found


@lru_cache(maxsize=1)
def spec_class() -> type[Spec]:
    """The spec with every joint and shape that is installed."""
    joint = _one_of("JointEntryOfSpec", joints.kinds(), "One joint: its key is its trade name.")
    shape = _one_of("ShapeEntryOfSpec", shapes.kinds(), "One shape: its key is its name.")
    extra: dict[str, Any] = {
        "joints": (list[joint], Field([], description="The joints, in any order.")),  # type: ignore[valid-type]
        "shapes": (list[shape], Field([], description="What is done to single parts besides joints.")),  # type: ignore[valid-type]
    }
    assembly = create_model(
        "Assembly", __base__=Group, __doc__="Parts, joints and sizes in a frame of their own, to be placed repeatedly.", **extra
    )
    return create_model(
        "Piece",
        __base__=Spec,
        __doc__="One piece of furniture.",
        assemblies=(dict[Word, assembly], Field({}, description="Assemblies by name.")),
        **extra,
    )
