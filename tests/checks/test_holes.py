"""Dowel holes: in line, whole, with wood about them, and enough of them."""

from __future__ import annotations

from dataclasses import replace

import pytest
from tray import PLY, SHOP_PLY, Bore, BoreGap, BoreWall, Box, cut, drilled, facts_of, found, measured, part

from build123.checks.seen import Seen
from build123.model.design import Design, Expect, ExpectKind, Joint
from build123.model.feature import Datum, EndKind, Hole, HoleStep, Trench, TrenchEnd
from build123.model.frame import Frame, Vec
from build123.model.measured import ShapeFacts
from build123.model.part import Part, Stock
from build123.problem import Severity

JOINT = "dowels: lid to base"


def lid_on_base(*points: Vec, stock: Stock = PLY) -> Design:
    """A lid lying on a base, with dowels 8 mm thick at some points of the plane between them (z = 18)."""
    base = part("base", Frame(), (400.0, 200.0, 18.0), *(cut(drilled(x, y, 8, 12), JOINT, "dowel hole") for x, y, _ in points), stock=stock)
    lid = part("lid", Frame((0, 0, 18)), (400.0, 200.0, 18.0), stock=stock)
    bores = [
        Expect(ExpectKind.bore, "lid", "base", (0, 0, -1), Box(p, p).grown(8), 0.0, 0.1, what=f"dowel {n}") for n, p in enumerate(points)
    ]
    return Design("Box", "box", "mm", (base, lid), joints=(Joint(JOINT, "dowels", "lid", "base", (0, 0, 1), tuple(bores)),))


def meets(at: Vec, offset: float = 0.0) -> BoreGap:
    return BoreGap("base", "lid", (0, 0, 1), at, 4.0, 4.0, offset, 0.0, 12.0, 12.0)


ONE, TWO = (50.0, 30.0, 18.0), (350.0, 30.0, 18.0)


def test_two_dowels_in_line_have_nothing_to_say() -> None:
    assert found(measured(lid_on_base(ONE, TWO), [], [meets(ONE), meets(TWO, 0.1)])) == []


def test_a_hole_out_of_line_is_told_with_the_worst_offset() -> None:
    (one,) = found(measured(lid_on_base(ONE, TWO), [], [meets(ONE, 0.2), meets((350.0, 30.5, 18.0), 0.5)]))
    assert (one.id, one.severity) == ("holes-out-of-line", Severity.error)
    assert one.message == "2 of 2 holes of lid and base are out of line, by up to 0.5 mm, at x 350 mm, y 30.5 mm, z 18 mm"
    assert one.numbers["tolerance_mm"] == 0.1


def test_a_hole_that_meets_none_is_told() -> None:
    (one,) = found(measured(lid_on_base(ONE, TWO, (200.0, 30.0, 18.0)), [], [meets(ONE), meets(TWO)]))
    assert one.message == "1 of 3 holes of lid and base meet no hole at all, at x 200 mm, y 30 mm, z 18 mm"


def test_one_dowel_lets_the_part_turn() -> None:
    (one,) = found(measured(lid_on_base(ONE), [], [meets(ONE)]))
    assert (one.id, one.severity) == ("too-few-dowels", Severity.warning)


def test_two_expected_dowels_that_are_one_hole_count_as_one() -> None:
    """Counted on the solids: both expectations find the same hole."""
    near = (53.0, 30.0, 18.0)
    assert [one.id for one in found(measured(lid_on_base(ONE, near), [], [meets(ONE)]))] == ["too-few-dowels"]


def test_a_single_dowel_in_a_housed_part_only_pins_it() -> None:
    design = lid_on_base(ONE)
    walls = Expect(ExpectKind.clearance, "lid", "base", (0, 1, 0), Box((0, 0, 12), (400, 18, 18)), 0.05, 0.25, what="between the walls")
    housed = replace(design, joints=(*design.joints, Joint("groove: lid in base", "groove", "lid", "base", None, (walls,))))
    assert found(measured(housed, [], [meets(ONE)]), "too-few-dowels") == []


def bored(whole: float = 1.0, base: Vec = (50, 30, 18), tip: Vec = (50, 30, 6), radius: float = 4.0) -> Bore:
    return Bore(base, tip, radius, True, whole)


def with_base(design: Design, bores: tuple[Bore, ...], walls: tuple[BoreWall, ...] = ()) -> Seen:
    facts = facts_of(design.parts[0], bores=bores, bore_walls=walls)
    return measured(design, [], [meets(ONE), meets(TWO)], facts={"base": facts})


def broken(part_: Part, *bores: Bore) -> list[str]:
    facts: ShapeFacts = facts_of(part_, bores=bores)
    return [one.message for one in found(measured(Design("One", "one", "mm", (part_,)), [], facts={part_.name: facts}), "hole-breaks-out")]


BLIND = drilled(50, 30, 8, 12)


def test_a_whole_blind_hole_is_silent() -> None:
    assert broken(part("base", Frame(), (400.0, 200.0, 18.0), cut(BLIND)), bored()) == []


