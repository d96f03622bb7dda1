"""Lists of patterns, and up to which cost of a plan they are complete.

A list of a lumber's patterns whose reduced costs are within part of the gap holds all that plans up
to a *level* can use: the bound and this part. Within nothing at all it proves the linear optimum.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from contextlib import suppress
from dataclasses import replace
from math import log2

import numpy as np

from optimizer.search.cutting import CuttingTables
from optimizer.search.fillings import TooManyError
from optimizer.search.listed import Listed
from optimizer.search.money import ALLOWED
from optimizer.search.patterns import Column
from optimizer.search.pricing import Budget, Prices, cheapest, least_of, within
from optimizer.search.standing import Standing
from optimizer.search.upper_sums import UpperSums
from optimizer.search.watch import Watch
from optimizer.search.within_gap import WithinGap

MOST_LISTED, MOST_AT_LAST = 25_000, 150_000
"""Patterns of a lumber that are listed and priced one by one; and where nothing else goes on."""

WAIT = 4
"""So many times without, after so long a list was too long."""

SEEMING = 5
"""So many times as many may seem to be as may be listed, and it is tried: mostly they are fewer."""

SHARES = (1, 1 / 4, 1 / 16)
"""Shares of the gap within which patterns are listed, as far as it goes."""
LAST_SHARES = (1, 3 / 4, 1 / 2)

CLOSE = 0.003
"""Share of the bound within which all patterns below a plan are listed at once."""

HARDLY = 1 / 4
"""Of a part of the gap, by which a level rises too little to be worth a list."""

BEAM = 200
"""Where a list is too long even within no gap: so many of each step go on."""


class Levels:
    """The lists of all lumbers, each with its level."""

    def __init__(self, tables: Sequence[CuttingTables], standing: Standing, watch: Watch) -> None:
        self.tables, self.standing, self.watch = tables, standing, watch
        self.lists: list[list[Listed]] = [[] for _ in tables]
        self.of_lumbers = [0] * len(tables)
        """Plans up to this cost use no pattern of the lumber but listed ones."""
        self.spare: list[Listed] = []  # of which some joined the last time; more of them may
        self._budget = Budget.of(0, standing.problem, tables)
        self._wait = 0
        self._within = [WithinGap(table, watch) for table in tables]

    @property
    def lowest(self) -> int:
        """Plans up to this cost use listed patterns only."""
        return min(self.of_lumbers)

    @property
    def complete(self) -> bool:
        """Whether all patterns of all better plans are listed."""
        return not self.standing.hopeful(self.lowest)

    @property
    def all(self) -> list[Listed]:
        """The lists of all lumbers."""
        return [listed for lists in self.lists for listed in lists]

    def __len__(self) -> int:
        return sum(map(len, self.all))

    def begin(self, root: Prices, most: int, reach: float | None = None) -> None:
        """At the plain optimum the tables price all patterns: of each lumber all that better plans
        use are listed, or where these are more than ``most``, as many as go; if there is a
        ``reach``, only of plans dearer than the optimum by no larger share.
        """
        bound = self._bound_at(root)
        level = self._between(bound, SHARES)[0]
        if reach is not None:
            level = min(level, bound + int(reach * abs(bound)))
        for lumber in self._lagging(level):
            with suppress(TooManyError):
                lists, gap = self._within[lumber].as_far_as_goes(root, level - bound, most)
                if bound + gap > self.of_lumbers[lumber]:
                    self.lists[lumber], self.of_lumbers[lumber] = lists, bound + gap

    def complete_at(self, root: Prices, most: int) -> None:
        """The same once there is a better plan: patterns beyond the gap leave, and all others are
        listed, if they seem to be about ``most`` and no lumber has more.
        """
        bound = self._bound_at(root)
        level = self._between(bound, SHARES)[0]
        self.lists = [within(root, lists, level - bound) for lists in self.lists]
        self.of_lumbers = [min(reached, level) for reached in self.of_lumbers]
        lagging = self._lagging(level)
        if sum(self._foretold(i, root, bound, level) for i in lagging) > SEEMING * most:
            return
        self._keep(self._all_listed(lagging, root, most, level - bound) or {}, level)

    def _foretold(self, lumber: int, root: Prices, bound: int, level: int) -> float:
        """How many patterns of a lumber plans up to a level use, as it seems: so many times more
        with each doubling of the gap as from half of what is listed on.
        """
        reach, costs = self.of_lumbers[lumber] - bound, root.of_lists(self.lists[lumber])
        listed = sum(map(len, costs))
        if reach <= 0 or not listed:
            return float("inf")
        nearer = sum(int(np.count_nonzero(2 * cost <= reach)) for cost in costs)
        growth: float = (listed / max(nearer, 1)) ** log2((level - bound) / reach)
        return listed * growth

    def _bound_at(self, root: Prices) -> int:
        """What plans cost at the least, by the plain optimum."""
        lowest: dict[int, int] = {}
        for table in self.tables:
            beyond = UpperSums(root, table).beyond_cost()
            lowest |= zip(table.supplies, (-beyond).tolist(), strict=True)
        return root.of_rows() + root.gain(lowest, self.budget())

    def _listed_to(self, level: int, lumber: int, root: Prices, bound: int, most: int) -> bool:
        """Raise the level of a lumber, if patterns can be listed so far; not for hardly more."""
        hardly = HARDLY * (level - bound) if self.standing.hopeful(level) else 0
        if level - self.of_lumbers[lumber] > hardly:
            try:
                self.lists[lumber] = self._within[lumber].listed(root, level - bound, most)
            except TooManyError:
                return False
            self.of_lumbers[lumber] = level
        return True

    def rise(self, prices: Prices, *, beyond: Callable[[], bool]) -> list[Column]:
        """Raise the levels of the lumbers that lag behind: to the plan, if that is close; else all
        to the bound, and then, if ``beyond`` says so, one by one as far beyond as it goes, and none
        further than the one before.

        Where worths are not yet those of all patterns: those that are to join.
        """
        bound, self.spare = prices.of_rows() - ALLOWED, []
        level = max(self._between(bound, (1,))[0], bound)
        if level - bound <= CLOSE * abs(bound):
            found = self._all_listed(self._lagging(level), prices, MOST_LISTED, level - bound)
            if found is not None:
                if not (fresh := self._joining(found, prices)):
                    self._keep(found, level)
                return fresh
        lagging = self._lagging(bound)
        found = self._all_listed(lagging, prices, MOST_LISTED)
        if found is None:
            if fresh := self._promising(lagging, prices):
                return fresh
            found = self._all_listed_at_last(lagging, prices)
        if found is None:
            return []
        if fresh := self._joining(found, prices):
            return fresh
        self._keep(found, bound)
        if not beyond():
            return []
        return self._beyond(bound, prices, lagging, SHARES, MOST_LISTED)

    def rise_on(self, prices: Prices) -> list[Column]:
        """Raise levels that lag behind, with longer lists; or else what is to join first."""
        for of_lumber in self._within:
            of_lumber.forget()
        bound = prices.of_rows() - ALLOWED
        return self._beyond(bound, prices, (), LAST_SHARES, MOST_AT_LAST)

    def _beyond(
        self,
        bound: int,
        prices: Prices,
        reached: Sequence[int],
        shares: Sequence[float],
        most: int,
    ) -> list[Column]:
        """Raise the levels beyond the bound, which those ``reached`` at these worths. A list holds
        what it should only where no pattern of any other lumber costs less than it brings at these
        worths; lists that reach so far are of other worths.
        """
        levels = self._between(bound, shares)
        ahead = [i for i in self._lagging(levels[0]) if i not in reached]
        found = self._all_listed(ahead, prices, most)
        if found is None:
            return []
        if fresh := self._joining(found, prices):
            return fresh
        for lumber in self._lagging(levels[0]):
            while levels and not self._listed_to(levels[0], lumber, prices, bound, most):
                levels = levels[1:]
        return []

    def _joining(self, found: Mapping[int, list[Listed]], prices: Prices) -> list[Column]:
        """Patterns that cost less than they bring, of these lists and else of those kept; if there
        are any, plans reach as far as these would gain.
        """
        lists = [found.get(i, listed) for i, listed in enumerate(self.lists)]
        every = [one for listed in lists for one in listed]
        gain, costs = least_of(prices, every, self.budget())
        if gain > -ALLOWED:
            return []
        self._reach(prices.of_rows() - ALLOWED + gain)
        self.spare = [one for listed in found.values() for one in listed]
        return cheapest(every, costs)

    def _keep(self, found: Mapping[int, list[Listed]], level: int) -> None:
        """These are the lists of their lumbers, up to a level."""
        for lumber, lists in found.items():
            self.lists[lumber], self.of_lumbers[lumber] = lists, level

    def _lagging(self, level: int) -> list[int]:
        """Lumbers of which plans up to a cost may use patterns that are not listed."""
        return [i for i, reached in enumerate(self.of_lumbers) if reached < level]

    def _all_listed(
        self, lumbers: Sequence[int], prices: Prices, most: int, gap: int = 0
    ) -> dict[int, list[Listed]] | None:
        """Every pattern of these lumbers whose reduced cost is within a gap, unless too many."""
        try:
            return {i: self._within[i].listed(prices, gap, most) for i in lumbers}
        except TooManyError:
            return None

    def _all_listed_at_last(
        self, lumbers: Sequence[int], prices: Prices
    ) -> dict[int, list[Listed]] | None:
        """The same with longer lists, unless these were too long a short while ago."""
        if self._wait:
            self._wait -= 1
            return None
        found = self._all_listed(lumbers, prices, MOST_AT_LAST)
        self._wait = WAIT if found is None else 0
        return found

    def _promising(self, lumbers: Sequence[int], prices: Prices) -> list[Column]:
        """The most promising patterns that cost less than they bring, where not all such can be
        listed.
        """
        found: list[Column] = []
        for lumber in lumbers:
            try:
                lists = self._within[lumber].listed(prices, 0, MOST_LISTED, BEAM)
            except TooManyError:
                continue
            gain, costs = least_of(prices, lists, self.budget())
            found += cheapest(lists, costs) if gain <= -ALLOWED else []
        return found

    def _reach(self, bound: int) -> None:
        """Plans below the bound use no patterns at all: there are none."""
        self.of_lumbers = [max(reached, bound) for reached in self.of_lumbers]

    def budget(self) -> Budget:
        """What better plans may cost."""
        cutoff = self.standing.cutoff()
        assert cutoff is not None
        return replace(self._budget, most=cutoff)

    def shorten(self, prices: Prices) -> int:
        """The bound at these worths; patterns beyond the gap leave the lists, once these are
        complete: until then an unlisted pattern may bring more than it costs, and a better plan use
        it beside a listed one beyond the gap.
        """
        gain, costs = least_of(prices, self.all, self.budget())
        bound, cutoff = prices.of_rows() + gain, self.standing.cutoff()
        assert cutoff is not None
        if self.complete:
            each = zip(self.all, costs, strict=True)
            kept = (listed.chosen(np.flatnonzero(cost <= cutoff - bound)) for listed, cost in each)
            self.lists = [[next(kept) for _ in lists] for lists in self.lists]
        return bound

    def nearest(self, prices: Prices, bound: int, most: int) -> tuple[list[Column], int]:
        """About ``most`` listed patterns of least reduced cost, the nearest first: all that plans
        up to a cost can use, and that cost.
        """
        costs = prices.of_lists(self.all)
        level = self.lowest
        if len(self) > most:
            level = min(level, bound + int(np.partition(np.concatenate(costs), most)[most]))
        within = [np.flatnonzero(cost <= level - bound) for cost in costs]
        each = (listed.columns(index) for listed, index in zip(self.all, within, strict=True))
        columns = [column for of_list in each for column in of_list]
        of_columns = [cost[index] for cost, index in zip(costs, within, strict=True)]
        order = np.argsort(np.concatenate(of_columns), kind="stable")
        return [columns[i] for i in order.tolist()], level

    def _between(self, bound: int, shares: Sequence[float]) -> list[int]:
        """Costs between the bound and just beyond a better plan."""
        cutoff = self.standing.cutoff()
        assert cutoff is not None
        return [bound + int((cutoff + 1 - bound) * share) for share in shares]
