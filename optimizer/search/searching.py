"""The search for whole numbers, step by step: a first plan, both sides closed, branches.

A first plan comes from a few patterns grown for the linear programme, soon; a second from all of
them and some more.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from decimal import Decimal

from optimizer.search.answers import Whole
from optimizer.search.bound import lower_bound
from optimizer.search.branching import Branching
from optimizer.search.closing import Closing
from optimizer.search.cutting import CuttingTables
from optimizer.search.freeing import Freeing
from optimizer.search.growing import grow, spare_patterns
from optimizer.search.problem import Problem
from optimizer.search.programme import Programme
from optimizer.search.standing import Standing
from optimizer.search.watch import Watch

FIRST = 3
"""Patterns for each kind of blank from which the first plan is made."""

FIRST_NODES = 1


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
    if tables is bounding:
        close_gap(problem, tables, standing, watch)
        planned = standing.whole and not standing.missing
        if planned and not standing.closed and not problem.lots:
            before = standing.net
            Freeing(problem, tables, standing, watch, close_gap).run()
            if standing.net < before:
                close_gap(problem, tables, standing, watch)
    hopeless = standing.missing and standing.lacking  # not even fractions of boards make all parts
    if not standing.closed and not hopeless:
        Branching(problem, tables, bounding, standing, watch).run()
    return standing


def close_gap(
    problem: Problem, tables: Sequence[CuttingTables], standing: Standing, watch: Watch
) -> None:
    """A first plan, if there is none yet, and the gap closed as far as it goes."""
    programme = Programme(problem, whole=False)
    root = grow(problem, tables, programme, watch)
    pool = [*programme.columns]
    standing.lacking = root.missing and not watch.over()
    if standing.whole is None:
        standing.solve(programme.nearest(FIRST * len(problem.kinds)), nodes=FIRST_NODES)
        pool += spare_patterns(tables, root.blanks, watch)
        standing.solve(pool, nodes=FIRST_NODES)
    standing.announce(lower_bound(problem, tables, root.blanks, extra=root.extra).cost)
    if standing.whole is not None and not standing.missing and not standing.closed:
        Closing(problem, tables, standing, watch).run(pool, root)
