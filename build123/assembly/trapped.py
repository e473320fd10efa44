"""What is trapped, and by what: the least set of nodes that still hold one another."""

from __future__ import annotations

from build123.assembly.apart import take_apart
from build123.assembly.choice import Choice
from build123.assembly.level import Level, bits
from build123.model.plan import Trapped

MANY = 40
"""Sets larger than this are told whole: to narrow them down takes a trial for each node."""


def trapped_in(level: Level, stuck: int) -> Trapped:
    """The least core of a set that nothing can part: what cannot be brought in, and what holds it.

    What is told as trapped is the part that others enclose: the one with the least room of its own that is no made-up part.
    """
    core = _core(level, stuck)
    size = Choice(level)
    inner = min(bits(core), key=lambda k: (bool(level.nodes[k].children), size.is_hardware(k), size.volume(k), k))
    return Trapped(_names(level, 1 << inner), _names(level, core & ~(1 << inner)))


def _core(level: Level, stuck: int) -> int:
    core = stuck
    for k in bits(stuck if stuck.bit_count() <= MANY else 0):
        if core >> k & 1:
            smaller = list(take_apart(level, core & ~(1 << k)).stuck())
            if smaller:
                core = min(smaller, key=lambda one: one.bit_count())
    return core


def _names(level: Level, group: int) -> tuple[str, ...]:
    bodies = level.reach.bodies
    found = sorted(body for k in bits(group) for body in level.nodes[k].bodies)
    parts = [body for body in found if body in bodies.parts]
    return tuple(bodies.all[body].name for body in parts or found)
