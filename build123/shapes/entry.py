"""What every shape of a spec has in common."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from pydantic import Field

from build123.fields.entry import Entry, Names

if TYPE_CHECKING:
    from build123.joints.joinery import Joinery


class ShapeEntry(Entry):
    """One entry of `shapes`: its key is the word `KEY`. It is cut into each part on its own, after all ends have grown."""

    KEY: ClassVar[str] = ""

    of: Names = Field(description="The parts that are shaped.", examples=["side"])

    def cut(self, at: Joinery, part: str) -> None:
        """Cut the shape into one part. SpecError where it cannot be."""
        raise NotImplementedError
