"""Wrong worths make the bound weaker, never false; and money is rounded on the safe side."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from optimizer.search.bound import lower_bound
from optimizer.search.cutting import CuttingTables
from optimizer.search.grid import Rounding
from optimizer.search.growing import grow
from optimizer.search.knapsack import Ints
from optimizer.search.money import CENT_PARTS, as_money
from optimizer.search.programme import Programme
from optimizer.search.watch import Watch
from stock.prices import to_cent
from tests.drawn_jobs import drawn_problem, least_cents
from tests.shop_floor import bare_shop, book, on_rack, part, posed, sold

SEEDS = range(6)


def bound_of(seed: int, worths: Callable[[int], Ints]) -> Fraction:
    """The bound in cents at ``worths`` (called with the number of kinds) of a small job."""
    problem = drawn_problem(seed)
    tables = [CuttingTables(problem, of, Rounding.FOR_BOUNDS) for of in problem.by_lumber]
    bound = lower_bound(problem, tables, worths(len(problem.kinds)))
    return Fraction(bound.cost, CENT_PARTS)


@given(data=st.data(), seed=st.sampled_from(SEEDS))
@settings(max_examples=120)
def test_no_worths_lift_the_bound_above_the_least_cost(data: st.DataObject, seed: int) -> None:
    dollars = st.one_of(st.just(0), st.integers(0, 30), st.integers(0, 1_000_000))

    def drawn(kinds: int) -> Ints:
        drawn = [data.draw(dollars) for _ in range(kinds)]
        return np.array(drawn, dtype=np.int64) * 100 * CENT_PARTS

    assert bound_of(seed, drawn) <= least_cents(seed)


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize("factor", [0.5, 0.9, 1.0, 1.1, 3.0])
def test_nearly_right_worths_do_not_lift_it_either(seed: int, factor: float) -> None:
    problem = drawn_problem(seed)
    tables = [CuttingTables(problem, of, Rounding.FOR_PLANS) for of in problem.by_lumber]
    right = grow(problem, tables, Programme(problem), Watch()).blanks
    bound = bound_of(seed, lambda _: (right * factor).astype(np.int64))
    assert bound <= least_cents(seed)
    if factor == 1:
        assert bound >= least_cents(seed) * Fraction(3, 4)


def test_boards_of_no_end_set_the_bound_where_all_are_cut_alike() -> None:
    # Each board of 60 for 6.00 gives three rails of 20; four rails take 4/3 of a board: 8.00.
    stock = book(sold("1 x 4 x 60", "6.00"), shop=bare_shop())
    problem = posed(stock, part("1 x 4 x 20", count=4))
    (table,) = (CuttingTables(problem, of, Rounding.FOR_BOUNDS) for of in problem.by_lumber)
    for said, bound in ((200, 800), (100, 400), (0, 0), (2000, 800)):  # too much is scaled down
        values = np.array([said * CENT_PARTS])
        found = lower_bound(problem, [table], values)
        assert found.cost == pytest.approx(bound * CENT_PARTS, abs=20)
        assert found.cost <= bound * CENT_PARTS


def test_a_limited_board_is_no_bargain_without_end() -> None:
    # One offcut of 20 costs nothing, three rails must come from boards of 20 for 2.00 each.
    offcut = on_rack("R001", "1 x 4 x 20")
    stock = book(sold("1 x 4 x 20", "2.00"), offcut, shop=bare_shop())
    problem = posed(stock, part("1 x 4 x 20", count=4))
    (table,) = (CuttingTables(problem, of, Rounding.FOR_BOUNDS) for of in problem.by_lumber)
    assert lower_bound(problem, [table], np.array([200 * CENT_PARTS])).cost == 600 * CENT_PARTS


@pytest.mark.parametrize(
    ("cents", "rounded_sums", "money"),
    [
        ("1050", 0, "10.50"),
        ("1050.01", 0, "10.51"),
        ("1050.01", 1, "10.50"),  # 1050.01 may be 1049.01 and a tax of 1.00
        ("1050.49", 1, "10.50"),
        ("1050.5", 1, "10.51"),  # half a cent is rounded up
        ("1050.5", 2, "10.50"),
        ("-3", 0, "-0.03"),
    ],
)
def test_a_bound_in_money(cents: str, rounded_sums: int, money: str) -> None:
    assert as_money(Fraction(cents), rounded_sums) == Decimal(money)


exact_money = st.fractions(min_value=0, max_value=1000, max_denominator=10_000)


@given(whole=st.integers(0, 10_000), sums=st.lists(exact_money, max_size=4))
def test_rounding_the_sums_of_a_bill_never_goes_below_its_bound(
    whole: int, sums: list[Fraction]
) -> None:
    bill = Decimal(whole).scaleb(-2) + sum(map(to_cent, sums), Decimal(0))
    assert as_money(whole + 100 * sum(sums, Fraction(0)), len(sums)) <= bill
