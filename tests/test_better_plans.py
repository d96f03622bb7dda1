"""Where better plans are looked for, and where that is left to the lists."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from unittest.mock import Mock, patch

import pytest

from optimizer.search.answers import Pending
from optimizer.search.better_plans import LONG, ROUNDS, SOON, BetterPlans
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


def looked(look: Callable[[BetterPlans], None]) -> tuple[list[int], list[int], bool]:
    """How few lay-ups, and how boards freed, are tried each time, by what they are told; and
    whether branches are.
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
        look(better)
    shares = [call.kwargs["far"] for call in lay_ups.call_args_list]
    return shares, [call.args[0] for call in boards.call_args_list], branch.called


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
    raised = PLAN / (1 + share)
    lay_ups, boards, branches = looked(lambda better: better.before_closing(raised))
    assert (bool(lay_ups), bool(boards), branches) == tried


@pytest.mark.parametrize(("share", "tried"), [(0.004, []), (0.006, [SOON])])
def test_while_closing_a_short_look_ends_where_lists_find_what_is_left(
    share: float, tried: list[int]
) -> None:
    raised = PLAN / (1 + share)
    shares = [0.0 for _ in tried]
    assert looked(lambda better: better.while_closing(raised)) == (shares, tried, False)


def test_near_the_best_plan_all_is_tried_for_long() -> None:
    assert looked(BetterPlans.near_best) == ([0.0], [LONG], False)


def test_rounds_near_the_best_plan_go_on_while_they_are_worth_it() -> None:
    """But while closing there is one only."""
    for look, rounds in (
        (BetterPlans.near_best, ROUNDS),
        (lambda better: better.while_closing(PLAN / 1.1), 1),
    ):
        with patch("optimizer.search.better_plans.WORTH_ANOTHER", Decimal(0)):
            shares, boards, _ = looked(look)
        assert (len(shares), len(boards)) == (rounds, rounds)


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
