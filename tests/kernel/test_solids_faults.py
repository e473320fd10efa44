"""What cannot be made is refused with the part, the feature and what was being done."""

from __future__ import annotations

import math

import pytest
from wood import OPEN, across, board, drilled, rectangle, top

from build123.kernel.fault import KernelFault
from build123.kernel.solids import solid_of, solid_of_hardware
from build123.model.feature import EndKind, Geometry, Hole, HoleStep, Pocket, Profile, Trench, TrenchEnd, Trim, Vertex
from build123.model.frame import WORLD, Plane
from build123.model.part import Block, Hardware, Rod

TOP = top(18.0)
NAN = math.nan
SCOOP = TrenchEnd(EndKind.scoop, 50)


@pytest.mark.parametrize(
    ("geometry", "cause"),
    [
        (across(TOP, NAN, 18, 300, 6), "not finite"),
        (across(TOP, 100, 18, 300, math.inf), "not finite"),
        (across(TOP, 100, 0, 300, 6), "width of 0 mm"),
        (across(TOP, 100, 18, 300, -6), "depth of -6 mm"),
        (Trench(TOP, (100, 50), (100, 50), 18, 6), "no length"),
        (Trench(TOP, (100, 0), (100, 200), 18, 6, OPEN, TrenchEnd(EndKind.round)), "radius of 0 mm"),
        (Trench(TOP, (100, 0), (100, 200), 18, 6, OPEN, TrenchEnd(EndKind.round, 10)), "more than half the width"),
        (Trench(TOP, (100, 0), (100, 30), 4, 8, SCOOP, SCOOP), "meet above the floor"),
        (across(TOP, 100, 18, 300, 6, lean_deg=80, flare_deg=10), "nearly flat"),
        (drilled(TOP, 100, 100, 0, 10), "diameter of 0 mm"),
        (drilled(TOP, 100, 100, 5, 0), "no depth"),
        (Hole(TOP, (100, 100), ()), "without a step"),
        (Hole(TOP, (100, 100), (HoleStep(5, 10),), axis=(0, 0, 1)), "does not go into the wood"),
        (Pocket(TOP, rectangle(50, 50, 150, 100)[::-1]), "clockwise"),
        (Pocket(TOP, (Vertex(0, 0), Vertex(10, 0), Vertex(20, 0)), depth_mm=5), "no area"),
        (Pocket(TOP, rectangle(50, 50, 150, 100), far_outline=rectangle(0, 0, 1, 1)[:3]), "another number of corners"),
        (Trim(Plane((1, 1, 0), 100)), "not of length 1"),
        (Profile((0, 0, 18), (0, 0, 18), (0, -1, 0), (0, 0, 1), rectangle(-1, -1, 0, 0)), "no length"),
    ],
)
def test_a_feature_that_makes_no_sense_is_named(geometry: Geometry, cause: str) -> None:
    with pytest.raises(KernelFault) as fault:
        solid_of(board(600, 300, 18, geometry, name="left side"))
    assert fault.value.part == "left side"
    assert len(fault.value.features) == 1
    assert cause in fault.value.cause
    assert fault.value.operation


@pytest.mark.parametrize(
    ("geometry", "cause"),
    [
        (across(TOP, 100, 18, 300, 18), "2 pieces"),
        (Trim(Plane((1.0, 0.0, 0.0), -1.0)), "no wood"),
        (Trench(TOP, (100, 0), (250, 300), 18, 18), "2 pieces"),
    ],
)
def test_wood_that_falls_apart_or_is_gone(geometry: Geometry, cause: str) -> None:
    with pytest.raises(KernelFault, match=cause):
        solid_of(board(600, 300, 18, geometry))


@pytest.mark.parametrize("size", [(0.0, 300.0, 18.0), (600.0, NAN, 18.0), (600.0, 300.0, -18.0)])
def test_a_blank_of_no_size(size: tuple[float, float, float]) -> None:
    with pytest.raises(KernelFault, match="blank"):
        solid_of(board(*size))


def test_hardware_has_its_volume_or_is_refused() -> None:
    rod, block = Hardware("a", "dowel", Rod(8, 40), WORLD), Hardware("b", "plate", Block((10, 20, 3)), WORLD)
    assert solid_of_hardware(rod).Volume() == pytest.approx(math.pi * 16 * 40)
    assert solid_of_hardware(block).Volume() == pytest.approx(600)
    with pytest.raises(KernelFault, match="b"):
        solid_of_hardware(Hardware("b", "plate", Block((10, 0, 3)), WORLD))
