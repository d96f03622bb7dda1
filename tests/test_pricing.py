"""Wrong worths of rows, rounded ones too, make the bound weaker, never false."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from functools import cache

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from optimizer.search.answers import Whole
from optimizer.search.cutting import CuttingTables
from optimizer.search.grid import Rounding
from optimizer.search.growing import grow
from optimizer.search.knapsack import Ints
from optimizer.search.listed import Listed
from optimizer.search.listing import Listing
from optimizer.search.money import CENT_PARTS, money_units
from optimizer.search.pricing import Budget, Prices, least_of
from optimizer.search.problem import Problem
from optimizer.search.programme import Programme
from optimizer.search.searching import search
from optimizer.search.watch import Watch
from stock.prices import to_cent
from tests.drawn_jobs import drawn_problem, least_cents

SEEDS = (0, 2, 3, 5)
WITHOUT_END = 10**6 * 100 * CENT_PARTS


def budget(problem: Problem, seed: int) -> Budget:
    """What the cheapest plan spends."""
    tables = [CuttingTables(problem, of, Rounding.FOR_PLANS) for of in problem.by_lumber]
    return Budget.of(int(least_cents(seed) * CENT_PARTS), problem, tables)


def programme_of(problem: Problem) -> tuple[Programme, list[Listed]]:
    """The linear programme with rounded rows, and all patterns there are but dominated ones."""
    tables = [CuttingTables(problem, of, Rounding.FOR_PLANS) for of in problem.by_lumber]
    programme = Programme(problem)
    linear = grow(problem, tables, programme, Watch())
    useful, lists = problem.useful_blanks, list[Listed]()
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
    gain, _ = least_of(prices, lists, budget(problem, seed))
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
    gain, _ = least_of(prices, lists, budget(problem, seed))
    assert prices.of_rows() + gain <= least_cents(seed) * CENT_PARTS


# --- any worths, however wrong -------------------------------------------------------------------

ANY_SEEDS = (0, 1, 2, 3, 5, 7, 15)
DOLLARS = st.one_of(st.just(0), st.integers(0, 30), st.integers(0, 1_000_000))


@cache
def known(seed: int) -> tuple[Problem, Programme, list[Listed], Whole]:
    """A small job, its programme with rounded rows, its patterns, and a plan that is the best."""
    problem = drawn_problem(seed)
    programme, lists = programme_of(problem)
    tables = [CuttingTables(problem, of, Rounding.FOR_PLANS) for of in problem.by_lumber]

    def exact(whole: Whole) -> Decimal:
        return to_cent(Fraction(whole.cost) / 100)

    best = search(problem, tables, tables, exact, Watch(seconds=600)).whole
    assert best is not None
    assert not any(best.missing)
    return problem, programme, lists, best


def drawn_prices(data: st.DataObject, problem: Problem, programme: Programme) -> Prices:
    """Prices at worths that have nothing to do with the job, of first rows and rounded ones."""
    right = programme.solve_linear()

    def drawn(rows: Ints) -> Ints:
        most = st.lists(DOLLARS, min_size=len(rows), max_size=len(rows))
        return np.array(data.draw(most), dtype=np.int64) * 100 * (CENT_PARTS // 2**10)

    wrong = replace(right, rows=drawn(right.rows), rounded=drawn(right.rounded))
    # Where there are plenty of boards no row says how many: it is worth nothing.
    wrong.rows[programme.first.of_supplies] *= programme.first.limited
    return Prices(problem, programme.first, programme.rounded, wrong)


@pytest.mark.parametrize("seed", ANY_SEEDS)
@given(data=st.data())
@settings(max_examples=25)
def test_what_a_plan_costs_is_never_below_its_rows_and_reduced_costs(
    seed: int, data: st.DataObject
) -> None:
    problem, programme, lists, best = known(seed)
    prices = drawn_prices(data, problem, programme)
    made = sum(
        count * money_units(problem.ways[part][way].cost)
        for (part, way), count in best.made.items()
    )
    cost = made + sum(count * column.cost for column, count in best.boards)
    counts = np.array([count for _, count in best.boards])
    reduced = int(prices.of_columns([column for column, _ in best.boards]) @ counts)
    assert prices.of_rows() + reduced <= cost
    gain, _ = least_of(prices, lists, budget(problem, seed))
    assert prices.of_rows() + gain <= least_cents(seed) * CENT_PARTS


@pytest.mark.parametrize("seed", ANY_SEEDS)
@given(data=st.data())
@settings(max_examples=25)
def test_no_way_of_making_all_copies_of_a_part_costs_less_than_is_said(
    seed: int, data: st.DataObject
) -> None:
    problem, programme, _, _ = known(seed)
    prices = drawn_prices(data, problem, programme)
    entries = programme.first.of_makings
    brought = prices.rows @ entries.astype(np.int64)
    brought += prices.of_rounded @ programme.rounded.coefficients(entries).astype(np.int64)
    reduced = {
        (part, way): money_units(problem.ways[part][way].cost) - int(worth)
        for (part, way), worth in zip(programme.first.makings, brought, strict=True)
    }
    for part, said in enumerate(prices._parts()):
        ways, left = problem.ways[part], problem.copies[part]
        paid = 0
        while left > 0:  # copies are made in any ways, the last one perhaps more than are left
            way = data.draw(st.integers(0, len(ways) - 1))
            paid, left = paid + reduced[part, way], left - ways[way].copies
        assert said <= paid
