"""The order of assembly, from the finished piece backwards."""

from __future__ import annotations

import time
from typing import TYPE_CHECKING

from build123.assembly.bodies import Bodies
from build123.assembly.driving import out_of_reach
from build123.assembly.held import held_back
from build123.assembly.nodes import holding, nodes_of
from build123.assembly.reach import Reach
from build123.assembly.steps import Writer
from build123.assembly.sweep import Sweeps
from build123.kernel.drivers import Drivers
from build123.kernel.moves import WaysOut
from build123.model.design import Design
from build123.model.measured import DryFit
from build123.model.plan import GlueUp

if TYPE_CHECKING:
    from build123.kernel.store import Store


def glue_up(design: Design, fit: DryFit, store: Store) -> GlueUp:
    """An order in which every part comes in by one straight move, tried on the solids' meshes; or what is trapped.

    Directions, what touches what and what carries a dowel are measured; of the spec only the grouping is taken: assemblies,
    made-up parts (which are put together before anything else) and what joints hold together. KernelFault where
    the geometry kernel gives up on a close call.
    """
    start = time.perf_counter()
    bodies = Bodies(design, fit)
    reach = Reach(bodies, Sweeps(store), WaysOut(store))
    held = holding(bodies, reach)
    writer = Writer(reach, held)
    writer.write(nodes_of(bodies, held), 0)
    steps = tuple(writer.steps)
    return GlueUp(
        steps,
        tuple(writer.sub_assemblies),
        tuple(writer.trapped),
        held_back(bodies, steps),
        out_of_reach(bodies, steps, Drivers(store, design.shop.screwdriver_mm, design.shop.hand_mm)),
        not writer.trapped,
        time.perf_counter() - start,
    )
