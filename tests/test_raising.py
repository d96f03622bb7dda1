"""The linear optimum is raised by rows and patterns, and stays below all whole counts."""

from __future__ import annotations

from fractions import Fraction

import pytest

from optimizer.search.money import ALLOWED, CENT_PARTS
from optimizer.search.pricing import least_of
from optimizer.search.raising import Raising
from tests.drawn_jobs import drawn_problem, least_cents
from tests.test_levels import PLENTY, levels_at_root

SEEDS = [2, 11, 16, 17]


def raising(seed: int) -> Raising:
    """With the patterns of the plain optimum; all below a plan somewhat too dear are listed."""
    levels, programme, prices = levels_at_root(seed)
    levels.begin(prices(), PLENTY)
    root = programme.solve_linear()
    raised = Raising(
        drawn_problem(seed), levels.tables, levels, levels.standing, levels.watch, root
    )
    raised.add(programme.columns)
    raised.by_patterns()
    assert raised.linear.value >= root.value - 1e-6  # blanks of no use count for nothing
    return raised


@pytest.mark.parametrize("seed", SEEDS)
def test_rows_raise_the_optimum_and_no_plan_is_below_it(seed: int) -> None:
    """The least cost is that of an independent formulation in CP-SAT; of plans no better than the
    one given nothing is said.
    """
    raised = raising(seed)
    given, least = Fraction(raised.standing.net) * 100, least_cents(seed) + Fraction(1, 2)
    values = [raised.linear.value]
    for raise_on in (raised.by_rows, lambda: raised.by_rows_beside(1)):
        raise_on()
        values.append(raised.linear.value)
        bound = raised.levels.shorten(raised.prices)
        assert min(Fraction(bound, CENT_PARTS), given) <= least
    assert values[0] < values[1] <= values[2] + 1e-6
    assert min(values[2], given) <= least


@pytest.mark.parametrize("seed", SEEDS)
def test_no_listed_pattern_costs_less_than_it_brings_in_the_end(seed: int) -> None:
    raised = raising(seed)
    raised.by_rows()
    before = len(raised.programme.columns)
    gain, _ = least_of(raised.prices, raised.levels.all, raised.levels.budget())
    assert gain > -ALLOWED
    raised.by_patterns()
    assert len(raised.programme.columns) == before
