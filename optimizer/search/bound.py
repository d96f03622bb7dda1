"""A bound that rounding cannot break.

Say what a blank of each kind k is worth, v(k) ≥ 0, any whole number. Suppose that blanks are bought
and sold at these worths: the parts' side buys all its blanks, the boards' side sells all that it
saws. A plan saws at least what its parts take, so it costs no less than both sides together:

    Σ over parts p    copies(p) · min over lay-ups r of (Σ v(k)·a(r,k) + glue and time of r) / n(r)
  + Σ over supplies s    most(s) · min(0, cost of a board of s − the most that its blanks bring)

(the Lagrangian bound of the programme: Geoffrion, Lagrangean relaxation for integer programming,
Mathematical Programming Study 2, 1974; cited from memory). most(s) is how many boards of s a plan
can cut: as many as there are, and no more than the job has blanks. Where there is plenty that would
take off far too much, so the worths of a lumber are first scaled down until no plentiful board
brings more than it costs (Farley, A note on bounding a class of linear programming problems,
Operations Research 38, 1990).

The best worths are the duals of the linear programme, and the solver tells these only nearly: they
are cut down to whole units here and everything after is integers, rounded downwards. So wrong
worths make the bound weaker, never false.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from optimizer.search.counts import Count, Range, Ranges, boards, bought, made
from optimizer.search.cutting import CuttingTables
from optimizer.search.knapsack import Ints
from optimizer.search.money import CENT_PARTS, money_units
from optimizer.search.problem import Problem
from optimizer.search.shares import LotPrices

MOST_SCALINGS = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class LowerBound:
    """No plan costs less than ``cost`` (search units, exact); ``values`` of the blanks prove it.

    ``above[s]`` is how much more the first board of supply s costs than its blanks bring at best.
    """

    cost: int
    values: Ints
    above: Ints


def lower_bound(
    problem: Problem,
    tables: Sequence[CuttingTables],
    values: Ints,
    *,
    extra: Mapping[Count, int] | None = None,
    ranges: Ranges | None = None,
    lots: LotPrices | None = None,
) -> LowerBound:
    """A bound on the exact cost of any plan whose counts lie in ``ranges``.

    ``values[k]`` is what a blank of kind k is said to be worth, not negative; ``extra`` what one
    more board bought of a lumber is said to save. ``tables`` are rounded for bounds, or exact. With
    ``lots`` their boards cost what they pay there, and not their shares.
    """
    bounding = _Bounding(problem, values.copy(), extra or {}, ranges or {}, lots)
    cost = lots.cost if lots else 0
    cost += sum(bounding.of_boards(index, table) for index, table in enumerate(tables))
    cost += bounding.of_counts()
    cost += sum(bounding.of_part(part) for part in range(len(problem.ways)))
    return LowerBound(cost=cost, values=bounding.values, above=bounding.above)


class _Bounding:
    """One bound in the making."""

    def __init__(
        self,
        problem: Problem,
        values: Ints,
        extra: Mapping[Count, int],
        ranges: Ranges,
        lots: LotPrices | None,
    ) -> None:
        self.problem, self.values, self.extra, self.ranges = problem, values, extra, ranges
        self.above = np.zeros(len(problem.supplies), dtype=np.int64)
        self.useful = problem.useful_blanks
        self.most = np.zeros(len(problem.supplies), dtype=np.int64)
        self.dearer = np.zeros(len(problem.supplies), dtype=np.int64)
        for s, dearer in (lots.dearer if lots else {}).items():
            self.dearer[s] = dearer

    def of_boards(self, lumber: int, table: CuttingTables) -> int:
        """What each board of a lumber costs more than its blanks are worth, or less, is known from
        now on; also how many of them are useful. What is held of all of them costs so much.
        """
        span = self.ranges.get(bought(lumber), Range())
        saved = self.extra.get(bought(lumber), 0)
        if saved < 0 and span.most is None:
            saved = 0
        cost = table.cost + self.dearer[list(table.supplies)]
        cost -= saved * np.array([self.problem.supplies[s].bought for s in table.supplies])
        self.above[list(table.supplies)] = self._scaled(table, cost)
        useful = int(self.useful[list(table.kinds)].sum())
        for s in table.supplies:
            most = self._boards(s).most
            self.most[s] = useful if most is None else min(most, useful)
        return saved * (span.least if saved > 0 else span.most or 0)

    def of_counts(self) -> int:
        """What all boards cost above what their blanks bring, at the counts where that is least.

        An offcut is cut whole or in its sound stretches: n whole ones leave so many fewer of these.
        """
        stretches = self.problem.stretches
        together = {s for whole, those in stretches.items() for s in (whole, *those)}
        alone = [s for s in range(len(self.above)) if s not in together]
        total = sum(self._at_least(s) for s in alone)
        for whole, those in stretches.items():
            own = self._boards(whole)
            most = min([own.most or 0, *(self._boards(s).most or 0 for s in those)])
            costs = [
                int(self.above[whole]) * n + sum(self._at_least(s, n) for s in those)
                for n in range(own.least, most + 1)
            ]
            total += min(costs, default=IMPOSSIBLE)
        return total

    def _at_least(self, supply: int, whole: int = 0) -> int:
        """What boards of a supply cost so at the least, beside so many that are cut ``whole``."""
        above, span, most = int(self.above[supply]), self._boards(supply), int(self.most[supply])
        if above > 0:
            return above * max(span.least - whole, 0)
        return above * (most if span.most is None else min(most, span.most - whole))

    def _boards(self, supply: int) -> Range:
        return self.ranges.get(boards(supply), Range(0, self.problem.supplies[supply].limit))

    def _scaled(self, table: CuttingTables, cost: Ints) -> Ints:
        """Cost above value of every board, after scaling until no plentiful one is below."""
        plenty = np.array([self._boards(s).most is None for s in table.supplies])
        kinds = list(table.kinds)
        for _ in range(MOST_SCALINGS):
            above = cost - table.price(self.values)
            worst = int(np.where(plenty, above, 0).argmin())
            if above[worst] >= -CENT_PARTS // 1000 or not plenty[worst]:
                break
            column = table.column(worst, self.values)
            brought = sum(n * int(self.values[kind]) for kind, n in column.counts)
            left = max(int(cost[worst]) - int(table.cost[worst]) + column.cost, 0)
            share = Fraction(left, brought) if brought else Fraction(0)
            self.values[kinds] = [int(value * share) for value in self.values[kinds].tolist()]
        else:
            above = cost - table.price(self.values)
        return above

    def of_part(self, part: int) -> int:
        """Making a part by its cheapest ways, as far as these may be used."""
        ways = self.problem.ways[part]
        costs = [
            sum(n * int(self.values[k]) for k, n in way.blanks) + money_units(way.cost)
            for way in ways
        ]
        spans = [self.ranges.get(made(part, r), Range()) for r in range(len(ways))]
        copies = [way.copies for way in ways]
        total = sum(cost * span.least for cost, span in zip(costs, spans, strict=True))
        left = self.problem.copies[part] - sum(
            n * span.least for n, span in zip(copies, spans, strict=True)
        )
        each = sorted(zip(costs, copies, spans, strict=True), key=lambda way: way[0] / way[1])
        for cost, n, span in each:
            if left <= 0:
                break
            some = left if span.most is None else min(left, n * (span.most - span.least))
            total += cost * some // n
            left -= some
        return total + max(left, 0) * IMPOSSIBLE


IMPOSSIBLE = 2**56
"""Cost of a copy that no way is left to make: above any plan."""
