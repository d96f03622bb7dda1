"""A plan at once, board by board, before anything is known of the least cost.

A blank is worth its share of the cheapest board that holds it, and each part is made by the lay-up
whose blanks are worth least. Then those boards are taken that bring most for their money, cut by
their best patterns of the blanks that are still wanted; the last ones bring some more than that (a
sequential heuristic procedure; Haessler, A heuristic programming solution to a nonlinear cutting
stock problem, Management Science 17, 1971; cited from memory). It is mostly a tenth to a quarter
too dear, but there is something to look at, and to keep if the search is stopped, long before all
patterns are grown.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from math import ceil

import numpy as np
from numpy.typing import NDArray

from optimizer.search.answers import Whole
from optimizer.search.cutting import CuttingTables
from optimizer.search.knapsack import NEVER, Ints
from optimizer.search.model import MANY
from optimizer.search.money import CENT_PARTS, cents, money_units
from optimizer.search.patterns import Column
from optimizer.search.problem import Problem

Bools = NDArray[np.bool_]

AS_GOOD = 0.8
"""Boards that bring so much of what the best one brings are taken with it."""

LOOKED_AT = 100
"""Boards each time."""

CUTS = 2
"""Crosscuts and rips that free a blank at the most."""


def plan_board_by_board(problem: Problem, tables: Sequence[CuttingTables]) -> Whole | None:
    """Whole counts that make all parts of a problem without lots; None where boards run out."""
    worths, scarce = _worths(problem, tables)
    made = dict(_cheapest_ways(problem, worths, scarce))
    yard = _Yard(problem, worths, problem.blanks_of(made))
    for table in tables:
        while yard.wanted[list(table.kinds)].any():
            if not yard.take_from(table):
                return None
    if yard.wanted.any():
        return None
    of_boards = sum(n * column.cost for column, n in yard.taken.items()) / CENT_PARTS
    of_ways = sum(n * cents(problem.ways[part][way].cost) for (part, way), n in made.items())
    return Whole(
        boards=tuple(yard.taken.items()),
        made=made,
        missing=(0,) * len(problem.ways),
        cost=of_boards + of_ways,
    )


def _worths(problem: Problem, tables: Sequence[CuttingTables]) -> tuple[Ints, Bools]:
    """Of each kind of blank its share, by size, of the board that is cheapest so, of those in
    plenty, and pay for its cuts; and whether it is scarce, for only others hold it (then it is the
    largest share of any board).
    """
    worths, scarce = np.ones(len(problem.kinds), dtype=np.int64), np.ones(len(problem.kinds), bool)
    for table in tables:
        boards = [problem.supplies[s] for s in table.supplies]
        blanks = [problem.kinds[kind] for kind in table.kinds]
        rates = table.cost / np.array([float(each.length * each.width) for each in boards])
        lengths = table.board_table.sizes[table.item_of_kind]
        holds = table.in_boards[table.board_of_supply] > NEVER
        holds &= table.room_of_supply[:, None] >= lengths
        holds &= np.array([each.limit is None for each in boards])[:, None]
        rate = np.where(holds, rates[:, None], rates.max()).min(axis=0)
        sizes = np.array([float(each.length * each.width) for each in blanks])
        cuts = CUTS * (table.crosscut_pay + table.rip_pay)
        worths[list(table.kinds)] = np.maximum(rate * sizes, 1) + cuts
        scarce[list(table.kinds)] = ~holds.any(axis=0)
    return worths, scarce


def _cheapest_ways(
    problem: Problem, worths: Ints, scarce: Bools
) -> Iterator[tuple[tuple[int, int], int]]:
    """For each part the way whose blanks are worth least, of those that take no scarce ones if
    there are any; and how often all copies take it.
    """
    for part, (copies, ways) in enumerate(zip(problem.copies, problem.ways, strict=True)):
        times = [ceil(copies / way.copies) for way in ways]
        costs = [
            (
                any(scarce[kind] for kind, _ in way.blanks),
                n * (money_units(way.cost) + sum(c * int(worths[kind]) for kind, c in way.blanks)),
            )
            for n, way in zip(times, ways, strict=True)
        ]
        best = costs.index(min(costs))
        yield (part, best), times[best]


class _Yard:
    """Boards ``taken`` so far, by pattern, and the blanks of each kind still ``wanted``."""

    def __init__(self, problem: Problem, worths: Ints, wanted: Ints) -> None:
        self.worths, self.wanted, self.taken = worths, wanted, Counter[Column]()
        self._left = [MANY if each.limit is None else each.limit for each in problem.supplies]
        self._of_whole = problem.stretches

    def take_from(self, table: CuttingTables) -> bool:
        """Take boards that bring about as much for their money as the best, each as often as all
        its blanks are wanted; else the one that brings most of what is. Whether there was any.
        """
        values = np.where(self.wanted > 0, self.worths, NEVER)
        left = np.array([self._boards_left(s) for s in table.supplies])
        brought = np.where(left > 0, table.price(values), 0) / np.maximum(table.cost, 1)
        order = np.argsort(-brought, kind="stable")[:LOOKED_AT]
        order, before = order[brought[order] > 0], self.wanted.copy()
        for s in order[brought[order] > AS_GOOD * brought.max()].tolist():
            column = table.column(s, values)
            often = min(int(self.wanted[kind]) // n for kind, n in column.counts)
            self._take(column, min(often, self._boards_left(column.pattern.supply)))
        if len(order) and np.array_equal(self.wanted, before):
            columns = (table.column(s, values) for s in order.tolist())
            self._take(max(columns, key=self._wanted_for_its_money), 1)
        return len(order) > 0

    def _boards_left(self, supply: int) -> int:
        return min(self._left[s] for s in (supply, *self._of_whole.get(supply, ())))

    def _take(self, column: Column, boards: int) -> None:
        if not boards:
            return
        self.taken[column] += boards
        supply = column.pattern.supply
        for s in (supply, *self._of_whole.get(supply, ())):
            self._left[s] -= boards
        for kind, n in column.counts:
            self.wanted[kind] = max(self.wanted[kind] - n * boards, 0)

    def _wanted_for_its_money(self, column: Column) -> float:
        brought = sum(min(n, self.wanted[kind]) * self.worths[kind] for kind, n in column.counts)
        return float(brought) / max(column.cost, 1)
