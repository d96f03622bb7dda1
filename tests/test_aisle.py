"""Plan B for each line of the shopping list, and the rack pieces on which a plan hinges."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from optimizer.advice.aisle import hinges, plans_b, spare
from optimizer.plan.comparison import Hinge, PlanB
from tests.shop_floor import job
from tests.small_town import DEAR_PLANK, PLANK, RAILS, asking, solved, town


def test_where_a_board_is_out_the_cheapest_other_way_is_told() -> None:
    stock = town()
    # Two rails out of a plank of 96 for 6.00; without it out of one of 120 for 9.00.
    assert plans_b(stock, RAILS, solved(stock, RAILS), asking()) == (
        PlanB(
            store="Weir",
            offer=PLANK.name,
            culls=None,
            more=Decimal("3.00"),
            instead=((1, "Lock", DEAR_PLANK.name),),
        ),
    )


def test_a_line_stands_as_many_culls_as_the_store_has_more_boards() -> None:
    stock = replace(town(), offers=(DEAR_PLANK,))
    (found,) = plans_b(stock, RAILS, solved(stock, RAILS), asking())
    assert (found.culls, found.more) == (4, None)  # 5 in stock, 1 bought, and nothing else to buy


def test_boards_that_are_not_needed_then_are_told_too() -> None:
    stock = town()
    # Seven rails: the offcut, and three planks of 96; or two for each of 120, of which 5 are there.
    many = job(replace(RAILS.parts[0], count=7))
    (found,) = plans_b(stock, many, solved(stock, many), asking())
    assert (found.instead, found.not_needed) == (((3, "Lock", DEAR_PLANK.name),), ())
    assert found.more == Decimal("9.00")


def test_a_rack_piece_with_little_to_spare_is_a_hinge() -> None:
    stock = town()
    plan = solved(stock, RAILS)
    # 46 out of 46 1/4; without it one more plank.
    expected = Hinge(
        tag="R001",
        bay="A",
        spare_length=Fraction(1, 4),
        spare_width=Fraction(0),
        more=Decimal("6.00"),
    )
    assert hinges(stock, RAILS, plan, Fraction(1, 2), asking()) == (expected,)
    assert hinges(stock, RAILS, plan, Fraction(1, 4), asking()) == ()


def test_a_piece_without_which_the_job_cannot_be_made_comes_first() -> None:
    stock = replace(town(), offers=(replace(DEAR_PLANK, in_stock=1),))
    (found,) = hinges(stock, RAILS, solved(stock, RAILS), Fraction(1), asking())
    assert found.more is None


def test_to_spare_is_what_lies_beyond_the_last_blank() -> None:
    (board,) = [board for board in solved(town(), RAILS).boards if board.from_rack]
    assert spare(board) == (Fraction(1, 4), 0)
