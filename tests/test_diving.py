"""Dives from the linear optimum: good plans where there was a poor one, and nothing stays kept."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from optimizer.search.cutting import CuttingTables
from optimizer.search.diving import Diving
from optimizer.search.grid import Rounding
from optimizer.search.growing import grow
from optimizer.search.programme import Programme
from optimizer.search.standing import Standing
from optimizer.search.watch import Watch
from stock.prices import to_cent
from tests.drawn_jobs import drawn_problem, least_cents
from tests.poor_plans import wasteful


def test_a_wasteful_plan_becomes_better() -> None:
    problem, standing, watch = wasteful()
    tables = [CuttingTables(problem, of, Rounding.FOR_PLANS) for of in problem.by_lumber]
    programme = Programme(problem)
    Diving(problem, tables, programme, standing, watch).run(1)
    assert standing.net == Decimal("12.00")
    assert standing.whole is not None
    assert sum(count for _, count in standing.whole.boards) == 2


@pytest.mark.parametrize("seed", [0, 2, 3, 5])
def test_after_dives_the_linear_optimum_is_what_it_was(seed: int) -> None:
    problem, watch = drawn_problem(seed), Watch(seconds=60)
    tables = [CuttingTables(problem, of, Rounding.FOR_PLANS) for of in problem.by_lumber]
    programme = Programme(problem)
    before = grow(problem, tables, programme, watch).value
    standing = Standing(problem, lambda whole: to_cent(Fraction(whole.cost) / 100), watch)
    standing.solve(programme.columns, nodes=1)
    Diving(problem, tables, programme, standing, watch).run(1)
    assert programme.solve_linear().value == pytest.approx(before)
    assert standing.whole is not None
    assert standing.whole.cost >= least_cents(seed) - 0.5
