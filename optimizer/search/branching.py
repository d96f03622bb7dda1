"""Whole numbers: good plans early, a rising bound.

A first plan comes from the patterns grown for the linear programme and some more. The gap between
it and the linear bound is then closed from both sides. Where the patterns below the gap can be
listed, one integer programme over the list ends the matter; its proof rests on the integer solver.
Where they are too many, a count that the linear programme halves (boards bought of a lumber, boards
of a supply, parts made a way) is held below or above the half: pricing stays as it is, the bound
rises, and fewer patterns remain below the smaller gap. The lowest bound is taken first
(branch-and-price; Vanderbeck, On Dantzig-Wolfe decomposition in integer programming, Operations
Research 48, 2000; Belov and Scheithauer, European Journal of Operational Research 171, 2006).
"""

from __future__ import annotations

import heapq
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from itertools import count as numbers

import numpy as np

from optimizer.search.answers import Attempt, Linear, Whole
from optimizer.search.bound import LowerBound, as_money, lower_bound
from optimizer.search.counts import Count, Range, Ranges, boards
from optimizer.search.cutting import CuttingTables
from optimizer.search.growing import grow
from optimizer.search.listing import Listing, TooManyError
from optimizer.search.patterns import Column, distinct
from optimizer.search.problem import CENT_PARTS, Problem
from optimizer.search.programme import Programme
from optimizer.search.watch import Watch
from stock.prices import to_cent

MOST_LISTED = 8_000
LIST_AGAIN = 0.8
"""A gap is listed only below this share of the smallest gap whose list was too long."""

SHORT_NODES = 50
WHOLE = 1e-5
MOST_NEAR = 800
IMPROVE_EVERY = 30
"""Nodes between two searches for better plans."""

SHARES = (1 / 64, 1 / 32, 1 / 16, 1 / 8, 1 / 4, 1 / 2, 1)
"""Shares of the gap within which patterns are listed for better plans."""

