"""Raises the linear optimum above that of counts in fractions: rounded rows join, and with them the
patterns that cost less than they bring under these.

Where the optimum at the right costs gives no row that gains, those at slightly wrong costs may.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from optimizer.search.answers import Linear
from optimizer.search.cutting import CuttingTables
from optimizer.search.growing import MOST_AT_ONCE
from optimizer.search.levels import Levels
from optimizer.search.money import ALLOWED
from optimizer.search.patterns import Column, distinct
from optimizer.search.pricing import Prices, cheapest, least_of
from optimizer.search.problem import Problem
from optimizer.search.programme import Programme
from optimizer.search.standing import Standing
from optimizer.search.upper_sums import UpperSums
from optimizer.search.watch import Watch

MOST_ROWS = 40
MOST_ROUNDS = 12

AFRESH, BESIDE = (0.0, *(0.02,) * 15), (0.05, 0.2) * 8
"""How wrong the costs are at which further rows are looked for: from none on, and from those there
are.
"""

SEED = 20260103

WORTH_ANOTHER = 0.005
"""Share of the gap that a round of rows must close."""


class Raising:
    """The linear programme with rounded rows, and its optimum. ``root`` is the optimum without."""

    def __init__(
        self,
        problem: Problem,
        tables: Sequence[CuttingTables],
        levels: Levels,
        standing: Standing,
        watch: Watch,
        root: Linear,
    ) -> None:
        self.problem, self.tables, self.levels = problem, tables, levels
        self.standing, self.watch = standing, watch
        self.programme = Programme(problem)
        self.chance = np.random.default_rng(SEED)
        self.linear = root
        """The last optimum."""
        self._prices: Prices | None = None

    @property
    def prices(self) -> Prices:
        """All prices at the worths of the last optimum."""
        if self._prices is None:
            first, rounded = self.programme.first, self.programme.rounded
            self._prices = Prices(self.problem, first, rounded, self.linear)
        return self._prices

    def gap(self, linear: Linear | None = None) -> float:
        """Between the best plan and an optimum, the last one if none is named, in cents."""
        return max(float(self.standing.net) * 100 - (linear or self.linear).value, 0.0)

    def add(self, columns: Sequence[Column]) -> None:
        """Patterns join. Blanks beyond what is useful count for nothing: so the optimum is
        higher.
        """
        useful = self.programme.first.useful.tolist()
        for_programme = [
            replace(column, counts=tuple((kind, min(n, useful[kind])) for kind, n in column.counts))
            for column in columns
        ]
        self.programme.add(distinct(for_programme))
        self._solve()

    def join(self, columns: Sequence[Column]) -> None:
        """Patterns join, and others that then cost less than they bring."""
        self.add(columns)
        self.by_patterns()

    def by_rows(self) -> None:
        """Rounded rows, as long as they gain; then patterns."""
        self._set(self._rounded_off(self.programme, self.linear))
        self.by_patterns()

    def by_rows_beside(self, most_in_vain: int) -> None:
        """Rounded rows found elsewhere, where the optimum gives none that gain; and patterns. Which
        are found hangs on the way to them: so first as if there were none yet, then from optima at
        slightly wrong costs; each way until so many in a row gain hardly anything.
        """
        for find, spreads in ((self._find_afresh, AFRESH), (self._find_beside, BESIDE)):
            in_vain = 0
            for spread in spreads:
                if self.watch.over() or in_vain == most_in_vain:
                    break
                enough = self.linear.value + WORTH_ANOTHER * self.gap()
                find(spread)
                self.by_patterns()
                in_vain = 0 if self.linear.value > enough else in_vain + 1

    def _rounded_off(self, programme: Programme, linear: Linear) -> Linear:
        """The optimum with rounded rows, as long as they gain; ``linear`` is that without more."""
        for _ in range(MOST_ROUNDS):
            if self.watch.over() or not programme.round_off(MOST_ROWS):
                break
            enough = linear.value + WORTH_ANOTHER * self.gap(linear)
            linear = _without_slack(programme)
            if linear.value < enough:
                break
        return linear

    def _find_afresh(self, spread: float) -> None:
        """Those from the optimum without any, at costs so wrong."""
        other = Programme(self.problem)
        other.add(self.programme.columns)
        other.mistake(self.chance, spread)
        self._rounded_off(other, other.solve_linear())
        self.programme.lift(other.rounded)
        self._set(_without_slack(self.programme))

    def _find_beside(self, spread: float) -> None:
        """Those from the optimum at costs so wrong."""
        self.programme.round_off_beside(MOST_ROWS, self.chance, spread)
        self._set(_without_slack(self.programme))

    def by_patterns(self) -> None:
        """Patterns join, listed ones and the best by the tables, until none costs less than it
        brings.
        """
        while not self.watch.over():
            lists = [*self.levels.all, *self.levels.spare]
            gain, costs = least_of(self.prices, lists, self.levels.budget())
            joining = cheapest(lists, costs) if gain <= -ALLOWED else []
            joining += self._best_by_tables()
            if not joining:
                break
            self.add(joining)

    def _best_by_tables(self) -> list[Column]:
        """Of lumbers that are not listed wholly: best patterns that cost less than they bring."""
        found: list[Column] = []
        for table, level in zip(self.tables, self.levels.of_lumbers, strict=True):
            if self.standing.hopeful(level):
                sums = UpperSums(self.prices, table)
                worths = sums.kinds
                gain = table.price(worths) - sums.boards
                order = np.argsort(-gain, kind="stable")[:MOST_AT_ONCE]
                found += [table.column(int(s), worths) for s in order if gain[s] > 0]
        costs = self.prices.of_columns(found)
        return [column for column, cost in zip(found, costs, strict=True) if cost <= -ALLOWED]

    def _solve(self) -> None:
        self._set(self.programme.solve_linear())

    def _set(self, linear: Linear) -> None:
        self.linear, self._prices = linear, None


def _without_slack(programme: Programme) -> Linear:
    """The optimum, and rounded rows that cost nothing there forgotten."""
    programme.forget_slack()
    return programme.solve_linear()
