"""The one exception that leaves the kernel."""

from __future__ import annotations


class KernelFault(Exception):
    """A solid could not be made: a fault of ours, caught at the kernel's edge.

    `part` is the part or hardware by name, `features` the ids of the features in hand, `operation` what was being done,
    `cause` what the kernel said.
    """

    def __init__(self, part: str, features: tuple[str, ...], operation: str, cause: str) -> None:
        named = ", ".join(features[:6]) + (f" and {len(features) - 6} more" if len(features) > 6 else "")
        super().__init__(f"{part}: {operation}{f' ({named})' if named else ''}: {cause}")
        self.part = part
        self.features = features
        self.operation = operation
        self.cause = cause


class CutApart(KernelFault):
    """The features leave no wood, or more than one piece: not a fault of the kernel but of what it was asked to cut."""
