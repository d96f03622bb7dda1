"""What plans, parts and patterns cost at given worths of rows, in whole numbers.

The worths say what a part made, a blank sawn, a board left, and each rounded row are said to be
worth. Whatever they are, a plan costs at least their sum over what the rows must reach, and the
*reduced costs* of what it makes and cuts (the Lagrangian bound). Reduced costs of patterns in lists
are exact; of all others the tables know the plain sums, from which the bonus may be taken.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import floor

import numpy as np

from optimizer.search.answers import Linear
from optimizer.search.cutting import CuttingTables
from optimizer.search.first_rows import FirstRows
from optimizer.search.knapsack import Ints
from optimizer.search.listed import Listed
from optimizer.search.money import money_units
from optimizer.search.patterns import Column
from optimizer.search.problem import Problem
from optimizer.search.rounded_rows import RoundedRows

MOST_JOINING = 300
"""Patterns that join at once."""

AT_ONCE = 2**14
"""Listed patterns that are priced at once, or a list if it is longer: of a rack of thousands each
takes a column for every supply of these.
"""


@dataclass(frozen=True, slots=True)
class Budget:
    """What a plan costs at the most; what a board of each supply costs at the least, beyond what it
    leaves (search units).
    """

    most: int
    least: Ints

    @classmethod
    def of(cls, most: int, problem: Problem, tables: Sequence[CuttingTables]) -> Budget:
        """The least costs are those of boards whose blanks are worth nothing."""
        least, nothing = (
            np.zeros(len(problem.supplies), dtype=np.int64),
            np.zeros(len(problem.kinds), dtype=np.int64),
        )
        for table in tables:
            least[list(table.supplies)] = table.cost - table.price(nothing)
        return cls(most, least)


class Prices:
    """All prices at the worths of one linear optimum (search units)."""

    def __init__(
        self, problem: Problem, first: FirstRows, rounded: RoundedRows, linear: Linear
    ) -> None:
        self.problem, self.first, self.rounded = problem, first, rounded.copy()
        self.rows, self.of_rounded = linear.rows, linear.rounded
        self.kinds: Ints = self.rows[first.of_kinds]
        self.supplies: Ints = first.takes @ self.rows[first.of_supplies]

    def of_rows(self) -> int:
        """The least cost of a plan, but for what its patterns have as reduced costs."""
        least = self.first.least.astype(np.int64)
        reached = int(least @ self.rows)
        reached += int(self.rounded.least().astype(np.int64) @ self.of_rounded)
        return reached + sum(self._parts())

    def _parts(self) -> list[int]:
        """The least reduced cost of making all copies of each part.

        Where a way makes several at once, fewer than these are made beyond what is asked for.
        """
        entries = self.first.of_makings
        worth = self.rows @ entries.astype(np.int64)
        worth += self.rounded.brought(self.of_rounded, entries)
        least: dict[int, int] = {}
        for (part, number), brought in zip(self.first.makings, worth.tolist(), strict=True):
            ways, asked = self.problem.ways[part], self.problem.copies[part]
            cost = money_units(ways[number].cost) - brought
            made = asked if cost > 0 else asked + max(way.copies for way in ways) - 1
            of_all = cost * made // ways[number].copies
            least[part] = min(of_all, least.get(part, of_all))
        return [least[part] for part in range(len(self.problem.ways))]

    def of_lists(self, lists: Sequence[Listed]) -> list[Ints]:
        """The reduced costs of listed patterns, list by list; of one lumber many at once."""
        costs: list[Ints] = [listed.costs for listed in lists]
        at_once = defaultdict[tuple[tuple[int, ...], int], list[int]](list)
        held = Counter[tuple[int, ...]]()
        for i, listed in enumerate(lists):
            held[listed.kinds] += len(listed)
            at_once[listed.kinds, held[listed.kinds] // AT_ONCE].append(i)
        first = self.first
        for (kinds, _), those in at_once.items():
            among = np.array(kinds)
            counts = np.concatenate([lists[i].counts for i in those])
            counts = np.minimum(counts, first.useful[among])
            sizes = [len(lists[i]) for i in those]
            supplies = np.repeat([lists[i].supply for i in those], sizes)
            takes = first.takes[supplies]
            used = np.flatnonzero(takes.any(axis=0))
            entries = np.hstack([counts, -takes[:, used]]).T.astype(np.float64)
            rows = np.append(first.of_kinds.start + among, first.of_supplies.start + used)
            brought = self.rounded.brought(self.of_rounded, entries, rows)
            brought += counts @ self.kinds[among] - self.supplies[supplies]
            for i, part in zip(those, np.split(brought, np.cumsum(sizes)[:-1]), strict=True):
                costs[i] = lists[i].costs - part
        return costs

    def of_columns(self, columns: Sequence[Column]) -> Ints:
        """The reduced costs of columns."""
        entries = self.first.of_columns(columns)
        brought = self.rows @ entries.astype(np.int64)
        brought += self.rounded.brought(self.of_rounded, entries)
        return np.array([column.cost for column in columns], dtype=np.int64) - brought

    def gain(self, lowest: Mapping[int, int], budget: Budget) -> int:
        """What plans gain at the most by patterns that cost less than they bring, down to
        ``lowest`` (0 or less) for each supply.

        They cut so many boards at the most; those of which there is plenty share the budget.
        """
        gain, share, spent = 0, Fraction(0), 0
        for s, low in lowest.items():
            if self.first.limited[s] or budget.least[s] <= 0:
                gain += low * self.most_cut(s)
            else:
                share = min(share, Fraction(low, int(budget.least[s])))
        for s in np.flatnonzero(budget.least < 0).tolist():
            spent += int(budget.least[s]) * self.most_cut(s)
        return gain + floor(share * (budget.most - spent))

    def most_cut(self, supply: int) -> int:
        """How many boards of a supply a plan cuts at the most."""
        limited = self.first.limited[supply]
        return int(self.first.limits[supply] if limited else self.first.useful.sum())


def within(prices: Prices, lists: Sequence[Listed], gap: int) -> list[Listed]:
    """Of listed patterns those whose reduced costs are within a gap."""
    each = zip(lists, prices.of_lists(lists), strict=True)
    return [listed.chosen(np.flatnonzero(costs <= gap)) for listed, costs in each]


def least_of(prices: Prices, lists: Sequence[Listed], budget: Budget) -> tuple[int, list[Ints]]:
    """What plans within the budget gain at the most by listed patterns that cost less than they
    bring, and all reduced costs.
    """
    costs = prices.of_lists(lists)
    lowest: dict[int, int] = {}
    for listed, cost in zip(lists, costs, strict=True):
        low = int(cost.min(initial=0))
        lowest[listed.supply] = min(low, lowest.get(listed.supply, 0))
    return prices.gain(lowest, budget), costs


def cheapest(lists: Sequence[Listed], costs: Sequence[Ints]) -> list[Column]:
    """The patterns that cost least, of those that cost less than they bring; put together, for
    they outlast the lists.
    """
    every = np.concatenate(costs)
    worst = np.partition(every, MOST_JOINING)[MOST_JOINING] if len(every) > MOST_JOINING else 0
    found = [
        column
        for listed, cost in zip(lists, costs, strict=True)
        for column in listed.columns(np.flatnonzero((cost < 0) & (cost <= worst)))
    ]
    for column in found:
        column.pattern.put_together()
    return found
