"""What a plan comes to beside money, followed with a pencil."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest

from optimizer.plan.beside import Load
from optimizer.plan.figures import feet_of, figures
from optimizer.plan.plan import Purchase
from stock.prices import to_cent
from tests.rack_plans import treated_post
from tests.sound_plans import boat_rack


def test_the_figures_of_the_boat_rack() -> None:
    case = boat_rack()
    found = figures(case.plan, case.stock.shop)
    assert (found.boards, found.rack_pieces, found.leftovers, found.glue_lines) == (3, 1, 2, 2)
    # The bill has 35.33 for these minutes at 20.00 an hour.
    assert to_cent(found.minutes / 60 * 20) == Decimal("35.33")


def test_weight_is_that_of_the_load() -> None:
    case = boat_rack()
    plan = replace(case.plan, load=Load(weight=29))
    assert figures(plan, case.stock.shop).weight == 29


def test_waste_is_what_is_neither_in_a_part_nor_kept() -> None:
    case = boat_rack()
    used = 231 + 504 + 792 + 189
    kept = Fraction(131, 4) * Fraction(3, 2) * (Fraction(7, 2) + Fraction(11, 2))
    rail, post = 40 * Fraction(5, 2) * Fraction(5, 4), 30 * Fraction(11, 4) ** 2
    shelf, slats = 30 * 8 * Fraction(9, 8), 3 * 20 * Fraction(7, 2) * Fraction(3, 4)
    waste = (used - kept - rail - post - shelf - slats) / used
    assert figures(case.plan, case.stock.shop).waste == waste


def test_waste_is_a_share_of_what_is_bought_and_not_of_what_is_made() -> None:
    # Common practice, no source, by arithmetic: 100 board feet net at 30 % waste are 142.86 gross.
    case = treated_post()
    (board,) = case.plan.boards
    longer = replace(board, length=board.length * Fraction("1.4286"))
    waste = figures(replace(case.plan, boards=(longer,)), case.stock.shop).waste
    assert abs(waste - Fraction("0.30")) < Fraction(1, 10_000)


@pytest.mark.parametrize(
    ("size", "measures", "feet"),
    [
        # PS 20-20, board measure: nominal thickness and width in inches, length in feet, over 12.
        ("2x4", (Fraction(3, 2), Fraction(7, 2), 96), Fraction(16, 3)),
        ("1x12", (Fraction(3, 4), Fraction(45, 4), 144), Fraction(12)),
        ("", (Fraction(3, 2), Fraction(6), 96), Fraction(6)),  # measured where it has no name
        ("home-made", (Fraction(1), Fraction(12), 12), Fraction(1)),
    ],
)
def test_board_feet_go_by_nominal_size(
    size: str, measures: tuple[Fraction, Fraction, int], feet: Fraction
) -> None:
    thickness, width, length = measures
    line = Purchase(
        store="Mill",
        offer="board",
        count=3,
        each=Decimal(1),
        size=size,
        wood="",
        treated=False,
        thickness=thickness,
        width=width,
        length=Fraction(length),
    )
    assert feet_of(line) == feet
