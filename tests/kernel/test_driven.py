"""How a fastener stands in wood, against boxes and holes whose figures are known by hand."""

from __future__ import annotations

import math

import cadquery as cq
import pytest

from build123.kernel.bodies import Pose
from build123.kernel.driven import REACH_MM, Leg, LocalDriven, Wood, driven_in
from build123.kernel.mesh import mesh_of
from build123.model.frame import Frame, Vec

BOARD = Frame((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))


def looked(solid: cq.Shape, at: Vec, leg: Leg) -> LocalDriven:
    frame = Frame(at, BOARD.x, BOARD.y, BOARD.z)
    (one,) = driven_in(
        (leg,), Wood.of(mesh_of(cq.Solid(solid.wrapped) if len(solid.Solids()) != 1 else solid.Solids()[0])), Pose.of(frame, BOARD)
    )
    return one


def beside(one: LocalDriven, deg: float) -> tuple[float, float]:
    return next((air, wood) for angle, air, wood in one.beside if abs(math.degrees(angle) - deg) < 1e-6)


def board() -> cq.Shape:
    return cq.Solid.makeBox(200, 80, 18)


@pytest.mark.parametrize(("up", "bite", "beyond"), [(-5.0, 15.0, 3.0), (-1.0, 18.0, -1.0), (2.0, 16.0, -4.0)])
def test_bite_and_what_is_left_beyond_the_point(up: float, bite: float, beyond: float) -> None:
    one = looked(board(), (60.0, 30.0, up), Leg(0.0, 4.0, 20.0))
    assert one.bite_mm == pytest.approx(bite) and one.beyond_mm == pytest.approx(beyond)


def test_what_lies_beside_in_each_direction() -> None:
    one = looked(board(), (60.0, 30.0, -5.0), Leg(0.0, 4.0, 20.0))
    assert beside(one, 0) == pytest.approx((0.0, REACH_MM)) and beside(one, 180) == pytest.approx((0.0, 60.0))
    assert beside(one, 90) == pytest.approx((0.0, 50.0)) and beside(one, 270) == pytest.approx((0.0, 30.0))
    assert sum(beside(one, 45)) == pytest.approx(50 * math.sqrt(2))


def test_a_clearance_hole_is_air_and_a_slot_more_of_it_one_way() -> None:
    slot = cq.Workplane().box(200, 80, 18, centered=False).faces(">Z").workplane(origin=(60, 30, 18)).slot2D(12, 5).cutThruAll().val()
    one = looked(slot, (60.0, 30.0, -2.0), Leg(0.0, 4.0, 40.0))
    assert one.bite_mm == 0.0
    assert beside(one, 0)[0] == pytest.approx(6.0, abs=0.05) and beside(one, 90)[0] == pytest.approx(2.5, abs=0.05)


def test_a_hole_across_the_way_breaks_the_bite() -> None:
    crossed = board().cut(cq.Solid.makeCylinder(4, 80, cq.Vector(60, 0, 9), cq.Vector(0, 1, 0)))
    one = looked(crossed, (60.0, 30.0, -2.0), Leg(0.0, 2.0, 20.0))
    assert one.broken_mm == pytest.approx(8.0, abs=0.5) and one.bite_mm == pytest.approx(10.0, abs=0.5)


def test_a_screw_beside_the_board_is_not_in_it() -> None:
    frame = Frame((220.0, 30.0, 0.0), BOARD.x, BOARD.y, BOARD.z)
    assert driven_in((Leg(0.0, 4.0, 20.0),), Wood.of(mesh_of(cq.Solid.makeBox(200, 80, 18))), Pose.of(frame, BOARD)) == ()
