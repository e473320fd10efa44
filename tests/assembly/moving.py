"""The independent check of an order: the solids themselves are moved along its steps and intersected by the geometry kernel."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

import cadquery as cq

from build123.assembly.glue import glue_up
from build123.kernel import Store
from build123.model.design import Design
from build123.model.frame import Vec, scale
from build123.model.measured import DryFit
from build123.model.part import Hardware, Part
from build123.model.plan import GlueUp, Step
from build123.pipeline import compile_text

DEEP_MM = 1e-3
SHARES = (1.0, 0.7, 0.45, 0.25, 0.1, 0.03, 0.0)
"""Where along its travel a step is looked at: closer together near home, where joints close."""
BEYOND_MM = (1.0, 300.0)


@dataclass(frozen=True)
class Glued:
    """A piece, its dry fit and its order."""

    design: Design
    fit: DryFit
    plan: GlueUp

    def step(self, name: str, within: int = 0) -> Step:
        """The step that brings a body in, by itself or with others."""
        return next(step for step in self.plan.steps if name in step.bodies and step.within == within)

    def order(self, *names: str) -> list[str]:
        """Some parts in the order in which each is brought in by itself or as the first of a sub-assembly."""
        first = {name: n for n, step in reversed(list(enumerate(self.plan.steps))) for name in step.bodies}
        return sorted(names, key=lambda name: first[name])


def glued(text: str, store: Store) -> Glued:
    """A spec without errors of the dry fit, and its order."""
    made = compile_text(text, store)
    assert made.design is not None and made.fit is not None, [one.message for one in made.findings]
    assert not made.fit.overlaps
    return Glued(made.design, made.fit, glue_up(made.design, made.fit, store))


def each_body_once(one: Glued) -> None:
    """Every body is brought in once on each level: in the piece, and in each sub-assembly that it is part of."""
    plan = one.plan
    everything = {body.name for body in (*one.design.parts, *one.design.hardware)}
    counted = Counter(name for step in plan.steps if step.within == 0 for name in step.bodies)
    assert counted == dict.fromkeys(everything, 1)
    for number, parts in enumerate(plan.sub_assemblies, start=1):
        inner = Counter(name for step in plan.steps if step.within == number for name in step.bodies)
        assert set(inner.values()) == {1} and set(parts) <= set(inner)
        built = max(step.number for step in plan.steps if step.within == number)
        assert any(set(inner) <= set(step.bodies) for step in plan.steps if step.within != number and step.number > built)
    assert [step.number for step in plan.steps] == list(range(1, len(plan.steps) + 1))


def collisions(one: Glued, store: Store) -> Iterator[str]:
    """What overlaps by more than a hair while the steps are carried out."""
    bodies: dict[str, Part | Hardware] = {body.name: body for body in (*one.design.parts, *one.design.hardware)}
    solids = {name: placed(store, body) for name, body in bodies.items()}
    standing: dict[int, list[str]] = {}
    for step in one.plan.steps:
        before = standing.setdefault(step.within, [])
        if step.direction is not None:
            # a screw or a nail is set to its hole by hand, a part comes from further away
            beyond = BEYOND_MM if any(isinstance(bodies[name], Part) for name in step.bodies) else BEYOND_MM[:1]
            for back in (*(step.travel_mm * share for share in SHARES), *(step.travel_mm + more for more in beyond)):
                away = scale(step.direction, -back)
                for a in step.bodies:
                    for b in before:
                        if bitten(bodies[a], bodies[b]):
                            continue
                        deep = depth_mm(solids[a], solids[b], away)
                        if deep > DEEP_MM:
                            yield f"step {step.number}: {a} and {b} overlap {deep:.4f} mm, {back:g} mm from home"
        before.extend(step.bodies)


def bitten(a: Part | Hardware, b: Part | Hardware) -> bool:
    """Whether one is a screw or a nail and the other wood that its thread or shank is meant to bite."""
    return any(isinstance(one, Hardware) and other.name in one.bites for one, other in ((a, b), (b, a)))


def placed(store: Store, body: Part | Hardware) -> cq.Shape:
    """A body's solid where it stands."""
    frame = body.placement
    return store.shape(body).moved(cq.Location(cq.Plane(frame.origin, frame.x, frame.z)))


def depth_mm(a: cq.Shape, b: cq.Shape, away: Vec) -> float:
    """Twice volume over surface of what two solids have in common, `a` moved by a vector."""
    moved = a.moved(cq.Location(cq.Vector(*away)))
    one, two = moved.BoundingBox(), b.BoundingBox()
    if any(
        low >= high - 1e-6
        for low, high in (
            (one.xmin, two.xmax),
            (two.xmin, one.xmax),
            (one.ymin, two.ymax),
            (two.ymin, one.ymax),
            (one.zmin, two.zmax),
            (two.zmin, one.zmax),
        )
    ):
        return 0.0
    return max((2 * lump.Volume() / lump.Area() for lump in moved.intersect(b).Solids()), default=0.0)
