"""Boards of a poor plan are freed, and their blanks planned anew."""

from __future__ import annotations

from decimal import Decimal

from optimizer.search.cutting import CuttingTables
from optimizer.search.freeing import Freeing
from optimizer.search.grid import Rounding
from optimizer.search.searching import close_gap
from tests.poor_plans import wasteful


def test_a_wasteful_plan_becomes_better() -> None:
    problem, standing, watch = wasteful()
    assert standing.net == Decimal("36.00")
    tables = [CuttingTables(problem, of, Rounding.FOR_PLANS) for of in problem.by_lumber()]
    Freeing(problem, tables, standing, watch, close_gap).run(40)
    assert standing.net == Decimal("12.00")
    assert standing.whole is not None
    assert sum(count for _, count in standing.whole.boards) == 2
