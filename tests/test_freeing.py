"""Boards of a poor plan are freed, and their blanks planned anew."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from optimizer.search.cutting import CuttingTables
from optimizer.search.freeing import Freeing
from optimizer.search.grid import Rounding
from optimizer.search.problem import Problem
from optimizer.search.searching import close_gap
from optimizer.search.standing import Standing
from optimizer.search.watch import Watch
from tests.poor_plans import wasteful


def test_a_wasteful_plan_becomes_better() -> None:
    problem, standing, watch = wasteful()
    assert standing.net == Decimal("36.00")
    tables = [CuttingTables(problem, of, Rounding.FOR_PLANS) for of in problem.by_lumber]
    Freeing(problem, tables, standing, watch, close_gap).run(40)
    assert standing.net == Decimal("12.00")
    assert standing.whole is not None
    assert sum(count for _, count in standing.whole.boards) == 2


def test_fewer_boards_are_freed_where_steps_run_out_and_none_in_vain_twice() -> None:
    problem, standing, watch = wasteful()
    tables = [CuttingTables(problem, of, Rounding.FOR_PLANS) for of in problem.by_lumber]
    freed: list[int] = []

    def too_many(
        small: Problem, tables: Sequence[CuttingTables], standing: Standing, watch: Watch
    ) -> None:
        freed.append(sum(small.copies))
        while not watch.over():
            pass

    Freeing(problem, tables, standing, watch, too_many).run(40)
    assert freed == sorted(freed, reverse=True)
    assert (freed[0], freed[-1]) == (6, 2)
    assert len(freed) == len(set(freed))  # all six boards are alike
