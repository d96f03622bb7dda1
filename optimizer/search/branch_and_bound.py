"""Whole counts over a list of patterns, by branch and bound.

The linear optimum over the list, lifted by rounded rows, is close below the best whole counts. A
count that it halves is held below or above the half, the lowest cost first (Land and Doig, An
automatic method of solving discrete programming problems, Econometrica 28, 1960). Which one: that
whose two halves raise the cost most, tried by some steps of the simplex method until it has been
tried often enough to be foretold (Achterberg, Koch and Martin, Branching rules revisited,
Operations Research Letters 33, 2005). Counts of boards are tried beside those of single patterns.
"""

from __future__ import annotations

import heapq
from collections.abc import Callable, Mapping
from itertools import count as numbers

import numpy as np

from optimizer.search.answers import Attempt, Whole
from optimizer.search.first_rows import Floats
from optimizer.search.knapsack import Ints
from optimizer.search.relaxation import NOTHING, Box, Optimum
from optimizer.search.watch import Watch
from optimizer.search.whole_programme import WholeProgramme

HALVED = 1e-6
RELIABLE = 8
"""Trials after which what halves of a count cost is foretold."""

MOST_TRIED = 8
IN_VAIN = 4
"""So many counts of one node are tried, or in a row none better than the best of them."""

STEPS = 100
LEAST_GAIN = 1e-3


class BranchAndBound:
    """The best whole counts of a programme; ``found`` hears of each, and says below which cost the
    next is of interest (cents).
    """

    def __init__(
        self, programme: WholeProgramme, watch: Watch, found: Callable[[Whole], float]
    ) -> None:
        self.programme, self.watch, self._found = programme, watch, found
        self._relaxed = programme.relaxed()
        size = len(self._relaxed.all.least)
        self._gained, self._times = np.zeros((2, size)), np.zeros((2, size))

    def run(self, below: float, nodes: int) -> Attempt:
        """Until nothing is left ``below``, or after so many nodes, or the watch ends it."""
        ticket, best = numbers(), None
        open_nodes = [(0.0, next(ticket), dict[int, tuple[float, float]](), None)]
        for _ in range(nodes):
            if not open_nodes or open_nodes[0][0] >= below or self.watch.over():
                break
            _, _, ranges, start = heapq.heappop(open_nodes)
            box = self._relaxed.all.within(ranges)
            cost = self._relaxed.cost(box, start, below)
            if cost == NOTHING:
                continue
            optimum = self._relaxed.optimum()
            halved = self._halved(optimum.values)
            if not len(halved):
                best = self.programme.counts()
                below = min(self._found(best), cost)
                continue
            box = box.tightened(optimum, below - cost)
            for least, child in self._branches(box, optimum, halved, cost, below):
                heapq.heappush(open_nodes, (least, next(ticket), {**ranges, **child}, optimum.basis))
        bound = min([below, *(node[0] for node in open_nodes)])
        return Attempt(whole=best, bound=bound, complete=bound >= below)

    def _halved(self, values: Floats) -> Ints:
        counted = self._relaxed.counted
        return counted[np.abs(values[counted] - np.round(values[counted])) > HALVED]

    def _branches(
        self, box: Box, optimum: Optimum, halved: Ints, cost: float, below: float
    ) -> list[tuple[float, Mapping[int, tuple[float, float]]]]:
        """The two halves of a count, each with what it costs at the least; without those that are
        not ``below``.
        """
        best, chosen, in_vain, tried = -1.0, list[tuple[float, dict[int, tuple[float, float]]]](), 0, 0
        values = optimum.values[halved]
        scores = self._scores(halved, values)
        for i in np.argsort(-scores, kind="stable").tolist():
            at, value, score = int(halved[i]), float(values[i]), float(scores[i])
            ranges = [
                {at: (float(box.least[at]), float(np.floor(value)))},
                {at: (float(np.ceil(value)), float(box.most[at]))},
            ]
            costs = [cost, cost]
            if self._times[:, at].min() < RELIABLE:
                if tried == MOST_TRIED:
                    continue
                tried += 1
                costs = [
                    self._relaxed.cost(box.within(half), optimum.basis, below, STEPS)
                    for half in ranges
                ]
                gains = [max(min(each, below) - cost, LEAST_GAIN) for each in costs]
                parts = value - np.floor(value), np.ceil(value) - value
                self._gained[:, at] += np.divide(gains, parts)
                self._times[:, at] += 1
                score = gains[0] * gains[1]
            halves = [
                (max(cost, each), half)
                for each, half in zip(costs, ranges, strict=True)
                if each != NOTHING
            ]
            if len(halves) < 2:
                return halves
            if score > best:
                best, chosen, in_vain = score, halves, 0
            elif (in_vain := in_vain + 1) == IN_VAIN:
                break
        return chosen

    def _scores(self, halved: Ints, values: Floats) -> Floats:
        """What the halves of each count are foretold to gain: one times the other."""
        known = np.maximum(self._times.sum(axis=1), 1)
        usual = (self._gained.sum(axis=1) / known)[:, None] + LEAST_GAIN
        times = self._times[:, halved]
        each = np.where(times > 0, self._gained[:, halved] / np.maximum(times, 1), usual)
        parts = np.array([values - np.floor(values), np.ceil(values) - values])
        scores: Floats = np.maximum(each * parts, LEAST_GAIN).prod(axis=0)
        return scores
