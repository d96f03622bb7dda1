"""The search for whole numbers, step by step: a plan at once, both sides closed, branches."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from decimal import Decimal

from optimizer.search.answers import Whole
from optimizer.search.better_plans import BetterPlans, grown
from optimizer.search.board_by_board import plan_board_by_board
from optimizer.search.branching import Branching
from optimizer.search.closing import Closing
from optimizer.search.cutting import CuttingTables
from optimizer.search.problem import Problem
from optimizer.search.standing import Standing
from optimizer.search.watch import Watch

NODES = 300
"""Branches after the gap could not be closed, before better plans are looked for, each time."""


def search(
    problem: Problem,
    tables: Sequence[CuttingTables],
    bounding: Sequence[CuttingTables],
    net_of: Callable[[Whole], Decimal],
    watch: Watch,
) -> Standing:
    """Where the search ends; no counts where the watch ended it before there was a plan.

    ``tables`` are rounded for plans, ``bounding`` for bounds: the same where all lengths are exact.
    """
    standing = Standing(problem, net_of, watch)
    if not problem.lots:  # these are counted by the integer programme only
        at_once = plan_board_by_board(problem, tables)
        standing.consider(at_once)
    branching = Branching(problem, tables, bounding, standing, watch)
    _both_sides(problem, tables, bounding, branching, standing)
    return standing


def _both_sides(
    problem: Problem,
    tables: Sequence[CuttingTables],
    bounding: Sequence[CuttingTables],
    branching: Branching,
    standing: Standing,
) -> None:
    """Good plans first, and better ones where they are far from the bound even with rounded rows;
    the gap closed, with better plans near the best one where lists are long; if it stays open
    branches on counts, and these plans again; if there is a better one, the gap closed once more;
    then branches and better plans in turn, as long as there is time.

    Where not all lengths are exact, lists of patterns prove nothing, and the gap is left to the
    branches.
    """
    exact = tables is bounding
    programme, root = grown(problem, tables, bounding, standing)
    branching.programme.add(programme.columns)
    better = BetterPlans(problem, tables, programme, root, standing, close_gap, branching.run)
    closing = Closing(
        problem, tables, standing, standing.watch, programme, root, better.while_closing
    )
    pending = better.first(closing.list_at_root) if exact else better.first()
    few_steps = standing.few_steps_from(root.value)
    if exact and standing.open and better.many_lay_ups and not few_steps:
        closing.begin(pending)
    elif pending is not None:
        pending.wait()
    better.complete()
    better.before_closing(closing.optimum)
    if exact and standing.open:
        closing.run()
    before = standing.net
    if standing.open:
        branching.run_while_rising(NODES)
    better.near_best()
    if exact and standing.open and standing.net < before:
        close_gap(problem, tables, standing, standing.watch)
    while not (standing.closed or standing.short or standing.watch.over()):
        branching.run_while_rising(NODES)
        if not (exact and better.again()) and branching.ended:
            break


def close_gap(
    problem: Problem, tables: Sequence[CuttingTables], standing: Standing, watch: Watch
) -> None:
    """Close the gap between a plan and the bound as far as it goes."""
    programme, root = grown(problem, tables, tables, standing)
    if standing.open:
        Closing(problem, tables, standing, watch, programme, root).run()
