"""Grows patterns until no better one exists.

Column generation: solve the linear programme, ask the tables for the best pattern of each board at
the worths it gives, add those that gain, and again (Gilmore and Gomory 1961, 1963).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from optimizer.search.bound import LowerBound, as_money, lower_bound
from optimizer.search.cutting import CuttingTables
from optimizer.search.knapsack import NEVER, Ints
from optimizer.search.patterns import Column
from optimizer.search.problem import CENT_PARTS, Problem
from optimizer.search.programme import Linear, Programme
from optimizer.search.watch import Watch

MOST_AT_ONCE = 60
SPARE_ROUNDS = 30
SPREAD = 0.08
SEED = 20260101

LEAST_GAIN = 2**14
"""A sixty-fourth of a cent: below the solver's own tolerance no pattern is worth adding."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Grown:
    """The linear optimum over all patterns, and the bound it proves."""

    linear: Linear
    bound: LowerBound


def grow(
    problem: Problem,
    tables: Sequence[CuttingTables],
    bounding: Sequence[CuttingTables],
    programme: Programme,
    watch: Watch,
) -> Grown:
    """Add patterns to ``programme`` until none gains; its columns are then enough."""
    linear = programme.solve_linear()
    while not watch.over():
        fresh = [column for table in tables for column in _gaining(table, linear)]
        if not fresh:
            break
        programme.add(fresh)
        linear = programme.solve_linear()
    bound = lower_bound(problem, bounding, linear.blanks)
    watch.proved(as_money(Fraction(bound.cost, CENT_PARTS), problem.rounded_sums))
    return Grown(linear=linear, bound=bound)


def _gaining(table: CuttingTables, linear: Linear) -> list[Column]:
    """The best patterns that bring more than they cost, by more than rounding could pretend."""
    limits = np.array([linear.limits.get(s, 0) for s in table.supplies])
    gain = table.price(linear.blanks) - table.cost + limits
    order = np.argsort(-gain, kind="stable")[:MOST_AT_ONCE]
    return [table.column(int(s), linear.blanks) for s in order if gain[s] > LEAST_GAIN]


def spare_patterns(tables: Sequence[CuttingTables], worths: Ints, watch: Watch) -> list[Column]:
    """Patterns that are best when blanks are worth a little more or less, for whole numbers."""
    chance = np.random.default_rng(SEED)
    found: list[Column] = []
    for _ in range(SPARE_ROUNDS):
        if watch.over():
            break
        values = (worths * chance.uniform(1 - SPREAD, 1 + SPREAD, worths.size)).astype(np.int64)
        for table in tables:
            useful = np.flatnonzero(table.price(values) > NEVER // 2)
            found += [table.column(int(s), values) for s in useful]
    return found
