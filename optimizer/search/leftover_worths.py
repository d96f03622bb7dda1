"""What leftovers of a lumber are worth, in whole cents, as a plan counts them."""

from __future__ import annotations

from math import ceil, lcm

import numpy as np

from optimizer.search.grid import Grid
from optimizer.search.knapsack import Ints
from optimizer.search.money import CENT_PARTS
from optimizer.search.problem import Problem
from stock.lengths import tape_step
from stock.pieces import Lumber


class LeftoverWorths:
    """Worths of leftovers of a lumber whose lengths are ticks ``along`` and widths ``across``."""

    def __init__(self, problem: Problem, lumber: Lumber, along: Grid, across: Grid) -> None:
        self._along, self._across = along, across
        shop, boards = problem.shop, [problem.supplies[s] for s in problem.by_lumber[lumber][0]]
        blanks = [problem.kinds[k].length for k in problem.by_lumber[lumber][1]]
        mark = self._mark = tape_step(shop.unit)
        self._narrowest = ceil(shop.narrowest_kept / mark)
        longest = max([*blanks, *(board.usable for board in boards)])
        marks = np.arange(ceil((longest + along.tick) / mark) + 1)
        rates = [(at, 100 * mark**2 * rate) for at, rate in problem.worth.rates(lumber)]
        denominator = lcm(*(rate.denominator for _, rate in rates))
        most = 2 * len(marks) * ceil(max(board.width for board in boards) / mark + 1)
        small = all(most * rate * denominator + denominator < 2**62 for _, rate in rates)
        found = np.zeros(len(marks), dtype=np.int64 if small else object)
        for at, rate in rates:
            found[ceil(at / mark) :] = int(rate * denominator)
        self._rates, self._double = found * marks, 2 * denominator
        """Cents that a tape's mark of width is worth, at each mark of length, over half a common
        denominator.
        """

    def of(self, lengths: Ints, widths: Ints) -> Ints:
        """Of so many ticks, in search units; lengths and widths broadcast against each other."""
        long, wide = self._along.marks(lengths, self._mark), self._across.marks(widths, self._mark)
        cents = (2 * self._rates[long] * wide + self._double // 2) // self._double
        return np.where(wide >= self._narrowest, cents * CENT_PARTS, 0).astype(np.int64)
