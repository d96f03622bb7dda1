"""Whole numbers: a good plan early, then the proof.

The patterns grown for the linear programme, and some more, give a first plan. What lies between it
and the linear bound is the gap; all patterns within the gap are listed, and one integer programme
over the list gives the cheapest plan there is, or shows that there is none cheaper. The last step's
proof rests on the integer solver.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from decimal import Decimal
from fractions import Fraction

import numpy as np

from optimizer.search.bound import LowerBound, as_money
from optimizer.search.cutting import CuttingTables
from optimizer.search.knapsack import Ints
from optimizer.search.listing import Listing, TooManyError
from optimizer.search.patterns import Column
from optimizer.search.problem import CENT_PARTS, Problem
from optimizer.search.programme import Programme, Whole, distinct
from optimizer.search.watch import Watch
from stock.prices import to_cent

MOST_LISTED = 12_000
SHARES = (1, 0.5, 0.25, 0.1, 0.04)
"""Shares of the gap to list within; all but the whole gap serve better plans, not the proof."""


def best_counts(
    problem: Problem,
    tables: Sequence[CuttingTables],
    pool: Iterable[Column],
    bound: LowerBound,
    net_of: Callable[[Whole], Decimal],
    watch: Watch,
) -> Whole | None:
    """The counts of the best plan found; ``watch`` learns of every better one and of the bound.

    ``net_of`` lays counts out and adds them up anew. None where the watch ended the search before
    there was a plan; parts may be missing where the boards do not suffice.
    """
    best = _solve(problem, distinct(pool), None, watch)
    if best is None:
        return None
    net = _net(best, net_of, watch)
    for share in SHARES:
        listed = None if watch.over() else _listed(problem, tables, bound, net, share)
        if listed is None:
            continue
        columns = distinct([*listed, *(column for column, _ in best.boards)])
        whole = _solve(problem, columns, best, watch)
        if whole is not None and _net(whole, net_of, watch) < net:
            best, net = whole, _net(whole, net_of, watch)
        if whole is not None and share == 1 and _complete(tables):
            watch.proved(min(net, _least(problem, whole.bound)))
        break
    return best


def _net(whole: Whole, net_of: Callable[[Whole], Decimal], watch: Watch) -> Decimal:
    """What the counts cost as laid out; with parts missing, the penalty for these."""
    if any(whole.missing):
        return to_cent(Fraction(whole.cost) / 100)
    net = net_of(whole)
    watch.found(net)
    return net


def _solve(
    problem: Problem, columns: Sequence[Column], start: Whole | None, watch: Watch
) -> Whole | None:
    programme = Programme(problem, whole=True)
    programme.add(columns)
    return programme.solve_whole(watch, start)


def _complete(tables: Sequence[CuttingTables]) -> bool:
    return all(table.along.exact and table.across.exact for table in tables)


def _least(problem: Problem, cents: float) -> Decimal:
    """The least net where the integer programme ends at ``cents``: only time is still rounded."""
    safe = Fraction(cents) - Fraction(1, 1000)  # the solver's own tolerance
    return as_money(safe, 1 if problem.shop.pay else 0)


def _listed(
    problem: Problem,
    tables: Sequence[CuttingTables],
    bound: LowerBound,
    net: Decimal,
    share: float,
) -> list[Column] | None:
    """All patterns that a plan a cent below ``net`` could use; None where they are too many."""
    cents = Fraction(net) * 100 - 1 + Fraction(problem.rounded_sums, 2)
    gap = int((cents * CENT_PARTS - bound.cost) * Fraction(share))
    caps = _most_useful(problem)
    found: list[Column] = []
    try:
        for table in tables:
            listing = Listing(table, bound.values, caps, MOST_LISTED)
            found += listing.columns(gap - np.maximum(table.cost - listing.best, 0))
            if len(found) > MOST_LISTED:
                return None
    except TooManyError:
        return None
    return found


def _most_useful(problem: Problem) -> Ints:
    """How many blanks of each kind a plan could use at the most."""
    caps = np.zeros(len(problem.kinds), dtype=np.int64)
    for copies, ways in zip(problem.copies, problem.ways, strict=True):
        most: dict[int, int] = {}
        for way in ways:
            for kind, count in way.blanks:
                most[kind] = max(most.get(kind, 0), count)
        for kind, count in most.items():
            caps[kind] += copies * count
    return caps
