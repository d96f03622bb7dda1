"""Whole numbers: good plans early, a rising bound.

A first plan comes from the patterns grown for the linear programme and some more. The gap between
it and the linear bound is then closed from both sides. Where the patterns below the gap can be
listed, whole counts over the list end the matter; the proof rests on the solver's decimals.
Where they are too many, a count that the linear programme halves (boards bought of a lumber, boards
of a supply, parts made a way) is held below or above the half: pricing stays as it is, the bound
rises, and fewer patterns remain below the smaller gap. The lowest bound is taken first
(branch-and-price; Vanderbeck, On Dantzig-Wolfe decomposition in integer programming, Operations
Research 48, 2000; Belov and Scheithauer, European Journal of Operational Research 171, 2006).
"""

from __future__ import annotations

import heapq
from collections.abc import Mapping, Sequence
from decimal import Decimal
from itertools import count as numbers

import numpy as np

from optimizer.search.answers import Linear
from optimizer.search.bound import LowerBound, lower_bound
from optimizer.search.counts import Count, Range, Ranges, boards
from optimizer.search.cutting import CuttingTables
from optimizer.search.fillings import TooManyError
from optimizer.search.growing import grow
from optimizer.search.knapsack import Ints
from optimizer.search.listing import Listing
from optimizer.search.money import CENT_PARTS
from optimizer.search.patterns import Column
from optimizer.search.problem import Problem
from optimizer.search.programme import Programme
from optimizer.search.shares import lot_prices
from optimizer.search.solver import NOTHING
from optimizer.search.standing import Standing
from optimizer.search.trials import HALVES, Trials
from optimizer.search.watch import Watch

HALVED = 1e-5
LEAF_NODES = 50
LIST_NODES = 5_000
MOST_LISTED = 4_000
"""Patterns of which a leaf is searched to the end."""

MORE = 100
WORTH_MORE = Decimal("0.02")
"""So many branches more are taken while each time they close this share of the gap."""

SORTS = (("lots",), ("lumber", "boards"), ("made",))
"""Boards before lay-ups: these are many and stand in for one another, so that one of them held
hardly moves the linear optimum, once patterns are grown for the others.
"""


