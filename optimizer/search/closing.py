"""Closes the gap between the best plan and the bound, from both sides.

Rounded rows raise the linear optimum. At its worths the patterns that a better plan could use are
listed for each lumber; once they are listed, later worths price them one by one, and those that
cost less than they bring join the programme. When none is left, the optimum is a bound for all
plans better than the best, and the smaller gap leaves fewer patterns: over these few the integer
programme is short. Better plans come from the patterns nearest to the optimum.

Where a lumber has too many patterns within the gap, those within a part of it are listed. They are
all that plans up to a *level* can use, so what the lists prove holds up to that level.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from optimizer.search.answers import Linear
from optimizer.search.cutting import CuttingTables
from optimizer.search.fillings import TooManyError
from optimizer.search.growing import MOST_AT_ONCE
from optimizer.search.knapsack import Ints
from optimizer.search.listing import Listed, Listing
from optimizer.search.money import CENT_PARTS
from optimizer.search.patterns import Column, distinct
from optimizer.search.pricing import Prices, least_of
from optimizer.search.problem import Problem
from optimizer.search.programme import Programme
from optimizer.search.standing import Standing
from optimizer.search.watch import Watch

NEAR = 1_000
"""Patterns of a lumber that are listed first."""

MOST_LISTED = 25_000
"""Patterns of a lumber that are listed and priced one by one."""

SHARES = (1, 1 / 2, 1 / 4, 1 / 8, 1 / 16, 1 / 64, 1 / 256)
"""Shares of the gap within which patterns are listed."""

FURTHER = 8
"""So many times as far as a short list went a long one may go."""

MOST_ROWS = 40
MOST_ROUNDS = 12
MOST_JOINING = 300
NEAREST = 400
NEAREST_NODES = 100

FEW = 1_000
"""So few patterns are handed to the integer programme at once."""

MOST_NODES = 5_000
MOST_SOLVED = 12_000
"""So many at the most, when rounded rows gain nothing more."""

WORTH_ANOTHER = 0.005
"""Share of the gap that a round of rows must close."""

ALLOWED = CENT_PARTS // 2
"""Half a cent: so far reduced costs below nothing may lower the bound."""


class Closing:
    """The root of the search."""

    def __init__(
        self,
        problem: Problem,
        tables: Sequence[CuttingTables],
        standing: Standing,
        watch: Watch,
    ) -> None:
        self.problem, self.tables, self.standing, self.watch = problem, tables, standing, watch
        self.programme = Programme(problem, whole=False)
        self.lists: list[list[Listed]] = [[] for _ in tables]
        self.levels = [0] * len(tables)
        """Plans up to this cost use no pattern of the lumber but listed ones."""

    def run(self, columns: Sequence[Column], root: Linear) -> bool:
        """Close the gap as far as it goes; whether nothing better is left.

        ``root`` is the linear optimum over all patterns, ``columns`` are some to begin with.
        """
        prices = self._prices(root)
        self._begin(prices, NEAR)
        self._add(columns)
        linear = self._joined(self._rounded(self.programme.solve_linear()))
        self.standing.solve(self.programme.nearest(NEAREST), nodes=NEAREST_NODES)
        self._begin(prices, MOST_LISTED, FURTHER)
        while not self.watch.over():
            before = linear.value
            linear = self._joined(self._rounded(linear))
            fresh = self._list(linear)
            if fresh:
                self._add(fresh)
                linear = self._joined(self.programme.solve_linear())
            bound = self._shortened(linear)
            if not self.standing.announce(min(bound, *self.levels)):
                return True
            gap = float(self.standing.net) * 100 - bound / CENT_PARTS
            stuck = linear.value - before < WORTH_ANOTHER * gap and not fresh
            if self._complete() and sum(map(len, self._all())) <= FEW:
                break
            self.standing.solve(self.programme.nearest(NEAREST), nodes=NEAREST_NODES)
            if stuck:
                break
        if not self.watch.over():
            self._shortened(linear)
        return self._solved()

    def _complete(self) -> bool:
        """Whether all patterns of all better plans are listed."""
        return not self.standing.hopeful(min(self.levels))

    def _solved(self) -> bool:
        """The integer programme over all that is left; whether it leaves nothing better."""
        within = sum(map(len, self._all()))
        if within > MOST_SOLVED or not self._complete() or self.watch.over():
            return False
        columns = [column for listed in self._all() for column in listed.columns()]
        if not self.standing.solve(columns, nodes=MOST_NODES).complete:
            return False
        return not self.standing.announce(min(self.levels))

    def _all(self) -> list[Listed]:
        return [listed for lists in self.lists for listed in lists]

    # rows and columns ---------------------------------------------------------------------------

    def _rounded(self, linear: Linear) -> Linear:
        """Rounded rows, as long as they gain."""
        for _ in range(MOST_ROUNDS):
            if self.watch.over() or not self.programme.round_off(MOST_ROWS):
                break
            before, linear = linear.value, self.programme.solve_linear()
            self.programme.forget_slack()
            linear = self.programme.solve_linear()
            gap = float(self.standing.net) * 100 - before
            if linear.value - before < WORTH_ANOTHER * gap:
                break
        return linear

    def _joined(self, linear: Linear) -> Linear:
        """Patterns join, listed ones and the best by the tables, until none costs less than it
        brings.
        """
        while not self.watch.over():
            prices = self._prices(linear)
            gain, costs = least_of(prices, self._all())
            joining = _cheapest(self._all(), costs) if gain <= -ALLOWED else []
            joining += self._best_by_tables(prices)
            if not joining:
                break
            self._add(joining)
            linear = self.programme.solve_linear()
        return linear

    def _best_by_tables(self, prices: Prices) -> list[Column]:
        """Of lumbers that are not listed wholly: best patterns that cost less than they bring."""
        found: list[Column] = []
        for table, level in zip(self.tables, self.levels, strict=True):
            if self.standing.hopeful(level):
                gain = table.price(prices.plain_kinds) - prices.board_costs(table)
                order = np.argsort(-gain, kind="stable")[:MOST_AT_ONCE]
                found += [table.column(int(s), prices.plain_kinds) for s in order if gain[s] > 0]
        costs = prices.of_columns(found)
        return [column for column, cost in zip(found, costs, strict=True) if cost <= -ALLOWED]

    def _add(self, columns: Sequence[Column]) -> None:
        """Blanks beyond what is useful count for nothing: so the optimum is higher."""
        useful = self.programme.first.useful.tolist()
        for_programme = [
            replace(column, counts=tuple((kind, min(n, useful[kind])) for kind, n in column.counts))
            for column in columns
        ]
        self.programme.add(distinct(for_programme))

    def _prices(self, linear: Linear) -> Prices:
        return Prices(self.problem, self.programme.first, self.programme.rounded, linear)

    def _shortened(self, linear: Linear) -> int:
        """The bound at these worths; patterns beyond the gap leave the lists."""
        prices = self._prices(linear)
        lists = self._all()
        gain, costs = least_of(prices, lists)
        bound, cutoff = prices.of_rows() + gain, self.standing.cutoff()
        assert cutoff is not None
        kept = iter(
            [
                listed.chosen(np.flatnonzero(cost <= cutoff - bound))
                for listed, cost in zip(lists, costs, strict=True)
            ]
        )
        self.lists = [[next(kept) for _ in lists] for lists in self.lists]
        return bound

    # lists --------------------------------------------------------------------------------------

    def _begin(self, root: Prices, most: int, further: int = 0) -> None:
        """At the plain optimum every pattern is priced: each lumber is listed as far as it goes.

        ``further``: no more than so many times as far as before, if it was listed before.
        """
        bound = root.of_rows() - ALLOWED
        for lumber, reached in enumerate(self.levels):
            for level in self._levels(bound):
                if level <= reached:
                    break
                if reached and level - bound > further * (reached - bound):
                    continue
                try:
                    self.lists[lumber] = self._listed(lumber, root, level - bound, most)
                except TooManyError:
                    continue
                self.levels[lumber] = level
                break

    def _levels(self, bound: int) -> list[int]:
        """Costs up to which patterns may be listed: the first is just beyond a better plan."""
        cutoff = self.standing.cutoff()
        assert cutoff is not None
        return [bound + int((cutoff + 1 - bound) * share) for share in SHARES]

    def _list(self, linear: Linear) -> list[Column]:
        """Raise the levels of the lumbers that lag behind, all at once, as far as it goes.

        Where worths are not yet those of all patterns: those that are to join.
        """
        prices = self._prices(linear)
        bound = prices.of_rows() - ALLOWED
        for level in self._levels(bound):
            lagging = [i for i, reached in enumerate(self.levels) if reached < level]
            if not lagging or level <= min(self.levels):
                break
            try:
                found = {i: self._listed(i, prices, level - bound, MOST_LISTED) for i in lagging}
            except TooManyError:
                continue
            lists = [*self.lists]
            for i, listed in found.items():
                lists[i] = listed
            every = [one for listed in lists for one in listed]
            gain, costs = least_of(prices, every)
            if gain <= -ALLOWED:
                return _cheapest(every, costs)
            self.lists = lists
            for i in found:
                self.levels[i] = level
            break
        return []

    def _listed(self, lumber: int, prices: Prices, gap: int, most: int) -> list[Listed]:
        """Every pattern of a lumber whose reduced cost is within the gap. Raises TooManyError."""
        table = self.tables[lumber]
        listing = Listing(table, prices.plain_kinds, prices.first.useful, most, self.watch)
        above = prices.board_costs(table) - listing.best
        lists: list[Listed] = []
        for listed in listing.lists(gap + prices.most_bonuses(table) - above):
            costs = prices.of_list(listed)
            lists.append(listed.chosen(np.flatnonzero(costs <= gap)))
        if sum(map(len, lists)) > most:
            raise TooManyError
        return lists


def _cheapest(lists: Sequence[Listed], costs: Sequence[Ints]) -> list[Column]:
    """The patterns that cost least, of those that cost less than they bring."""
    every = np.concatenate(costs)
    worst = np.partition(every, MOST_JOINING)[MOST_JOINING] if len(every) > MOST_JOINING else 0
    return [
        column
        for listed, cost in zip(lists, costs, strict=True)
        for column in listed.columns(np.flatnonzero((cost < 0) & (cost <= worst)))
    ]
