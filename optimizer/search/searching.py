"""The search for whole numbers, step by step: a first plan, both sides closed, branches.

A first plan comes from the patterns grown for the linear programme and some more.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from decimal import Decimal

from optimizer.search.answers import Whole
from optimizer.search.bound import lower_bound
from optimizer.search.branching import Branching
from optimizer.search.closing import Closing
from optimizer.search.cutting import CuttingTables
from optimizer.search.growing import grow, spare_patterns
from optimizer.search.problem import Problem
from optimizer.search.programme import Programme
from optimizer.search.standing import Standing
from optimizer.search.watch import Watch

FIRST_NODES = 50


def search(
    problem: Problem,
    tables: Sequence[CuttingTables],
    bounding: Sequence[CuttingTables],
    net_of: Callable[[Whole], Decimal],
    watch: Watch,
) -> Whole | None:
    """The counts of the best plan found; None where the watch ended before there was one.

    ``tables`` are rounded for plans, ``bounding`` for bounds: the same where all lengths are exact.
    """
    programme = Programme(problem, whole=False)
    standing = Standing(problem, net_of, watch)
    root = grow(problem, tables, programme, watch)
    pool = [*programme.columns, *spare_patterns(tables, root.blanks, watch)]
    standing.solve(pool, nodes=FIRST_NODES)
    if root.missing and standing.missing and not watch.over():
        return standing.whole  # no fractions of boards make all parts, so whole ones do not either
    bound = lower_bound(problem, bounding, root.blanks, extra=root.extra)
    closed = not standing.announce(bound.cost)
    if tables is bounding and standing.whole and not standing.missing and not closed:
        closed = Closing(problem, tables, standing, watch).run(pool, root)
    if not closed:
        Branching(problem, tables, bounding, programme, standing, watch).run()
    return standing.whole
