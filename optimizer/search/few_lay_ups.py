"""Better plans by few lay-ups of each part: those of the best plan, or of the linear optimum too.

A job whose parts can be glued up in many ways has many kinds of blanks, few of which a good plan
takes. With the others left out patterns are grown anew, for the blanks that are left; they and
their pieces make better plans than patterns for all, and sooner (kernel search; Angelelli, Mansini
and Speranza, Kernel search: a general heuristic for the multi-dimensional knapsack problem,
Computers & Operations Research 37, 2010; cited from memory). Plans found show which other lay-ups
to leave out.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from itertools import count as numbers

from optimizer.search.answers import Linear, Whole
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
        self._of_optimum = {
            (count[1], count[2])
            for count, value in root.counts.items()
            if count[0] == "made" and value > TAKEN
        }
        self._root = root.value
        self._seeds = numbers()

    def run(self, *, far: float, with_optimum: bool) -> None:
        """By those of the best plan, ``with_optimum`` by those of the linear optimum too. Pieces
        are recombined if the plan is ``far`` from that optimum (share of its cost), and once more
        if it is very far.
        """
        best = self.standing.whole
        assert best is not None
        few = _Few(self.problem, {*best.made, *(self._of_optimum if with_optimum else ())})
        standing = self._standing(few, best)
        programme = Programme(few.problem)
        root = grow(few.problem, self.tables, programme, standing.watch)
        nearest = programme.nearest(NEAREST)
        spare = spare_patterns(self.tables, root.blanks, standing.watch)
        if standing.open:
            standing.improve(distinct([*programme.columns, *spare]), nodes=NODES)
            self._keep(few, standing)
        recombining = Recombining(few.problem, self.tables, standing)
        for share in (far, VERY_FAR):
            if standing.open and standing.far_from(self._root, share):
                recombining.run(nearest, root.blanks, beside=BESIDE, seed=next(self._seeds))
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
