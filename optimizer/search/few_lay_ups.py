"""Better plans by few lay-ups of each part: those of the best plan, and of the linear optimum too.

A job whose parts can be glued up in many ways has many kinds of blanks, few of which a good plan
takes. With the others left out patterns are grown anew, for the blanks that are left; they and
their pieces make better plans than patterns for all, and sooner (kernel search; Angelelli, Mansini
and Speranza, Kernel search: a general heuristic for the multi-dimensional knapsack problem,
Computers & Operations Research 37, 2010; cited from memory). Plans found show which other lay-ups
to leave out.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from itertools import count as numbers

from optimizer.search.answers import Linear, Pending, Whole
from optimizer.search.cutting import CuttingTables
from optimizer.search.growing import grow, spare_patterns
from optimizer.search.patterns import distinct
from optimizer.search.problem import Problem, Way
from optimizer.search.programme import Programme
from optimizer.search.recombining import Recombining
from optimizer.search.standing import VERY_FAR, Standing
from optimizer.search.watch import Within

NODES = 1

NEAREST, BESIDE = 150, 300
"""Patterns nearest to the linear optimum whose pieces are recombined, and strips beside theirs."""

TAKEN = 1e-6


class FewLayUps:
    """Better plans by few lay-ups of a problem, whose linear optimum is ``root``."""

    def __init__(
        self,
        problem: Problem,
        tables: Sequence[CuttingTables],
        root: Linear,
        standing: Standing,
    ) -> None:
        self.problem, self.tables, self.standing = problem, tables, standing
        self._of_optimum = frozenset(
            (count[1], count[2])
            for count, value in root.counts.items()
            if count[0] == "made" and value > TAKEN
        )
        self._root = root.value
        self._seeds = numbers()

    def run(self, *, far: float) -> None:
        """By those of the best plan and of the linear optimum. If the plan stays ``far`` from that
        optimum (share of its cost), pieces are recombined; and once more if it is very far. Beside
        this the same by those of the best plan alone.
        """
        best = self.standing.whole
        assert best is not None
        begun = list[tuple[Iterator[Pending], Pending]]()
        for kept in dict.fromkeys((self._of_optimum.union(best.made), frozenset(best.made))):
            turn = self._bettered(best, kept, far)
            if not (pending := next(turn, None)):
                break
            begun.append((turn, pending))
        while begun:
            for _, pending in begun:
                pending.wait()
            begun = [(turn, pending) for turn, _ in begun if (pending := next(turn, None))]

    def _bettered(
        self, best: Whole, kept: Iterable[tuple[int, int]], far: float
    ) -> Iterator[Pending]:
        """From the best plan on, by lay-ups that are kept; what it waits for, beside other work."""
        few = _Few(self.problem, kept)
        standing = self._standing(few, best)
        programme = Programme(few.problem)
        root = grow(few.problem, self.tables, programme, standing.watch)
        nearest = programme.nearest(NEAREST)
        spare = spare_patterns(self.tables, root.blanks, standing.watch)
        if standing.open:
            every = distinct([*programme.columns, *spare])
            yield standing.begin_to_improve(every, nodes=NODES)
            self._keep(few, standing)
        recombining = Recombining(few.problem, self.tables, standing)
        for share in (far, VERY_FAR):
            if standing.open and standing.far_from(self._root, share):
                seed = next(self._seeds)
                yield from recombining.begin(nearest, root.blanks, beside=BESIDE, seed=seed)
                self._keep(few, standing)

    def _standing(self, few: _Few, best: Whole) -> Standing:
        """From the best plan on."""
        standing = Standing(
            few.problem,
            lambda whole: self.standing.net_of(few.restored(whole)),
            Within(within=self.standing.watch),
        )
        standing.whole, standing.net = few.taken(best), self.standing.net
        return standing

    def _keep(self, few: _Few, standing: Standing) -> None:
        """Keep and tell the plan, if it is better."""
        if standing.whole is not None and standing.net < self.standing.net:
            whole = few.restored(standing.whole)
            self.standing.consider(whole)


class _Few:
    """``problem`` with some of its lay-ups, by (part, way), and what is made by their numbers."""

    def __init__(self, problem: Problem, kept: Iterable[tuple[int, int]]) -> None:
        ways: list[list[Way]] = [[] for _ in problem.ways]
        self._here: dict[tuple[int, int], tuple[int, int]] = {}
        for part, way in sorted(kept):
            self._here[part, way] = (part, len(ways[part]))
            ways[part].append(problem.ways[part][way])
        self._there = {here: there for there, here in self._here.items()}
        self.problem = replace(problem, ways=tuple(map(tuple, ways)))

    def taken(self, whole: Whole) -> Whole:
        """Whole counts of the problem that make nothing by other lay-ups."""
        return replace(whole, made={self._here[way]: n for way, n in whole.made.items()})

    def restored(self, whole: Whole) -> Whole:
        """The same counts, of all lay-ups."""
        return replace(whole, made={self._there[way]: n for way, n in whole.made.items()})
