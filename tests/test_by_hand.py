"""Longest first by hand gives valid plans, and does what a maker would do."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest

from optimizer.job.parts import Faces, Make
from stock.shop import Sawing
from tests.benchmarks.by_hand import plan_by_hand
from tests.benchmarks.shop_jobs import FAMILY_A, FAMILY_B, Family, shop_job
from tests.drawn_jobs import drawn_job, least_cents
from tests.shop_floor import book, job, on_rack, part, shop, sold

RAIL = {"make": Make.SOLID, "faces": Faces.AS_BOUGHT}


def test_the_longest_goes_first_and_the_others_where_they_first_fit() -> None:
    # Usable 95. 60 and 30 share a board, 50 and 40 another, and so does the next 30 no more:
    # 60 + 30 + 1/8 = 90 1/8, 50 + 40 + 1/8 = 90 1/8.
    stock = book(sold("1 1/2 x 3 1/2 x 96", "4.00"), shop=shop())
    rails = [
        part(f"1 1/2 x 3 1/2 x {n}", name=f"Rail {n}", count=count, **RAIL)
        for n, count in ((30, 2), (40, 1), (50, 1), (60, 1))
    ]
    plan = plan_by_hand(stock, job(*rails))
    assert [[blank.length for blank in board.blanks] for board in plan.boards] == [
        [60, 30],
        [50, 40],
        [30],
    ]


def test_the_smallest_offcut_that_will_do_is_taken_before_any_board() -> None:
    offcuts = (on_rack("R001", "1 1/2 x 3 1/2 x 50"), on_rack("R002", "1 1/2 x 3 1/2 x 34"))
    stock = book(sold("1 1/2 x 3 1/2 x 96", "4.00"), *offcuts, shop=shop())
    plan = plan_by_hand(stock, job(part("1 1/2 x 3 1/2 x 33", **RAIL)))
    assert [board.tag for board in plan.boards] == ["R002"]


def test_crooked_offcuts_and_boards_with_their_pith_are_left_alone() -> None:
    crooked = replace(on_rack("R001", "1 1/2 x 3 1/2 x 50"), crook=Fraction(1, 4))
    wide, narrow = sold("1 1/2 x 11 1/4 x 96", "3.00"), sold("1 1/2 x 3 1/2 x 96", "4.00")
    stock = book(crooked, wide, narrow, shop=shop(pith_width=1, pith_from=11))
    plan = plan_by_hand(stock, job(part("1 1/2 x 3 x 33", make=Make.SOLID)))
    assert [line.offer for line in plan.buy] == ["1 1/2 x 3 1/2 x 96"]
    assert len(plan.boards) == 1


def test_the_board_that_is_cheapest_by_the_foot_is_bought_then_the_shortest_that_holds_all() -> (
    None
):
    boards = (
        sold("1 1/2 x 3 1/2 x 144", "5.00"),  # cheapest by the foot
        sold("1 1/2 x 3 1/2 x 96", "4.00"),
        sold("1 1/2 x 5 1/2 x 96", "3.90"),  # not as wide: needs another drawing
    )
    stock = book(*boards, shop=shop())
    one = plan_by_hand(stock, job(part("1 1/2 x 3 1/2 x 90", **RAIL)))
    assert [line.offer for line in one.buy] == ["1 1/2 x 3 1/2 x 96"]
    two = plan_by_hand(stock, job(part("1 1/2 x 3 1/2 x 66", count=2, **RAIL)))
    assert [line.offer for line in two.buy] == ["1 1/2 x 3 1/2 x 144"]


def test_strips_are_ripped_side_by_side() -> None:
    # 2 1/2 + 1/8 + 2 1/2 is less than 5 1/2: two strips of one segment, and no third.
    stock = book(sold("1 1/2 x 5 1/2 x 96", "6.00"), shop=shop())
    plan = plan_by_hand(stock, job(part("1 1/2 x 2 1/2 x 40", count=3, **RAIL)))
    assert [(blank.x, blank.y) for blank in plan.boards[0].blanks] == [
        (Decimal("0.5"), 0),
        (Decimal("0.5"), Decimal("2.625")),
        (Decimal("40.625"), 0),
    ]


@pytest.mark.parametrize("family", [FAMILY_A, FAMILY_B], ids=["A", "B"])
@pytest.mark.parametrize("seed", range(10))
def test_every_made_up_job_can_be_done_by_hand(family: Family, seed: int) -> None:
    stock, made = shop_job(family, seed)
    plan = plan_by_hand(stock, made)  # which the audit has passed
    assert len(plan.parts) == sum(each.copies for each in made.parts)


# By hand boards are crosscut first: the least cost of a shop that rips first says nothing of it.
CROSSCUT = [seed for seed in range(12) if drawn_job(seed)[0].shop.sawing is not Sawing.RIP_FIRST]


@pytest.mark.parametrize("seed", CROSSCUT)
def test_nobody_works_below_the_least_cost(seed: int) -> None:
    stock, made = drawn_job(seed)
    assert 100 * plan_by_hand(stock, made).cost.net >= least_cents(seed) - 2
