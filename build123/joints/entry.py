"""What every joint of a spec has in common."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from build123.fields.entry import Entry

if TYPE_CHECKING:
    from build123.joints.joinery import Joinery, Meeting


class JointEntry(Entry):
    """One entry of `joints`: its key is the trade name `KEY`.

    All entries first `meet`, then all `grow`, then all `cut`: receivers are cut by grown members, so that no joint depends
    on the order of the entries."""

    KEY: ClassVar[str] = ""
    HOUSES: ClassVar[bool] = False
    """Whether the member is let into the receiver, so that their faces are cut away where they met."""

    FASTENS: ClassVar[bool] = False
    """Whether it only drives something through both, which may be done to parts that are housed or glued as well."""

    def meet(self, at: Joinery) -> list[Meeting]:
        """The pairs that the entry joins."""
        raise NotImplementedError

    def grow(self, at: Joinery, met: list[Meeting]) -> None:
        """Move ends of the members."""

    def cut(self, at: Joinery, met: list[Meeting]) -> None:
        """Turn the joint into features of each part and facts about its fit."""
        raise NotImplementedError
