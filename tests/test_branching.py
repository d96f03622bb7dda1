"""Branches in several turns: the bound only rises, and is never above the least cost."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from itertools import product
from types import SimpleNamespace
from typing import Any, cast

import pytest

from optimizer.search.answers import Linear, Whole
from optimizer.search.bound import LowerBound
from optimizer.search.branching import MORE, Branching
from optimizer.search.counts import Range, Ranges, boards, made
from optimizer.search.cutting import CuttingTables
from optimizer.search.grid import Rounding
from optimizer.search.standing import Standing
from optimizer.search.watch import Watch
from stock.prices import to_cent
from tests.drawn_jobs import drawn_problem, least_cents


def begun(seed: int) -> tuple[Branching, Standing]:
    problem, watch = drawn_problem(seed), Watch(seconds=60)
    tables = [CuttingTables(problem, of, Rounding.FOR_PLANS) for of in problem.by_lumber]
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


def test_where_a_leaf_has_too_many_patterns_its_lay_ups_are_tried_and_then_all_others(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """The least cost is that of an independent formulation in CP-SAT."""
    monkeypatch.setattr("optimizer.search.branching.MOST_LISTED", 15)
    branching, standing = begun(6)
    left = list[list[Ranges]]()
    at_leaf = branching._at_leaf

    def watched(*leaf: Any) -> list[Ranges] | None:
        left.append(at_leaf(*leaf) or [])
        return left[-1]

    monkeypatch.setattr(branching, "_at_leaf", watched)
    branching.run()
    assert any(left)
    assert standing.closed
    assert Fraction(standing.net) * 100 == least_cents(6)


def test_what_is_left_of_a_leaf_is_all_but_its_lay_ups_and_nothing_twice(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    branching, _ = begun(0)
    listed = iter([False, True])
    monkeypatch.setattr(branching, "_listed_out", lambda *_: next(listed))
    ranges = {made(0, 0): Range(0, 2), made(0, 1): Range(1, None), boards(0): Range(0, 1)}
    counts = {made(0, 0): 1.0, made(0, 1): 1.0, boards(0): 1.0}
    linear = cast(Linear, SimpleNamespace(counts=counts))
    left = branching._at_leaf(cast(LowerBound, None), ranges, linear)
    assert left is not None
    for one, other in product(range(3), range(1, 5)):
        holding = [
            held
            for held in left
            if within(one, held[made(0, 0)]) and within(other, held[made(0, 1)])
        ]
        assert len(holding) == ((one, other) != (1, 1))
        assert all(held[boards(0)] == Range(0, 1) for held in holding)


def within(count: int, span: Range) -> bool:
    return span.least <= count and (span.most is None or count <= span.most)
