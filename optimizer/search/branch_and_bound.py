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
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from itertools import count as numbers
from math import ceil, floor, isfinite
from typing import TypeAlias

import numpy as np

from optimizer.search.answers import Attempt, Whole
from optimizer.search.box import Box, Kept
from optimizer.search.relaxation import Optimum, Start
from optimizer.search.solver import NOTHING
from optimizer.search.trials import HALVES, Trials
from optimizer.search.watch import Watch
from optimizer.search.whole_programme import WholeProgramme

HALVED = 1e-6

STAY = 20
"""Rows that only count, and stay where a search begins anew."""


@dataclass(frozen=True, slots=True, order=True)
class Node:
    """What plans cost at the least, and its number: numbers fall, so that of equal costs the newest
    comes first. Where its optimum stands, what is kept of its box, and the values of the counts
    that it halves; none of these, if it is not solved yet.
    """

    cost: float
    number: int
    start: Start | None = field(default=None, compare=False)
    kept: Kept | None = field(default=None, compare=False)
    halved: Mapping[int, float] = field(default_factory=dict, compare=False)


Solved: TypeAlias = tuple[Box, float, Optimum | None]
"""A box, what its optimum costs and, where that is of interest, the optimum."""


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
        self._numbers, self._below = numbers(step=-1), NOTHING
        self._open, self._unsolved = [Node(-NOTHING, next(self._numbers))], list[float]()
        self._best: Whole | None = None

    def restart(self) -> None:
        """Begin anew, but for what trials have taught: at first counts are chosen knowing little
        (restarts of integer solvers; Achterberg, Constraint integer programming, thesis, TU Berlin
        2007; cited from memory). Of the rows that only count, those few stay that gained most.
        """
        self._open, self._unsolved = [Node(-NOTHING, next(self._numbers))], []
        free = sorted(self._relaxed.free_rows(), key=self._trials.gain_of, reverse=True)
        self._trials.renumber(self._relaxed.drop(free[STAY:]))

    def run(self, below: float, nodes: int) -> Attempt:
        """Until nothing is left ``below``, or after so many nodes, or the watch ends it; from where
        it stood before, if it was run: then ``below`` no higher cost, for what that ruled out is
        gone.
        """
        self._below = below
        for _ in range(nodes):
            if not self._open or self._open[0].cost >= self._below or self.watch.over():
                break
            self._branch(heapq.heappop(self._open))
        bound = min([self._below, *self._unsolved, *(node.cost for node in self._open)])
        return Attempt(whole=self._best, bound=bound, complete=bound >= self._below)

    def _branch(self, node: Node) -> None:
        """Solve the first node; of another both halves of a count that it halves."""
        if node.start is None or node.kept is None:
            self._keep(node, self._solved(self._relaxed.all, None))
            return
        start, solved = node.start, dict[tuple[int, bool], Solved]()
        box = self._relaxed.all.of_only(start.every, node.kept)

        def cost_of(at: int, upper: bool) -> float:
            value, least, most = node.halved[at], float(box.least[at]), float(box.most[at])
            half = (ceil(value), most) if upper else (least, floor(value))
            solved[at, upper] = self._solved(box.within({at: half}), start)
            return solved[at, upper][1]

        chosen = self._trials.choose(node.halved, node.cost, self._below, cost_of)
        for upper in HALVES:
            if (chosen, upper) not in solved:
                cost_of(chosen, upper)
            self._keep(node, solved[chosen, upper])

    def _solved(self, box: Box, start: Start | None) -> Solved:
        cost = self._relaxed.cost(box, start, self._below)
        return box, cost, self._relaxed.optimum() if isfinite(cost) else None

    def _keep(self, node: Node, solved: Solved) -> None:
        """Plans of a node that lie in a box: whole counts are found, or it stays open."""
        box, cost, optimum = solved
        if cost == -NOTHING:
            self._unsolved.append(node.cost)
        if optimum is None or cost >= self._below:
            return
        counted = self._relaxed.counted
        values = optimum.values[counted]
        halved = np.flatnonzero(np.abs(values - np.round(values)) > HALVED)
        if not len(halved):
            self._find(optimum, cost)
            return
        box = box.tightened(optimum.values, optimum.reduced, self._below - cost)
        start = optimum.start_within(box)
        of_halved = dict(zip(counted[halved].tolist(), values[halved].tolist(), strict=True))
        cost, kept = max(node.cost, cost), box.kept(start.every)
        heapq.heappush(self._open, Node(cost, next(self._numbers), start, kept, of_halved))

    def _find(self, optimum: Optimum, cost: float) -> None:
        """Whole counts."""
        self._best = self.programme.whole_of(optimum.values[: self._relaxed.columns].tolist(), cost)
        self._below = min(self._below, self._found(self._best))
        if cost < self._below:  # it is no better than it seemed: others here may be
            self._unsolved.append(cost)
