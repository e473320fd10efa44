"""Which measured faces answer to an expected contact: the names of `build123.contacts.facing` that checks use."""

from __future__ import annotations

from build123.contacts.facing import PARALLEL, Play, facing, play, plays, room_mm, shared_mm2, stack_of

__all__ = ["PARALLEL", "Play", "facing", "play", "plays", "room_mm", "shared_mm2", "stack_of"]
