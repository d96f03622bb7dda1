"""Better plans by the lay-ups of a plan, or of the linear optimum too."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from functools import partial
from unittest.mock import patch

import pytest

from optimizer.job.parts import Faces
from optimizer.search.answers import Attempt, Pending, Whole
from optimizer.search.cutting import CuttingTables
from optimizer.search.few_lay_ups import FewLayUps
from optimizer.search.grid import Rounding
from optimizer.search.growing import grow
from optimizer.search.money import CENT_PARTS
from optimizer.search.patterns import Column, Pattern, Segment, Strip
from optimizer.search.problem import Problem
from optimizer.search.programme import Programme
from optimizer.search.standing import Standing
from optimizer.search.watch import Watch
from stock.prices import to_cent
from tests.drawn_jobs import drawn_problem, least_cents
from tests.shop_floor import bare_shop, book, part, posed, sold

BLOCKS = 4


def blocks() -> tuple[Problem, Standing, int]:
    """Blocks solid out of 2x6 or of two plies of 1x6; a plan of plies that wastes half of each
    board; and which way plies are. Plies cost 7.20 at the least, solid blocks 4.00.
    """
    shop = bare_shop(jointing_per_edge=0, slip=0, extra_length=0)
    stock = book(sold("1 x 6 x 48", "1.80"), sold("2 x 6 x 48", "2.00"), shop=shop)
    problem = posed(stock, part("2 x 6 x 24", count=BLOCKS, faces=Faces.AS_BOUGHT))
    (ways,) = problem.ways
    (plies,) = (n for n, way in enumerate(ways) if len(way.lay_up.blanks) == 2)
    ((ply, _),) = ways[plies].blanks
    kind = problem.kinds[ply]
    supply = next(s for s, supply in enumerate(problem.supplies) if supply.lumber == kind.lumber)
    pattern = Pattern(supply, (Segment(kind.length, (Strip(kind.width, (ply,)),)),))
    column = Column(pattern, pattern.counts(), 180 * CENT_PARTS)
    whole = Whole(
        boards=((column, 2 * BLOCKS),), made={(0, plies): BLOCKS}, missing=(0,), cost=1440.0
    )
    standing = standing_of(problem)
    standing.consider(whole)
    return problem, standing, plies


def standing_of(problem: Problem) -> Standing:
    return Standing(problem, lambda whole: to_cent(Fraction(whole.cost) / 100), Watch())


def few_lay_ups(problem: Problem, standing: Standing) -> FewLayUps:
    tables = [CuttingTables(problem, of, Rounding.FOR_PLANS) for of in problem.by_lumber]
    root = grow(problem, tables, Programme(problem), Watch())
    return FewLayUps(problem, tables, root, standing)


@pytest.mark.parametrize(("with_optimum", "net"), [(False, "7.20"), (True, "4.00")])
def test_plans_are_bettered_by_few_lay_ups(with_optimum: bool, net: str) -> None:
    problem, standing, plies = blocks()
    assert standing.net == Decimal("14.40")
    better = few_lay_ups(problem, standing)
    if not with_optimum:  # then those of the plan alone are left
        better._of_optimum = frozenset()
    better.run(far=0.0)
    assert standing.net == Decimal(net)
    assert standing.whole is not None
    other = 1 - plies if with_optimum else plies
    assert standing.whole.made == {(0, other): BLOCKS}


@pytest.mark.parametrize("long", [0, 1])
def test_the_better_plan_is_kept_whichever_turn_takes_longer(long: int) -> None:
    problem, standing, _ = blocks()
    better = few_lay_ups(problem, standing)
    turns, waited = list[object](), list[int]()

    def waits(turn: int) -> Attempt:
        waited.append(turn)
        return Attempt(whole=None, bound=0.0, complete=False)

    def bettered(best: Whole, kept: object, far: float) -> Iterator[Pending]:
        turn = len(turns)
        turns.append(kept)
        for _ in range(3 if turn == long else 1):
            yield Pending(wait=partial(waits, turn), stop=lambda: None)
        standing.consider(replace(best, cost=best.cost - 1 - turn))

    with patch.object(better, "_bettered", bettered):
        better.run(far=0.0)
    assert waited == [0, 1, long, long]
    assert len(turns) == 2
    assert standing.net == Decimal("14.38")


def test_where_nothing_is_waited_for_there_is_one_turn() -> None:
    problem, standing, _ = blocks()
    better = few_lay_ups(problem, standing)
    with patch.object(better, "_bettered", return_value=iter(())) as bettered:
        better.run(far=0.0)
    assert bettered.call_count == 1


@pytest.mark.parametrize("seed", [0, 2, 3, 5, 8, 11])
def test_drawn_plans_become_no_dearer_and_cost_no_less_than_the_least(seed: int) -> None:
    """The least cost is that of the second opinion."""
    problem = drawn_problem(seed)
    standing = standing_of(problem)
    tables = [CuttingTables(problem, of, Rounding.FOR_PLANS) for of in problem.by_lumber]
    programme = Programme(problem)
    grow(problem, tables, programme, Watch())
    standing.solve(programme.columns, nodes=1)
    before = standing.net
    few_lay_ups(problem, standing).run(far=0.0)
    assert least_cents(seed) / 100 - Fraction(1, 100) <= standing.net <= before
