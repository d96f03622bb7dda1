"""The search for whole numbers, step by step: a first plan, both sides closed, branches.

A first plan comes from a few patterns grown for the linear programme, soon; a second from all of
them and some more. Where it is still far from the bound, small problems better it before the gap is
closed: so that fewer patterns lie below it. Where only few costs lie between, as of boards that all
cost the same, a better plan is all that is wanted: dives come first.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from decimal import Decimal

from optimizer.search.answers import Linear, Whole
from optimizer.search.bound import lower_bound
from optimizer.search.branching import Branching
from optimizer.search.closing import Closing
from optimizer.search.cutting import CuttingTables
from optimizer.search.diving import Diving
from optimizer.search.freeing import Freeing
from optimizer.search.growing import grow, spare_patterns
from optimizer.search.patterns import Column
from optimizer.search.problem import Problem
from optimizer.search.programme import Programme
from optimizer.search.standing import Standing
from optimizer.search.watch import Watch

FIRST = 3
"""Patterns for each kind of blank from which the first plan is made."""

FIRST_NODES = 1

DIVES = 3
SOON, LONG = 8, 40
"""So many dives, or small problems, without a better plan, and it is left."""

NODES = 300
"""Branches after the gap could not be closed, before better plans are looked for."""


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
    branching = Branching(problem, tables, bounding, standing, watch)
    if tables is bounding:
        _both_sides(problem, tables, branching, standing, watch)
    hopeless = standing.missing and standing.lacking  # not even fractions of boards make all parts
    if not standing.closed and not hopeless:
        branching.run()
    return standing


def _both_sides(
    problem: Problem,
    tables: Sequence[CuttingTables],
    branching: Branching,
    standing: Standing,
    watch: Watch,
) -> None:
    """Better plans near the first one if it is far from the bound, or only few costs above it; the
    gap closed; if it stays open some branches, better plans near the best one, and if there are any
    the smaller gap closed; then all branches, and better plans as long as there is time.
    """
    pool, root = _begun(problem, tables, standing, watch)
    programme = Programme(problem)
    programme.add(pool)
    diving = Diving(problem, tables, programme, standing, watch)
    freeing = Freeing(problem, tables, standing, watch, close_gap)
    free = not problem.lots
    if _to_close(standing) and free:
        if standing.few_steps_from(root.value):
            diving.run(DIVES)
            freeing.run(LONG)
        elif standing.far_from(root.value):
            freeing.run(SOON)
    if _to_close(standing):
        Closing(problem, tables, standing, watch).run(programme.columns, root)
    if _to_close(standing):
        branching.run(NODES)
    if _to_close(standing) and free:
        before = standing.net
        freeing.run(LONG)
        if standing.net < before:
            close_gap(problem, tables, standing, watch)
    if _to_close(standing):
        branching.run()
    while _to_close(standing) and free and not watch.over():
        diving.run(DIVES)
        freeing.run(LONG)


def _to_close(standing: Standing) -> bool:
    """Whether there is a plan, and a gap below it."""
    return standing.whole is not None and not standing.missing and not standing.closed


def close_gap(
    problem: Problem, tables: Sequence[CuttingTables], standing: Standing, watch: Watch
) -> None:
    """A first plan, if there is none yet, and the gap closed as far as it goes."""
    pool, root = _begun(problem, tables, standing, watch)
    if _to_close(standing):
        Closing(problem, tables, standing, watch).run(pool, root)


def _begun(
    problem: Problem, tables: Sequence[CuttingTables], standing: Standing, watch: Watch
) -> tuple[list[Column], Linear]:
    """The linear optimum with patterns grown for it and some more; a first plan out of them, if
    there is none yet.
    """
    programme = Programme(problem)
    root = grow(problem, tables, programme, watch)
    pool = [*programme.columns]
    standing.lacking = root.missing and not watch.over()
    if standing.whole is None:
        standing.solve(programme.nearest(FIRST * len(problem.kinds)), nodes=FIRST_NODES)
        pool += spare_patterns(tables, root.blanks, watch)
        standing.improve(pool, nodes=FIRST_NODES)
    standing.announce(lower_bound(problem, tables, root.blanks, extra=root.extra).cost)
    return pool, root
