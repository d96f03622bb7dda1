"""Pieces of poor plans make good ones: strips change places between boards."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction

import numpy as np
import pytest

from optimizer.search.answers import Whole
from optimizer.search.cutting import CuttingTables
from optimizer.search.grid import Rounding
from optimizer.search.growing import grow, spare_patterns
from optimizer.search.money import CENT_PARTS
from optimizer.search.patterns import Column, Pattern, Segment, Strip
from optimizer.search.problem import Problem
from optimizer.search.programme import Programme
from optimizer.search.recombining import Recombined, Recombining, ripped
from optimizer.search.standing import Standing
from optimizer.search.watch import Watch
from optimizer.search.whole_programme import WholeProgramme
from stock.prices import to_cent
from stock.shop import Sawing
from tests.drawn_jobs import drawn_problem, least_cents
from tests.poor_plans import wasteful
from tests.shop_floor import bare_shop, book, part, posed, sold

SIX = 600 * CENT_PARTS
SHORT, LONG = 0, 1  # kinds of blanks
WORTHS = np.array([150, 300]) * CENT_PARTS


def two_boards(*strips: Sequence[tuple[int, ...]], sawing: Sawing) -> tuple[Problem, Standing]:
    """Two shorts of 30 and one long of 60, all 2 wide, out of boards of 60 that are 4 wide; a plan
    that takes two boards, ripped into these strips.
    """
    stock = book(sold("1 x 4 x 60", "6.00"), shop=bare_shop(sawing=sawing))
    problem = posed(stock, part("1 x 2 x 30", count=2), part("1 x 2 x 60", count=1))
    assert [int(kind.length) for kind in problem.kinds] == [30, 60]
    standing = Standing(problem, lambda whole: to_cent(Fraction(whole.cost) / 100), Watch())
    boards = tuple((ripped_into(*each), 1) for each in strips)
    made = {(0, 0): 2, (1, 0): 1}
    whole = Whole(boards=boards, made=made, missing=(0, 0), cost=1200.0)
    standing.consider(whole)
    standing.watch.proved(Decimal("6.00"))
    return problem, standing


def ripped_into(*strips: tuple[int, ...]) -> Column:
    width = Fraction(2)
    segment = Segment(Fraction(60), tuple(Strip(width, blanks) for blanks in strips))
    pattern = Pattern(0, (segment,))
    return Column(pattern, pattern.counts(), SIX)


def tables_of(problem: Problem) -> list[CuttingTables]:
    return [CuttingTables(problem, of, Rounding.FOR_PLANS) for of in problem.by_lumber]


def recombining(problem: Problem, standing: Standing) -> Recombining:
    return Recombining(problem, tables_of(problem), standing)


@pytest.mark.parametrize("sawing", [Sawing.FREE, Sawing.RIP_FIRST])
def test_strips_of_two_boards_make_one(sawing: Sawing) -> None:
    problem, standing = two_boards([(SHORT, SHORT)] * 2, [(LONG,)] * 2, sawing=sawing)
    recombining(problem, standing).run([], WORTHS, beside=300, seed=0)
    assert standing.net == Decimal("12.00")  # without patterns beside the plan's none is looked at
    assert standing.whole is not None
    recombining(problem, standing).run(
        [c for c, _ in standing.whole.boards], WORTHS, beside=300, seed=0
    )
    assert standing.net == Decimal("6.00")
    assert sum(count for _, count in standing.whole.boards) == 1


@pytest.mark.parametrize("sawing", [Sawing.FREE, Sawing.RIP_FIRST])
@pytest.mark.parametrize("near_bound", [False, True])
def test_strips_near_the_best_are_tried_too(sawing: Sawing, near_bound: bool) -> None:
    problem, standing = two_boards([(SHORT,)] * 2, [(LONG,)] * 2, sawing=sawing)
    assert standing.whole is not None
    columns = [column for column, _ in standing.whole.boards]
    alone = Recombined(problem, tables_of(problem))
    alone.add(columns)
    least = alone.solve_whole(Watch()).whole
    assert least is not None
    assert round(least.cost) == 1200
    if near_bound:
        recombining(problem, standing).run_near_bound(columns, WORTHS)
    else:
        recombining(problem, standing).run(columns, WORTHS, beside=300, seed=0)
    assert standing.net == Decimal("6.00")


def test_boards_that_are_only_crosscut_are_not_taken_apart() -> None:
    _, standing, _ = wasteful()
    assert standing.whole is not None
    assert not ripped(column for column, _ in standing.whole.boards)
    assert ripped([ripped_into((LONG,), (LONG,))])


def test_whole_counts_of_pieces_are_no_dearer_than_those_of_their_patterns() -> None:
    """And sometimes cheaper, but never below the least cost by the second opinion."""
    cheaper = 0
    for seed in (0, 2, 3, 11):
        problem, watch = drawn_problem(seed), Watch(seconds=600)
        tables = [CuttingTables(problem, of, Rounding.FOR_PLANS) for of in problem.by_lumber]
        programme = Programme(problem)
        root = grow(problem, tables, programme, watch)
        pool = [*programme.columns, *spare_patterns(tables, root.blanks, watch)[:20]]
        costs = []
        for whole_counts in (WholeProgramme(problem), Recombined(problem, tables)):
            whole_counts.add(pool)
            attempt = whole_counts.solve_whole(watch)
            assert attempt.complete
            assert attempt.whole is not None
            costs.append(attempt.whole.cost)
        assert costs[1] <= costs[0] + 1e-6
        assert costs[1] >= least_cents(seed) - Fraction(1, 2)
        cheaper += costs[1] < costs[0] - 0.5
    assert cheaper
