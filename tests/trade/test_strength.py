from itertools import pairwise

import pytest

from build123.trade.fasteners import screws
from build123.trade.strength import allowable_withdrawal_n, lateral_groups, lateral_n, nail_withdrawal_n, withdrawal_n, withdrawals
from build123.trade.tables import INCH_MM, species

INCH = float(INCH_MM)
LBF_N = 4.4482216


def test_a_number_eight_pulls_out_of_red_oak_as_the_handbook_says() -> None:
    # WE25, FPL-GTR-282 Eq. 8-10a and Table 8-9: D 4.17 mm, G 0.63, 25.4 mm of thread: 4551 N
    assert withdrawal_n(0.63, 4.17, 25.4) == pytest.approx(4551, rel=0.005)
    # WE26, Eq. 8-10b (from memory): 15700 G² D L = 1022 lbf
    oak, eight = species()["red_oak_northern"], screws()["8"]
    assert oak.specific_gravity
    assert withdrawal_n(oak.specific_gravity, eight.diameter_mm, INCH) / LBF_N == pytest.approx(1022, rel=0.005)


def test_end_grain_holds_three_quarters() -> None:
    # FPL Wood Handbook ch. 8 (from memory)
    assert withdrawal_n(0.63, 4.17, 25.4, end_grain=True) == pytest.approx(0.75 * 4551, rel=0.005)


def test_what_a_screw_in_spruce_may_be_trusted_with() -> None:
    # WE27, engineering handbook page: G 0.45, D 0.190 in: 109 lbf for each inch, about 1/5.5 of the ultimate
    trusted = allowable_withdrawal_n(0.45, 0.190 * INCH, INCH)
    assert trusted / LBF_N == pytest.approx(109, rel=0.01)
    assert withdrawal_n(0.45, 0.190 * INCH, INCH) / trusted == pytest.approx(5.5, rel=0.01)


def test_an_eightpenny_nail_in_douglas_fir() -> None:
    # WE28, FPL-GTR-282 Eq. 8-1 and Table 8-1: D 3.33 mm, G 0.48, 25.4 mm: 731 N
    assert nail_withdrawal_n(0.48, 3.33, 25.4) == pytest.approx(731, rel=0.005)


def test_a_number_ten_across_dense_hardwood() -> None:
    # WE29, FPL-GTR-282 Eq. 8-13 and Table 8-4: K 44.13, D 4.83 mm: 1030 N
    assert lateral_n(0.63, True, 4.83) == pytest.approx(1030, rel=0.005)


@pytest.mark.parametrize(
    ("group", "psi"),
    [
        # FPL-GTR-282 Table 8-4, K for screws in inch-pound units (from memory but for the dense hardwoods)
        ("hardwood light", 3360),
        ("hardwood medium", 4640),
        ("hardwood dense", 6400),
        ("softwood light", 3360),
        ("softwood medium", 4320),
        ("softwood dense", 5280),
    ],
)
def test_the_two_unit_sets_of_the_lateral_table_agree(group: str, psi: float) -> None:
    assert lateral_groups()[group].screw_k == pytest.approx(psi * LBF_N / INCH**2, rel=0.001)


@pytest.mark.parametrize("hardwood", [True, False])
def test_the_groups_of_one_kind_follow_one_another(hardwood: bool) -> None:
    groups = [group for group in lateral_groups().values() if group.hardwood == hardwood]
    for light, dense in pairwise(groups):
        assert light.gravity_high + 0.01 == pytest.approx(dense.gravity_low)
        assert light.screw_k < dense.screw_k


def test_a_wood_between_two_groups_counts_as_the_lighter() -> None:
    assert lateral_n(0.475, True, 1) == 23.17
    assert lateral_n(0.48, True, 1) == 31.99
    assert lateral_n(0.59, False, 1) == 36.40, "longleaf pine is heavier than the table's softwoods"
    assert lateral_n(0.20, False, 1) is None


def test_every_equation_has_its_source() -> None:
    assert set(withdrawals()) == {"screw withdrawal", "screw withdrawal allowable", "nail withdrawal"}
    assert all(equation.source and equation.confidence == "confirmed" for equation in withdrawals().values())