def test_a_hole_open_along_its_side_breaks_out() -> None:
    (says,) = broken(part("base", Frame(), (400.0, 200.0, 18.0), cut(BLIND, label="dowel hole")), bored(0.9))
    assert says == "a dowel hole of 8 mm in base is open along its side: 10 % of its wall is missing"


def test_a_hole_that_no_feature_speaks_of_is_looked_at_all_the_same() -> None:
    plain = part("base", Frame(), (400.0, 200.0, 18.0))
    assert broken(plain, bored(0.7)) != []
    assert broken(plain, bored(tip=(50, 30, 0))) == ["a hole of 8 mm in base comes out of the bottom face"]
    assert broken(plain, bored()) == []


def test_a_blind_hole_without_its_floor_comes_out() -> None:
    deep = part("base", Frame(), (400.0, 200.0, 18.0), cut(drilled(50, 30, 8, 20), label="dowel hole"))
    assert broken(deep, bored(tip=(50, 30, 0))) == ["a dowel hole of 8 mm in base comes out of the bottom face before its floor"]


def test_a_through_hole_is_meant_to_come_out() -> None:
    assert broken(part("base", Frame(), (400.0, 200.0, 18.0), cut(drilled(50, 30, 8, 18, through=True))), bored(tip=(50, 30, 0))) == []


def test_the_round_end_of_a_trench_is_no_broken_hole() -> None:
    end = TrenchEnd(EndKind.round, 9.0)
    stopped = Trench(Datum(Frame((0, 0, 18)), "+z"), (50, 0), (50, 150), 18.0, 6.0, end_end=end)
    round_end = bored(0.5, (50, 150, 18), (50, 150, 12), 9.0)
    assert broken(part("base", Frame(), (400.0, 200.0, 18.0), cut(stopped)), round_end) == []
    assert broken(part("base", Frame(), (400.0, 200.0, 18.0)), round_end) != []


def test_a_counterbore_is_deep_where_its_last_step_is() -> None:
    stepped = Hole(Datum(Frame((0, 0, 18)), "+z"), (50, 30), (HoleStep(16, 4), HoleStep(8, 12)))
    wide = bored(1.0, (50, 30, 18), (50, 30, 14), 8.0)
    narrow = bored(1.0, (50, 30, 14), (50, 30, 6), 4.0)
    assert broken(part("base", Frame(), (400.0, 200.0, 18.0), cut(stepped)), wide, narrow) == []


def beside(wall_mm: float, kind: str = "beside") -> BoreWall:
    return BoreWall(0, wall_mm, (50, 30 - 4 - wall_mm, 12) if kind == "beside" else (50, 30, 0), kind)  # type: ignore[arg-type]


@pytest.mark.parametrize(("wall_mm", "severity"), [(3.7, None), (3.5, Severity.note), (2.7, Severity.note), (2.5, Severity.warning)])
def test_wood_beside_an_8_mm_dowel(wall_mm: float, severity: Severity | None) -> None:
    # DOWEL-EDGE 0.45 x 8 = 3.6 mm (machine maker author); a third of 8 = 2.67 mm
    told = found(with_base(lid_on_base(ONE, TWO), (bored(),), (beside(wall_mm),)))
    assert [(one.id, one.severity) for one in told] == ([] if severity is None else [("dowel-too-near-face", severity)])


@pytest.mark.parametrize(("wall_mm", "severity"), [(5.0, None), (4.5, Severity.note), (1.2, Severity.warning)])
def test_wood_beyond_the_bottom_of_a_dowel_hole(wall_mm: float, severity: Severity | None) -> None:
    # 3/16 in = 4.76 mm (bench review of DOWEL-DEPTH)
    told = found(with_base(lid_on_base(ONE, TWO), (bored(),), (beside(wall_mm, "beyond"),)))
    assert [one.severity for one in told] == ([] if severity is None else [severity])


def test_an_edge_hole_is_judged_on_the_nominal_thickness() -> None:
    """3/8 in dowel centred in 23/32 in stock: 0.172 in is left, 0.45 x 3/8 = 0.169 in; a hair off centre is still ordinary."""
    hole = Bore((100, 0, 9.128), (100, 25, 9.128), 4.7625, True, 1.0)
    edge = part("base", Frame(), (400.0, 200.0, SHOP_PLY.thickness_mm), stock=SHOP_PLY)
    near = Box((100, 0, 9.128), (100, 0, 9.128)).grown(8)
    joint = Joint(JOINT, "dowels", "lid", "base", None, (Expect(ExpectKind.bore, "lid", "base", (0, 1, 0), near),) * 2)
    lid = part("lid", Frame((0, -18, 0)), (400.0, 18.0, 18.0))

    def told(wall_mm: float) -> list[Severity]:
        facts = facts_of(edge, bores=(hole,), bore_walls=(BoreWall(0, wall_mm, (100, 10, 0)),))
        design = Design("Box", "box", "in", (edge, lid), joints=(joint,))
        return [one.severity for one in found(measured(design, [], facts={"base": facts}), "dowel-too-near-face")]

    assert told(0.172 * 25.4) == []
    assert told(0.160 * 25.4) == []
    assert told(0.120 * 25.4) == [Severity.note]
