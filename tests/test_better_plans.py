"""Where better plans are looked for, and where that is left to the lists."""

from __future__ import annotations

from unittest.mock import Mock, patch

import pytest

from optimizer.search.answers import Pending
from optimizer.search.better_plans import BetterPlans
from optimizer.search.cutting import CuttingTables
from optimizer.search.few_lay_ups import FewLayUps
from optimizer.search.freeing import Freeing
from optimizer.search.grid import Rounding
from optimizer.search.growing import grow
from optimizer.search.programme import Programme
from optimizer.search.searching import close_gap
from optimizer.search.watch import Watch
from tests.test_few_lay_ups import blocks

PLAN = 1440.0
"""Cents that the plan of blocks costs."""


def looked(raised: float | None, *, near_best: bool) -> tuple[bool, bool, bool]:
    """Whether few lay-ups, boards freed and branches are tried, where rounded rows raise the linear
    optimum so far (cents): before the gap is closed, or near the best plan.
    """
    problem, standing, _ = blocks()
    tables = [CuttingTables(problem, of, Rounding.FOR_PLANS) for of in problem.by_lumber]
    programme = Programme(problem)
    root = grow(problem, tables, programme, Watch())
    with (
        patch("optimizer.search.better_plans.MANY", 2),
        patch.object(FewLayUps, "run") as lay_ups,
        patch.object(Freeing, "run") as boards,
    ):
        branch = Mock()
        better = BetterPlans(problem, tables, programme, root, standing, close_gap, branch)
        if near_best:
            better.near_best(raised)
        else:
            assert raised is not None
            better.before_closing(raised)
    return lay_ups.called, boards.called, branch.called


@pytest.mark.parametrize(
    ("share", "tried"),
    [
        (0.017, (False, False, False)),
        (0.019, (True, False, True)),
        (0.021, (True, True, True)),
    ],
)
def test_before_the_gap_is_closed_the_nearer_the_plan_the_less_is_tried(
    share: float, tried: tuple[bool, bool, bool]
) -> None:
    assert looked(PLAN / (1 + share), near_best=False) == tried


@pytest.mark.parametrize(("share", "tried"), [(0.004, False), (0.006, True)])
def test_near_the_best_plan_it_ends_once_the_lists_find_what_is_left(
    share: float, tried: bool
) -> None:
    assert looked(PLAN / (1 + share), near_best=True) == (tried, tried, False)


def test_near_the_best_plan_all_is_tried_where_rows_have_no_more_to_tell() -> None:
    assert looked(None, near_best=True) == (True, True, False)


def test_the_second_plan_is_left_to_be_waited_for() -> None:
    """So that lists are made, and few patterns searched, while the solver looks for it."""
    problem, standing, _ = blocks()
    tables = [CuttingTables(problem, of, Rounding.FOR_PLANS) for of in problem.by_lumber]
    programme = Programme(problem)
    root = grow(problem, tables, programme, Watch())
    better = BetterPlans(problem, tables, programme, root, standing, close_gap, lambda _: None)
    wait, stop = Mock(), Mock()
    with patch.object(standing, "begin_to_improve", return_value=Pending(wait=wait, stop=stop)):
        pending = better.first()
    assert pending is not None
    assert pending.wait is wait
    wait.assert_not_called()
    stop.assert_not_called()
