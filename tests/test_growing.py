"""Growing patterns ends at the linear optimum over every pattern there is."""

from __future__ import annotations

from fractions import Fraction
from unittest.mock import patch

import numpy as np
import pytest

from optimizer.search.bound import lower_bound
from optimizer.search.cutting import CuttingTables
from optimizer.search.grid import Rounding
from optimizer.search.growing import grow, spare_patterns
from optimizer.search.money import CENT_PARTS
from optimizer.search.patterns import Column
from optimizer.search.problem import Problem
from optimizer.search.programme import Programme
from optimizer.search.watch import Watch
from stock.shop import Sawing
from tests.drawn_jobs import drawn_problem
from tests.shop_floor import bare_shop, book, part, posed, sold


def tables_of(problem: Problem) -> list[CuttingTables]:
    return [CuttingTables(problem, of, Rounding.FOR_PLANS) for of in problem.by_lumber]


def test_the_linear_optimum_of_a_published_example() -> None:
    # Lumber example of Winston, Introduction to Mathematical Programming (title from memory); data
    # of lecture notes MIE376, lecture 8: boards of 17, 25 of 3, 20 of 5, 15 of 9. Its linear
    # optimum, 18 1/3 boards, was computed by others than this program.
    stock = book(sold("1 x 4 x 17", "1.00"), shop=bare_shop())
    demand = ((3, 25), (5, 20), (9, 15))
    parts = [part(f"1 x 4 x {length}", f"of {length}", count=n) for length, n in demand]
    problem = posed(stock, *parts)
    linear = grow(problem, tables_of(problem), Programme(problem), Watch())
    assert linear.value == pytest.approx(100 * 55 / 3)


@pytest.mark.parametrize("sawing", [Sawing.FREE, Sawing.RIP_FIRST])
def test_where_there_is_one_kind_of_board_a_round_brings_several_patterns(sawing: Sawing) -> None:
    stock = book(sold("1 x 12 x 60", "9.00"), shop=bare_shop(sawing=sawing))
    sizes = ("1 x 3 x 20", "1 x 4 x 25", "1 x 5 x 14")
    problem = posed(stock, *(part(size, size, count=3) for size in sizes))
    programme = Programme(problem)
    with patch.object(programme, "add", wraps=programme.add) as add:
        grow(problem, tables_of(problem), programme, Watch())
    assert max(len(call.args[0]) for call in add.call_args_list) > 1


@pytest.mark.parametrize("seed", range(10))
def test_the_bound_at_its_worths_meets_the_linear_optimum(seed: int) -> None:
    problem = drawn_problem(seed)
    tables = tables_of(problem)
    linear = grow(problem, tables, Programme(problem), Watch())
    bound = lower_bound(problem, tables, linear.blanks, extra=linear.extra)
    assert float(Fraction(bound.cost, CENT_PARTS)) == pytest.approx(linear.value, abs=1)


def test_an_ended_watch_grows_nothing() -> None:
    problem, watch = drawn_problem(0), Watch()
    watch.stop()
    programme = Programme(problem)
    assert grow(problem, tables_of(problem), programme, watch).missing
    assert programme.columns == []


def test_spare_patterns_are_possible_and_always_the_same() -> None:
    problem = drawn_problem(0)
    worths = np.full(len(problem.kinds), 500 * CENT_PARTS)

    def spare() -> list[Column]:
        return spare_patterns(tables_of(problem), worths, Watch())

    found = spare()
    assert {column.pattern.supply for column in found} <= set(range(len(problem.supplies)))
    assert all(column.counts == column.pattern.counts() for column in found)
    assert found == spare()
