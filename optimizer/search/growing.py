"""Grows patterns until no better one exists.

Column generation: the linear programme over the patterns so far says what one more blank of each
kind would save, its worth. The tables find the pattern of each board whose blanks bring the most at
these worths. If that is more than the board costs the pattern *gains* and joins, and the programme
is solved again; if no board has one, the optimum over these patterns is that over all (Gilmore and
Gomory, A linear programming approach to the cutting-stock problem, Operations Research 9, 1961, and
part II, Operations Research 11, 1963).
"""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil

import numpy as np

from optimizer.search.answers import Linear
from optimizer.search.counts import boards, bought
from optimizer.search.cutting import CuttingTables
from optimizer.search.knapsack import NEVER, Ints
from optimizer.search.patterns import Column, distinct
from optimizer.search.problem import Problem
from optimizer.search.programme import Programme
from optimizer.search.solver import NOTHING
from optimizer.search.watch import Watch

MOST_AT_ONCE = 16
SPARE_ROUNDS = 8
FEWEST_SPARE, MOST_SPARE = 100, 3_000
"""Where there are few kinds of boards more rounds give so many, where there are many fewer."""
SPREAD = 0.08
SEED = 20260101

LEAST_GAIN = 2**14
"""A sixty-fourth of a cent: below the solver's own tolerance no pattern is worth adding."""


def grow(
    problem: Problem, tables: Sequence[CuttingTables], programme: Programme, watch: Watch
) -> Linear:
    """Add patterns to ``programme`` until none gains; then its linear optimum is that of all. It
    costs ``NOTHING`` where counts are held that contradict each other.
    """
    linear = programme.solve_linear()
    while linear.value < NOTHING and not watch.over():
        fresh = [
            column
            for index, table in enumerate(tables)
            for column in _gaining(problem, index, table, linear)
        ]
        if not fresh:
            break
        programme.add(fresh)
        linear = programme.solve_linear()
    return linear


def _gaining(problem: Problem, lumber: int, table: CuttingTables, linear: Linear) -> list[Column]:
    """The best patterns that bring more than they cost, by more than rounding could pretend."""
    of_lumber = linear.extra[bought(lumber)]
    saved = [
        linear.extra[boards(s)] + of_lumber * problem.supplies[s].bought for s in table.supplies
    ]
    gain = table.price(linear.blanks) - table.cost + np.array(saved)
    order = np.argsort(-gain, kind="stable")[:MOST_AT_ONCE].tolist()
    found = [table.column(s, linear.blanks) for s in order if gain[s] > LEAST_GAIN]
    if found and len(table.supplies) < MOST_AT_ONCE:
        # Of few kinds of boards more patterns of the best: else one round brings but one.
        best = order[0]
        for column in table.columns(best, linear.blanks, MOST_AT_ONCE - len(found)):
            brought = sum(n * int(linear.blanks[kind]) for kind, n in column.counts)
            if brought - column.cost + saved[best] > LEAST_GAIN:
                found.append(column)
    return distinct(found)


def spare_patterns(tables: Sequence[CuttingTables], worths: Ints, watch: Watch) -> list[Column]:
    """Patterns that are best when blanks are worth a little more or less, for whole numbers."""
    chance = np.random.default_rng(SEED)
    found: list[Column] = []
    supplies = sum(len(table.supplies) for table in tables)
    rounds = max(SPARE_ROUNDS, FEWEST_SPARE // supplies)
    for _ in range(min(rounds, ceil(MOST_SPARE / supplies))):
        if watch.over():
            break
        values = (worths * chance.uniform(1 - SPREAD, 1 + SPREAD, worths.size)).astype(np.int64)
        for table in tables:
            useful = np.flatnonzero(table.price(values) > NEVER // 2)
            found += [table.column(int(s), values) for s in useful]
    return found
