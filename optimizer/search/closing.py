"""Closes the gap between the best plan and the bound, from both sides.

Rounded rows raise the linear optimum. At its worths the patterns that a better plan could use are
listed for each lumber; once they are listed, later worths price them one by one, and those that
cost less than they bring join the programme. When none is left, the optimum is a bound for all
plans better than the best, and the smaller gap leaves fewer patterns: these few are searched for
whole counts, branch by branch. Better plans come from the patterns nearest to the optimum.

Where a lumber has too many patterns within the gap, those within a part of it are listed. They are
all that plans up to a *level* can use, so what the lists prove holds up to that level.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from math import isfinite

import numpy as np

from optimizer.search.answers import Attempt, Linear
from optimizer.search.cutting import CuttingTables
from optimizer.search.growing import MOST_AT_ONCE
from optimizer.search.levels import ALLOWED, MOST_LISTED, Levels
from optimizer.search.money import CENT_PARTS
from optimizer.search.patterns import Column, Key, distinct
from optimizer.search.pricing import Prices, cheapest, least_of
from optimizer.search.problem import Problem
from optimizer.search.programme import Programme
from optimizer.search.standing import Standing
from optimizer.search.upper_sums import UpperSums
from optimizer.search.watch import Watch

NEAR = 1_000
"""Patterns of a lumber that are listed first."""

TOGETHER, WITHIN_REACH = 40_000, 0.025
"""Patterns of all lumbers that are instead, if better plans use no others; tried where a plan is
dearer than the linear optimum by no larger share.
"""

MOST_ROWS = 40
MOST_ROUNDS = 12
NEAREST = 400
NEAREST_NODES = 20
NEW = 0.1
"""With a smaller share of new ones the nearest are not tried again."""

VERY_FEW, FEW = 500, 4_000
"""So few patterns are searched before more rows are looked for; and afterwards at first."""

MORE_EACH_TIME, MOST_SEARCHED = 4, 60_000
"""Then so many times as many; and at the most, when rounded rows gain nothing more."""

MOST_NODES = 50_000
SLOWER = 10
"""Times as long as one of ours a branch of the integer solver takes."""

SPREADS = (0.05, 0.2) * 8
"""How wrong the costs are at which further rows are looked for."""

IN_VAIN = 4
"""So many such optima in a row whose rows gain hardly anything are enough."""

SEED = 20260103

HOPEFUL = 0.01
"""Within this share of its cost of the linear optimum a plan is worth long lists."""

NEAR_ENOUGH = 0.005
"""Where a plan is dearer than the optimum by a larger share, and not all patterns between them go
on lists, better plans are looked for elsewhere before longer lists are tried.
"""

WORTH_ANOTHER = 0.005
"""Share of the gap that a round of rows must close."""


class Closing:
    """The root of the search. ``root`` is the linear optimum over all patterns, of which
    ``columns`` are some to begin with; ``look_elsewhere`` looks for better plans by other means.
    """

    def __init__(
        self,
        problem: Problem,
        tables: Sequence[CuttingTables],
        standing: Standing,
        watch: Watch,
        columns: Sequence[Column],
        root: Linear,
        look_elsewhere: Callable[[], None] | None = None,
    ) -> None:
        self.problem, self.tables, self.standing, self.watch = problem, tables, standing, watch
        self.programme = Programme(problem)
        self.levels = Levels(tables, standing, watch)
        self.chance = np.random.default_rng(SEED)
        self._columns, self._root, self._at_root = columns, root, self._prices(root)
        self._look_elsewhere = look_elsewhere
        self._tried = set[Key]()
        self._only_a_plan_lacks = False
        self._begun: Linear | None = None
        self._begun_anew = False

    def begin(self) -> Linear:
        """Lists at the root, rounded rows, and a plan from the patterns nearest to the optimum
        under these, which it returns; once.
        """
        if self._begun is None:
            self._only_a_plan_lacks = self.standing.few_steps_from(self._root.value)
            near = not self.standing.far_from(self._root.value, WITHIN_REACH)
            if self._only_a_plan_lacks:
                self.levels.begin(self._at_root, MOST_LISTED)
            else:
                self.levels.begin(self._at_root, NEAR, TOGETHER if near else 0)
            assert self.standing.whole is not None
            self._add([*self._columns, *(column for column, _ in self.standing.whole.boards)])
            self._begun = self._joined(self._rounded(self.programme.solve_linear()))
            self.levels.shorten(self._prices(self._begun))
            self._tried_nearest()
        return self._begun

    def run(self) -> bool:
        """Close the gap as far as it goes; whether nothing better is left."""
        linear, fresh = self.begin(), list[Column]()
        while not self.watch.over():
            before, settled = linear.value, not fresh
            enough = before + WORTH_ANOTHER * max(float(self.standing.net) * 100 - before, 0.0)
            linear = self._joined(self._rounded(linear))
            far = self.standing.far_from(linear.value)
            if linear.value <= enough and settled and not (far or self._few_listed()):
                linear = self._rounded_beside(linear)
            fresh = self.levels.rise(self._prices(linear), beyond=not far)
            if fresh:
                self._add(fresh)
                linear = self._joined(self.programme.solve_linear())
            bound = self.levels.shorten(self._prices(linear))
            if not self.standing.announce(min(bound, self.levels.lowest)):
                return True
            stuck = linear.value <= enough and not fresh and (settled or far)
            if stuck and not far and (self._begin_anew(bound) or self._better_elsewhere(linear)):
                continue
            if stuck or self._few_listed():
                best, fresh = self.standing.net, self._risen_on(linear)
                if fresh:
                    self._add(fresh)
                    linear = self._joined(self.programme.solve_linear())
                    continue
                if self._searched(linear):
                    return True
                if self.standing.net == best:
                    return False
                continue  # below a better plan fewer patterns are left
            self._tried_nearest()
        return False

    def _begin_anew(self, bound: int) -> bool:
        """Begin lists that lag behind the bound anew at the root, longer, once; whether it did."""
        if self._begun_anew or self.levels.lowest >= bound:
            return False
        self._begun_anew = True
        self.levels.begin(self._at_root, MOST_LISTED)
        return True

    def _better_elsewhere(self, linear: Linear) -> bool:
        """Look elsewhere, where not all patterns can be listed, once; whether a better plan is
        found.
        """
        before, look = self.standing.net, self._look_elsewhere
        near = not self.standing.far_from(linear.value, NEAR_ENOUGH)
        if look is None or near or self.levels.complete:
            return False
        self._look_elsewhere = None
        look()
        return self.standing.net < before

    def _few_listed(self) -> bool:
        """Whether all patterns of better plans are listed, and are very few."""
        return self.levels.complete and len(self.levels) <= VERY_FEW

    def _tried_nearest(self) -> None:
        """A short integer programme over the patterns nearest to the optimum, if enough are new."""
        nearest = self.programme.nearest(NEAREST)
        keys = {column.key for column in nearest}
        if len(keys - self._tried) >= NEW * len(keys):
            self.standing.solve(nearest, nodes=NEAREST_NODES)
            self._tried = keys

    def _risen_on(self, linear: Linear) -> list[Column]:
        """Longer lists, where they have hope; or else patterns that are to join."""
        if self._only_a_plan_lacks or self.standing.far_from(linear.value, HOPEFUL):
            return []
        return self.levels.rise_on(self._prices(linear))

    def _searched(self, linear: Linear) -> bool:
        """Few patterns are searched, then more; whether that leaves nothing better.

        They are all that plans up to some cost can use. So either the cheapest plan of all is
        among them, or none is below that cost.
        """
        few, level = FEW, 0
        while level < self.levels.lowest and not self.watch.over():
            prices = self._prices(linear)
            bound = self.levels.shorten(prices)
            columns, level = self.levels.nearest(prices, bound, few)
            if len(columns) > MOST_SEARCHED or level <= bound:
                break
            attempt = self._best_of(columns, level)
            if not attempt.complete:
                if isfinite(attempt.bound):  # else it was ended before it began
                    self.standing.announce(int(attempt.bound * CENT_PARTS) - ALLOWED)
                break
            if not self.standing.announce(level):
                return True
            few *= MORE_EACH_TIME
        return False

    def _best_of(self, columns: Sequence[Column], level: int) -> Attempt:
        """The best whole counts of plans below a level. Where nothing has to be proven, only found,
        the integer solver is sooner: it looks for plans before it branches.
        """
        if self._only_a_plan_lacks:
            return self.standing.solve(columns, nodes=MOST_NODES // SLOWER, below=level)
        rounded = self.programme.rounded
        return self.standing.choose(columns, rounded, nodes=MOST_NODES, below=level)

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

    def _rounded_beside(self, linear: Linear) -> Linear:
        """Rounded rows from optima at slightly wrong costs, where that at the right ones gives none
        that gain.
        """
        in_vain = 0
        for spread in SPREADS:
            if self.watch.over() or in_vain == IN_VAIN:
                break
            before = linear.value
            if self.programme.round_off_beside(MOST_ROWS, self.chance, spread):
                self.programme.solve_linear()
                self.programme.forget_slack()
            linear = self._joined(self.programme.solve_linear())
            gap = max(float(self.standing.net) * 100 - before, 0.0)
            in_vain = 0 if linear.value > before + WORTH_ANOTHER * gap else in_vain + 1
        return linear

    def _joined(self, linear: Linear) -> Linear:
        """Patterns join, listed ones and the best by the tables, until none costs less than it
        brings.
        """
        while not self.watch.over():
            prices = self._prices(linear)
            lists = [*self.levels.all, *self.levels.spare]
            gain, costs = least_of(prices, lists, self.levels.budget())
            joining = cheapest(lists, costs) if gain <= -ALLOWED else []
            joining += self._best_by_tables(prices)
            if not joining:
                break
            self._add(joining)
            linear = self.programme.solve_linear()
        return linear

    def _best_by_tables(self, prices: Prices) -> list[Column]:
        """Of lumbers that are not listed wholly: best patterns that cost less than they bring."""
        found: list[Column] = []
        for table, level in zip(self.tables, self.levels.of_lumbers, strict=True):
            if self.standing.hopeful(level):
                sums = UpperSums(prices, table)
                worths = sums.kinds
                gain = table.price(worths) - sums.boards
                order = np.argsort(-gain, kind="stable")[:MOST_AT_ONCE]
                found += [table.column(int(s), worths) for s in order if gain[s] > 0]
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