class Branching:
    """Holds counts in ranges, the lowest bound first."""

    def __init__(
        self,
        problem: Problem,
        tables: Sequence[CuttingTables],
        bounding: Sequence[CuttingTables],
        standing: Standing,
        watch: Watch,
    ) -> None:
        self.problem, self.tables, self.bounding = problem, tables, bounding
        self.programme = Programme(problem, lots=bool(problem.lots), lacking=True)
        self.standing, self.watch = standing, watch
        self._ticket = numbers()
        self._trials = Trials[Count]()
        self._nodes: list[tuple[int, int, Ranges]] = [(0, next(self._ticket), {})]
        self._stuck: list[int] = []

    def run(self, most: int | None = None) -> None:
        """Until nothing better is left, or after so many nodes, or the watch ends it."""
        nodes, stuck = self._nodes, self._stuck
        turns = range(most) if most is not None else numbers()
        for _ in turns:
            if not nodes or self.watch.over():
                break
            cost, _, ranges = heapq.heappop(nodes)
            if cost and not self.standing.announce(min([cost, *stuck])):
                return
            self.programme.hold(ranges)
            linear = grow(self.problem, self.tables, self.programme, self.watch)
            bound = lower_bound(
                self.problem,
                self.bounding,
                linear.blanks,
                extra=linear.extra,
                ranges=ranges,
                lots=lot_prices(self.problem, linear, ranges),
            )
            cost = max(cost, bound.cost)
            if linear.value == NOTHING or not self.standing.hopeful(cost):
                continue
            halved = _halved(linear)
            if not halved:
                self.standing.solve(self.programme.columns, ranges=ranges, nodes=LEAF_NODES)
                branches = self._at_leaf(bound, ranges, linear)
            else:
                branches = self._branches(ranges, halved, linear.value)
            if branches is None:
                stuck.append(cost)
            for branch in branches or ():
                heapq.heappush(nodes, (cost, next(self._ticket), branch))
        if not nodes and not self.watch.over():
            self.standing.announce(min(stuck, default=None))

    @property
    def ended(self) -> bool:
        """Whether no branch is left to look at."""
        return not self._nodes

    def run_while_rising(self, least: int) -> None:
        """So many nodes, and more as long as the bound rises by them."""
        self.run(least)
        rising = True
        while rising and self.standing.open:
            before = self.standing.gap
            self.run(MORE)
            rising = before - self.standing.gap >= WORTH_MORE * before

    def _branches(self, ranges: Ranges, halved: Mapping[Count, float], cost: float) -> list[Ranges]:
        """The halves of the count that raises the cost most, as far as the patterns so far tell."""
        cutoff, start = self.standing.cutoff(), self.programme.basis()

        def half(count: Count, upper: bool) -> Ranges:
            span, value = ranges.get(count, self.programme.free(count)), int(halved[count])
            return {**ranges, count: span.from_(value + 1) if upper else span.up_to(value)}

        def cost_of(count: Count, upper: bool) -> float:
            return self.programme.try_ranges(half(count, upper), start)

        below = cost + abs(cost) if cutoff is None else max(cost, cutoff / CENT_PARTS)
        chosen = self._trials.choose(halved, cost, below, cost_of)
        return [half(chosen, upper) for upper in HALVES]

    def _at_leaf(self, bound: LowerBound, ranges: Ranges, linear: Linear) -> list[Ranges] | None:
        """What is left of a leaf: nothing, once it is searched to the end; all but the lay-ups of
        the linear optimum, if these are, which take few patterns; None if neither is possible.
        """
        if self._listed_out(bound, ranges, self.problem.useful_blanks):
            return []
        made = {count: round(n) for count, n in linear.counts.items() if count[0] == "made"}
        held = {count: Range(n, n) for count, n in made.items()}
        useful = self.problem.blanks_of({count[1:]: n for count, n in made.items()})
        if not self._listed_out(bound, {**ranges, **held}, useful):
            return None
        left, so_far = list[Ranges](), dict(ranges)
        for count, n in made.items():
            span = ranges.get(count, Range())
            if n > span.least:
                left.append({**so_far, count: span.up_to(n - 1)})
            if span.most is None or n < span.most:
                left.append({**so_far, count: span.from_(n + 1)})
            so_far[count] = held[count]
        return left

    def _listed_out(self, bound: LowerBound, ranges: Ranges, useful: Ints) -> bool:
        """Whether nothing better is left in these ranges, once the integer programme has chosen
        among all patterns that a better plan could use, of which so many blanks are ``useful``.
        """
        cutoff = self.standing.cutoff()
        if self.bounding is not self.tables or cutoff is None:
            return False
        gap = cutoff - bound.cost
        stretches = self.problem.stretches
        held = {
            s for s in range(len(self.problem.supplies)) if ranges.get(boards(s), Range()).least
        }
        columns: list[Column] = []
        try:
            for table in self.tables if gap >= 0 else ():
                listing = Listing(table, bound.values, useful, MOST_LISTED, self.watch)
                free = [held.isdisjoint({s, *stretches.get(s, ())}) for s in table.supplies]
                beyond = np.maximum(bound.above[list(table.supplies)], 0) * np.array(free)
                for listed in listing.lists(gap - beyond):
                    columns += listed.columns()
                if len(columns) > MOST_LISTED:
                    return False
        except TooManyError:
            return False
        return self.standing.solve(columns, ranges=ranges, nodes=LIST_NODES).complete


def _halved(linear: Linear) -> dict[Count, float]:
    """The counts to branch on, the most halved first: those of the first sorts that have some."""
    halved = {c: value for c, value in linear.counts.items() if HALVED < value % 1 < 1 - HALVED}
    for sorts in SORTS:
        if those := {c: value for c, value in halved.items() if c[0] in sorts}:
            return dict(sorted(those.items(), key=lambda each: (abs(each[1] % 1 - 0.5), each[0])))
    return {}
