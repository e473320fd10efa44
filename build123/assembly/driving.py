"""Which screws cannot be driven when their step comes."""

from __future__ import annotations

from build123.assembly.bodies import Bodies
from build123.kernel.drivers import Drivers
from build123.model.part import Hardware, Part
from build123.model.plan import OutOfReach, Step


def out_of_reach(bodies: Bodies, steps: tuple[Step, ...], drivers: Drivers) -> tuple[OutOfReach, ...]:
    """Screws that what stands at their step keeps a straight driver or the hand from, with what is in the way.

    A screw that comes in with a sub-assembly was driven when that was made.
    """
    standing: dict[int, list[Part | Hardware]] = {}
    found = []
    driven: set[str] = set()
    for step in steps:
        here = standing.setdefault(step.within, [])
        moved = [bodies.all[bodies.number[name]] for name in step.bodies]
        here += moved
        for thing in moved:
            if not isinstance(thing, Hardware) or thing.name in driven:
                continue
            driven.add(thing.name)
            if blocking := drivers.in_the_way(thing, [one for one in here if isinstance(one, Part)]):
                found.append(OutOfReach(thing.name, step.number, blocking))
    return tuple(found)
