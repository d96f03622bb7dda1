"""No pattern brings more than the sums say, whichever way each rounded row is summed."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from optimizer.search.cutting import CuttingTables
from optimizer.search.grid import Rounding
from optimizer.search.pricing import Prices
from optimizer.search.upper_sums import UpperSums
from tests.test_pricing import ANY_SEEDS, drawn_prices, known


@pytest.mark.parametrize("seed", ANY_SEEDS)
@given(data=st.data())
@settings(max_examples=25)
def test_no_pattern_costs_less_than_the_sums_say_but_for_the_bonus(
    seed: int, data: st.DataObject
) -> None:
    problem, programme, lists, _ = known(seed)
    prices = drawn_prices(data, problem, programme)
    useful = problem.useful_blanks
    for lumber in problem.by_lumber:
        table = CuttingTables(problem, lumber, Rounding.FOR_PLANS)
        sums = UpperSums(prices, table)
        each = st.lists(st.booleans(), min_size=len(sums.apart), max_size=len(sums.apart))
        sums.apart = np.array(data.draw(each), dtype=bool)
        boards = dict(zip(table.supplies, (sums.boards - sums.bonuses).tolist(), strict=True))
        own_cost = dict(zip(table.supplies, table.cost.tolist(), strict=True))
        for listed in lists:
            if (s := listed.supply) in boards:
                kinds = list(listed.kinds)
                brought = np.minimum(listed.counts, useful[kinds]) @ sums.kinds[kinds]
                least = listed.costs - own_cost[s] + boards[s] - brought
                assert (prices.of_lists([listed])[0] >= least).all()


def test_sums_that_fit_say_less_and_never_more() -> None:
    fewer = 0
    for seed in ANY_SEEDS:
        problem, programme, _, _ = known(seed)
        linear = programme.solve_linear()
        prices = Prices(problem, programme.first, programme.rounded, linear)
        for lumber in problem.by_lumber:
            sums = UpperSums(prices, CuttingTables(problem, lumber, Rounding.FOR_PLANS))
            before = sums.beyond_cost().sum()
            sums.fit()
            assert sums.beyond_cost().sum() <= before
            fewer += sums.beyond_cost().sum() < before
    assert fewer > 1