TRIED = {"lumber": 3, "made": 4, "boards": 12}
"""How many halved counts of each sort are tried before branching on one."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Best:
    """The best plan so far: its counts and its net as laid out."""

    whole: Whole
    net: Decimal


class Search:
    """The search for whole numbers over one problem."""

    def __init__(
        self,
        problem: Problem,
        tables: Sequence[CuttingTables],
        bounding: Sequence[CuttingTables],
        programme: Programme,
        net_of: Callable[[Whole], Decimal],
        watch: Watch,
    ) -> None:
        self.problem, self.tables, self.bounding = problem, tables, bounding
        self.programme, self.net_of, self.watch = programme, net_of, watch
        self.exact = tables is bounding
        self.best: Best | None = None
        self.shortest_failed: float = float("inf")

    def run(self, pool: Iterable[Column]) -> Whole | None:
        """The counts of the best plan found; None where the watch ended before there was one."""
        self._consider(self._solve(distinct(pool)))
        ticket = numbers()
        nodes: list[tuple[int, int, Ranges]] = [(0, next(ticket), {})]
        stuck: list[int] = []
        for taken in numbers():
            if not nodes or self.watch.over():
                break
            cost, _, ranges = heapq.heappop(nodes)
            if cost and not self._announce(min([cost, *stuck])):
                break
            self.programme.hold(ranges)
            linear = grow(self.problem, self.tables, self.programme, self.watch)
            bound = lower_bound(
                self.problem, self.bounding, linear.blanks, extra=linear.extra, ranges=ranges
            )
            cost = max(cost, bound.cost)
            if not ranges:
                self._announce(cost)
            if taken % IMPROVE_EVERY == 0:
                self._improve(bound, cost, ranges)
            if not self._hopeful(cost) or self._listed_and_solved(bound, cost, ranges):
                continue
            halved = self._halved(linear, ranges)
            if halved is None:
                stuck.append(cost)
                self._consider(self._solve(self.programme.columns, ranges))
                continue
            for branch in _branches(self.programme, ranges, *halved):
                heapq.heappush(nodes, (cost, next(ticket), branch))
        if not nodes and not self.watch.over():
            self._announce(min(stuck, default=None))
        return self.best.whole if self.best else None

    # what is known ------------------------------------------------------------------------------

    def _consider(self, attempt: Attempt) -> None:
        """Keep the counts if they are the best so far."""
        whole = attempt.whole
        if whole is None:
            return
        if any(whole.missing):
            net = to_cent(Fraction(whole.cost) / 100)
        else:
            net = self.net_of(whole)
            self.watch.found(net)
        if self.best is None or net < self.best.net:
            self.best = Best(whole=whole, net=net)

    def _cutoff(self) -> int | None:
        """The highest exact cost (search units) of a plan that is a cent cheaper than the best."""
        if self.best is None:
            return None
        cents = Fraction(self.best.net) * 100 - 1 + Fraction(self.problem.rounded_sums, 2)
        return int(cents * CENT_PARTS)

    def _hopeful(self, cost: int) -> bool:
        """Whether a plan at this exact cost would be better than the best."""
        cutoff = self._cutoff()
        return cutoff is None or cost <= cutoff

    def _announce(self, cost: int | None) -> bool:
        """Tell the bound; False once no better plan is possible. None: all is searched."""
        if cost is not None and self._hopeful(cost):
            money = as_money(Fraction(cost, CENT_PARTS), self.problem.rounded_sums)
            self.watch.proved(min(money, self.best.net) if self.best else money)
            return True
        if self.best is not None and not any(self.best.whole.missing):
            self.watch.proved(self.best.net)
        return False

    # branching ----------------------------------------------------------------------------------

    def _halved(self, linear: Linear, ranges: Ranges) -> tuple[Count, float] | None:
        """The count to branch on: of the most halved ones, whose branches raise the cost most.

        The branches' linear programmes are tried over the patterns at hand for a few steps (strong
        branching; Applegate, Bixby, Chvátal and Cook, Finding cuts in the TSP, 1995).
        """
        halved = sorted(
            (-min(value % 1, 1 - value % 1), count, value)
            for count, value in linear.counts.items()
            if WHOLE < value % 1 < 1 - WHOLE
        )
        tried = [
            h for name, most in TRIED.items() for h in [h for h in halved if h[1][0] == name][:most]
        ]
        if not tried:
            return None
        with self.programme.trial():
            scores = [
                (self._rise(linear, ranges, count, value), count, value)
                for _, count, value in tried
            ]
        _, count, value = max(scores, key=lambda score: score[0])
        return count, value

    def _rise(self, linear: Linear, ranges: Ranges, count: Count, value: float) -> float:
        """The product of both branches' rises (cents)."""
        product = 1.0
        for branch in _branches(self.programme, ranges, count, value):
            product *= max(self.programme.tried(branch) - linear.value, 0.001)
        return product

    # integer programmes -------------------------------------------------------------------------

    def _solve(
        self, columns: Sequence[Column], ranges: Ranges | None = None, nodes: int = SHORT_NODES
    ) -> Attempt:
        programme = Programme(self.problem, whole=True)
        programme.add(columns)
        programme.hold(ranges or {})
        below = None if self.best is None else float(self.best.net) * 100 - 0.5
        return programme.solve_whole(self.watch, below=below, nodes=nodes)

    def _improve(self, bound: LowerBound, cost: int, ranges: Ranges) -> None:
        """Better plans from the patterns nearest to the linear optimum, as many as come easily."""
        cutoff = self._cutoff()
        if cutoff is None or not self._hopeful(cost):
            return
        near: list[Column] = []
        for share in SHARES:
            listed = self._listed(bound, int((cutoff - cost) * share), ranges, MOST_NEAR)
            if listed is None:
                failed = (cutoff - cost) * share * MOST_LISTED / MOST_NEAR
                self.shortest_failed = min(self.shortest_failed, failed)
                break
            near = listed
        best = () if self.best is None else self.best.whole.boards
        columns = [*near, *self.programme.columns[-MOST_NEAR:], *(column for column, _ in best)]
        self._consider(self._solve(distinct(columns)))

    def _listed_and_solved(self, bound: LowerBound, cost: int, ranges: Ranges) -> bool:
        """List every pattern below the gap and solve over them; whether that closes the node."""
        cutoff = self._cutoff()
        if cutoff is None or not self.exact or cutoff - cost >= LIST_AGAIN * self.shortest_failed:
            return False
        listed = self._listed(bound, cutoff - cost, ranges, MOST_LISTED)
        if listed is None:
            self.shortest_failed = cutoff - cost
            return False
        attempt = self._solve(listed, ranges, nodes=40 * SHORT_NODES)
        self._consider(attempt)
        return attempt.complete

    def _listed(
        self, bound: LowerBound, gap: int, ranges: Ranges, most: int
    ) -> list[Column] | None:
        """All patterns that a better plan within ``ranges`` could use; None if too many."""
        useful = self.problem.useful_blanks()
        supplies = range(len(self.problem.supplies))
        least = np.array([ranges.get(boards(s), Range()).least for s in supplies])
        budget = np.where(least > 0, gap, gap - np.maximum(bound.above, 0))
        found: list[Column] = []
        try:
            for table in self.tables:
                listing = Listing(table, bound.values, useful, most, self.watch)
                found += listing.columns(budget[list(table.supplies)])
                if len(found) > most:
                    return None
        except TooManyError:
            return None
        return distinct(found)


def _branches(programme: Programme, ranges: Ranges, count: Count, value: float) -> Iterable[Ranges]:
    span = ranges.get(count, programme.free(count))
    yield {**ranges, count: span.up_to(int(value))}
    yield {**ranges, count: span.from_(int(value) + 1)}
