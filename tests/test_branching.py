"""Branches in several turns: the bound only rises, and is never above the least cost."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from optimizer.search.answers import Whole
from optimizer.search.branching import MORE, Branching
from optimizer.search.cutting import CuttingTables
from optimizer.search.grid import Rounding
from optimizer.search.standing import Standing
from optimizer.search.watch import Watch
from stock.prices import to_cent
from tests.drawn_jobs import drawn_problem, least_cents


def begun(seed: int) -> tuple[Branching, Standing]:
    problem, watch = drawn_problem(seed), Watch(seconds=60)
    tables = [CuttingTables(problem, of, Rounding.FOR_PLANS) for of in problem.by_lumber()]
    standing = Standing(problem, lambda whole: to_cent(Fraction(whole.cost) / 100), watch)
    return Branching(problem, tables, tables, standing, watch), standing


@pytest.mark.parametrize("seed", [0, 2, 3, 5])
def test_in_turns_the_bound_rises_and_stays_below_the_least(seed: int) -> None:
    """The least cost is that of an independent formulation in CP-SAT."""
    branching, standing = begun(seed)
    bounds = []
    for _ in range(40):
        branching.run(3)
        bounds.append(standing.watch.bound or Decimal(0))
    assert bounds == sorted(bounds)
    assert Fraction(bounds[-1]) * 100 <= least_cents(seed) + Fraction(1, 2)
    assert standing.whole is not None
    assert standing.whole.cost >= least_cents(seed) - 0.5  # cents, as the solver has them


def test_branches_go_on_while_they_raise_the_bound(monkeypatch: pytest.MonkeyPatch) -> None:
    branching, standing = begun(0)
    standing.whole, standing.net = Whole(boards=(), made={}, missing=(), cost=100.0), Decimal(100)
    bounds = iter([50, 60, 75, "75.2", 80])
    asked = list[int]()

    def run(nodes: int) -> None:
        asked.append(nodes)
        standing.watch.proved(Decimal(next(bounds)))

    monkeypatch.setattr(branching, "run", run)
    branching.run_while_rising(7)
    assert asked == [7, MORE, MORE, MORE]  # the last closed less than 2 % of the gap of 25
