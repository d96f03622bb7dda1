"""A bound that rounding cannot break.

Whatever blanks are said to be worth, in whole numbers: making every part by its cheapest lay-up at
those worths, plus what limited boards would bring beyond their cost, is no more than the least cost
(the Lagrangian bound of the programme). A board of which there is plenty must not bring more than
it costs; where it would, all worths of its lumber are scaled down until it does not (Farley, A note
on bounding a class of linear programming problems, Operations Research 38, 1990). Wrong worths make
the bound weaker, never false.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from math import ceil, floor

import numpy as np

from optimizer.search.cutting import CuttingTables
from optimizer.search.knapsack import Ints
from optimizer.search.problem import Problem, money_units

MOST_SCALINGS = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class LowerBound:
    """No plan costs less than ``cost`` (search units, exact); ``values`` of the blanks prove it."""

    cost: int
    values: Ints


def lower_bound(problem: Problem, tables: Sequence[CuttingTables], values: Ints) -> LowerBound:
    """A bound on the exact cost of any plan, 0 where scaling found no end.

    ``values[k]`` is what a blank of kind k is said to be worth, not negative. ``tables`` must be
    rounded for bounds, or exact.
    """
    values = values.copy()
    surplus = 0
    for table in tables:
        brought = _scale(problem, table, values)
        if brought is None:
            return LowerBound(cost=0, values=np.zeros_like(values))
        surplus += brought
    parts = sum(
        copies
        * min(
            sum(n * int(values[k]) for k, n in way.blanks) + money_units(way.cost) for way in ways
        )
        for copies, ways in zip(problem.copies, problem.ways, strict=True)
    )
    return LowerBound(cost=parts + surplus, values=values)


def _scale(problem: Problem, table: CuttingTables, values: Ints) -> int | None:
    """What limited boards of a lumber bring, once its ``values`` let plentiful ones bring nothing."""
    kinds = list(table.kinds)
    limits = [problem.supplies[s].limit for s in table.supplies]
    plenty = np.array([limit is None for limit in limits])
    for _ in range(MOST_SCALINGS):
        gain = table.price(values) - table.cost
        if not (gain[plenty] > 0).any():
            return sum(
                -limit * max(int(g), 0) for g, limit in zip(gain, limits, strict=True) if limit
            )
        worst = int(np.where(plenty, gain, -1).argmax())
        column = table.column(worst, values)
        brought = sum(n * int(values[kind]) for kind, n in column.counts)
        if column.cost < 0 or brought <= 0:
            return None
        share = Fraction(column.cost, brought)
        values[kinds] = [int(value * share) for value in values[kinds].tolist()]
    return None


def as_money(cents: Fraction, rounded_sums: int) -> Decimal:
    """The least ``net`` in whole cents, where so many of its sums are rounded after adding up.

    Rounding half-up takes less than half a cent off each.
    """
    least = cents - Fraction(rounded_sums, 2)
    whole = floor(least) + 1 if rounded_sums else ceil(least)
    return Decimal(max(whole, 0)).scaleb(-2)
