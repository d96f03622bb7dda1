"""Wrong worths of rows, rounded ones too, make the bound weaker, never false."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from optimizer.search.cutting import CuttingTables
from optimizer.search.grid import Rounding
from optimizer.search.growing import grow
from optimizer.search.knapsack import Ints
from optimizer.search.listing import Listed, Listing
from optimizer.search.money import CENT_PARTS
from optimizer.search.pricing import Prices, least_of
from optimizer.search.problem import Problem
from optimizer.search.programme import Programme
from optimizer.search.watch import Watch
from tests.drawn_jobs import drawn_problem, least_cents

SEEDS = (0, 2, 3, 5)
WITHOUT_END = 10**6 * 100 * CENT_PARTS


def programme_of(problem: Problem) -> tuple[Programme, list[Listed]]:
    """The linear programme with rounded rows, and all patterns there are but dominated ones."""
    tables = [CuttingTables(problem, of, Rounding.FOR_PLANS) for of in problem.by_lumber()]
    programme = Programme(problem, whole=False)
    linear = grow(problem, tables, programme, Watch())
    useful, lists = problem.useful_blanks(), list[Listed]()
    for table in tables:
        budgets = np.full(len(table.supplies), WITHOUT_END)
        listing = Listing(table, linear.blanks, useful, 200_000, Watch(seconds=600))
        lists += listing.lists(budgets)
    for _ in range(4):
        programme.round_off(20)
        programme.solve_linear()
    return programme, lists


def drawn_factors(data: st.DataObject, worths: Ints) -> Ints:
    factors = st.one_of(st.just(1.0), st.floats(0, 3))
    return np.array([int(worth * data.draw(factors)) for worth in worths], dtype=np.int64)


@pytest.mark.parametrize("seed", SEEDS)
def test_the_bound_at_right_worths_is_the_linear_optimum(seed: int) -> None:
    problem = drawn_problem(seed)
    programme, lists = programme_of(problem)
    linear = programme.solve_linear()
    prices = Prices(problem, programme.first, programme.rounded, linear)
    gain, _ = least_of(prices, lists)
    bound = (prices.of_rows() + gain) / CENT_PARTS
    assert bound <= linear.value + 0.01  # patterns that are missing in the programme lower it
    assert bound <= least_cents(seed)


@pytest.mark.parametrize("seed", SEEDS)
@given(data=st.data())
@settings(max_examples=25)
def test_no_worths_of_any_rows_lift_the_bound_above_the_least_cost(
    seed: int, data: st.DataObject
) -> None:
    problem = drawn_problem(seed)
    programme, lists = programme_of(problem)
    right = programme.solve_linear()
    wrong = replace(
        right,
        rows=drawn_factors(data, right.rows),
        rounded=drawn_factors(data, right.rounded),
    )
    prices = Prices(problem, programme.first, programme.rounded, wrong)
    gain, _ = least_of(prices, lists)
    assert prices.of_rows() + gain <= least_cents(seed) * CENT_PARTS
