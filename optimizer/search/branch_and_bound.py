"""Whole counts over a list of patterns, by branch and bound.

The linear optimum over the list, lifted by rounded rows, is close below the best whole counts. A
count that it halves, of a pattern, a lay-up, boards or blanks, is held below or above the half, the
lowest cost first (Land and Doig, An automatic method of solving discrete programming problems,
Econometrica 28, 1960). Counts over many patterns move the optimum most: how many blanks of a kind
are sawn, how many boards give one, or two (Vanderbeck, On Dantzig-Wolfe decomposition in integer
programming, Operations Research 48, 2000).
"""

from __future__ import annotations

import heapq
from collections.abc import Callable, Iterable, Mapping
from itertools import count as numbers
from math import ceil, floor
from typing import TypeAlias

import numpy as np

from optimizer.search.answers import Attempt, Whole
from optimizer.search.first_rows import Floats
from optimizer.search.knapsack import Ints
from optimizer.search.relaxation import Box, Start
from optimizer.search.solver import NOTHING
from optimizer.search.trials import Trials
from optimizer.search.watch import Watch
from optimizer.search.whole_programme import WholeProgramme

HALVED = 1e-6

Ranges: TypeAlias = Mapping[int, tuple[float, float]]
"""What some counts are at least and at most, by their place in a box."""

Node: TypeAlias = tuple[float, int, Ranges, Start | None]
"""What it costs at the least, its number, its ranges, where its optimum is looked for from, with
the columns that it may use. Numbers fall: of equal costs the newest comes first.
"""


class BranchAndBound:
    """The best whole counts of a programme; ``found`` hears of each, and says below which cost the
    next is of interest (cents).
    """

    def __init__(
        self, programme: WholeProgramme, watch: Watch, found: Callable[[Whole], float]
    ) -> None:
        self.programme, self.watch, self._found = programme, watch, found
        self._relaxed = programme.relaxed()
        self._trials = Trials[int]()
        self._number, self._unsolved = numbers(step=-1), list[float]()
        self._best: Whole | None = None
        self._open = list[Node]()
        self.restart()

    def restart(self) -> None:
        """Begin anew, but for what trials have taught: at first counts are chosen knowing little
        (restarts of integer solvers; Achterberg, Constraint integer programming, thesis, TU Berlin
        2007; cited from memory).
        """
        self._open = [(-NOTHING, next(self._number), {}, None)]
        self._unsolved.clear()

    def run(self, below: float, nodes: int) -> Attempt:
        """Until nothing is left ``below``, or after so many nodes, or the watch ends it; from where
        it stood before, if it was run.
        """
        open_nodes, number, unsolved = self._open, self._number, self._unsolved
        for _ in range(nodes):
            if not open_nodes or open_nodes[0][0] >= below or self.watch.over():
                break
            known, _, ranges, start = heapq.heappop(open_nodes)
            box = self._relaxed.all if start is None else self._relaxed.all.of_only(start.every)
            box = box.within(ranges)
            cost = self._relaxed.cost(box, start, below)
            if cost == NOTHING:
                continue
            if cost == -NOTHING:
                unsolved.append(known)
                continue
            optimum = self._relaxed.optimum()
            halved = self._halved(optimum.values)
            if not len(halved):
                columns = optimum.values[: self._relaxed.columns]
                self._best = self.programme.whole_of(columns.tolist(), cost)
                below = min(below, self._found(self._best))
                if cost < below:  # it is no better than it seemed: others here may be
                    unsolved.append(cost)
                continue
            box = box.tightened(optimum, below - cost)
            start = optimum.start_within(box)
            values = {int(at): float(optimum.values[at]) for at in halved}
            for least, child, stands in self._branches(box, start, values, cost, below):
                heapq.heappush(open_nodes, (least, next(number), {**ranges, **child}, stands))
        bound = min([below, *unsolved, *(node[0] for node in open_nodes)])
        return Attempt(whole=self._best, bound=bound, complete=bound >= below)

    def _halved(self, values: Floats) -> Ints:
        counted = self._relaxed.counted
        halved: Ints = counted[np.abs(values[counted] - np.round(values[counted])) > HALVED]
        return halved

    def _branches(
        self, box: Box, start: Start, values: Mapping[int, float], cost: float, below: float
    ) -> Iterable[tuple[float, Ranges, Start]]:
        """The halves of a count, of those with these values, that may hold plans ``below``; what
        these cost at the least, and where to begin.
        """
        tried = dict[tuple[int, bool], Start]()

        def half(at: int, upper: bool) -> Ranges:
            if upper:
                return {at: (ceil(values[at]), float(box.most[at]))}
            return {at: (float(box.least[at]), floor(values[at]))}

        def cost_of(at: int, upper: bool) -> float:
            cost = self._relaxed.cost(box.within(half(at, upper)), start, below)
            tried[at, upper] = self._relaxed.start()
            return cost

        chosen, costs = self._trials.choose(values, cost, below, cost_of)
        for upper, least in zip((False, True), costs, strict=True):
            if least != NOTHING:
                yield max(cost, least), half(chosen, upper), tried.get((chosen, upper), start)
