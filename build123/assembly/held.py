"""Parts that must be in before others close round them: panels let in on all four edges."""

from __future__ import annotations

from build123.assembly.bodies import Bodies
from build123.model.plan import Step


def held_back(bodies: Bodies, steps: tuple[Step, ...]) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """By part, the parts that close it in after it is there.

    A shelf between two sides is housed at two edges only and is none.
    """
    placed = {name: step.number for step in steps for name in step.bodies if len(_parts(bodies, step)) == 1}
    found = []
    for n in bodies.parts:
        name = bodies.all[n].name
        if n in bodies.housed_all_round and name in placed:
            round_ = bodies.housed_all_round[n]
            after = tuple(bodies.all[b].name for b in round_ if placed.get(bodies.all[b].name, 0) > placed[name])
            if after:
                found.append((name, after))
    return tuple(found)


def _parts(bodies: Bodies, step: Step) -> list[str]:
    return [name for name in step.bodies if bodies.number[name] in bodies.parts]
