"""Frees some boards of the best plan and plans their blanks anew: small problems, soon closed.

The other boards stay as they are. A small problem has few copies of each blank, so that patterns
hold no more than these, its lists are short, and its optimum is mostly proven (large neighbourhood
search; Shaw, Using constraint programming and local search methods to solve vehicle routing
problems, CP 1998).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from typing import TypeAlias

import numpy as np

from optimizer.job.layups import LayUp
from optimizer.search.answers import Whole
from optimizer.search.cutting import CuttingTables
from optimizer.search.money import CENT_PARTS
from optimizer.search.patterns import Column
from optimizer.search.problem import Problem, Way
from optimizer.search.standing import Standing
from optimizer.search.watch import InSteps, Watch
from stock.prices import to_cent

Close: TypeAlias = Callable[[Problem, Sequence[CuttingTables], Standing, Watch], None]

LEAST, MOST, SPAN = 2, 9, 3
"""Boards freed at once: at first the most, or down to so many fewer; of a lumber of which these
take too many steps, fewer and fewer.
"""

STEPS_EACH = 800
"""Of the search, for a small problem: a second or so."""

WORTH_ANOTHER = Decimal("0.01")
"""Share of the gap that a better plan must close for more small problems."""

SLOW = 3
"""As many in vain as one that takes more."""
SEED = 20260102


class Freeing:
    """Better plans near the best one; ``close`` solves a small problem as the large one was."""

    def __init__(
        self,
        problem: Problem,
        tables: Sequence[CuttingTables],
        standing: Standing,
        watch: Watch,
        close: Close,
    ) -> None:
        self.problem, self.tables, self.standing, self.watch = problem, tables, standing, watch
        self.close = close
        self.chance = np.random.default_rng(SEED)
        self._most = dict.fromkeys(tables, MOST)
        self._in_vain = set[frozenset[tuple[Column, int]]]()
        """Boards that were freed for nothing."""

    def run(self, most_in_vain: int) -> None:
        """Until so many small problems in a row closed hardly any of the gap, or the watch ends it.
        One that takes too many steps counts as several.
        """
        in_vain = 0
        while in_vain < most_in_vain and not self.watch.over():
            before, watch = self.standing.gap, InSteps(within=self.watch, steps=STEPS_EACH)
            self._free_some(watch)
            worth = before - self.standing.gap > WORTH_ANOTHER * before
            in_vain = 0 if worth else in_vain + (SLOW if watch.spent() else 1)

    def _free_some(self, watch: InSteps) -> None:
        """Free some boards of one lumber, as long as ``watch`` says."""
        whole = self.standing.whole
        assert whole is not None
        cut = [column for column, count in whole.boards for _ in range(count)]
        table, free = self._chosen(cut)
        freed = [cut[i] for i in sorted(free)]
        kept = [column for i, column in enumerate(cut) if i not in free]
        these = frozenset(Counter(freed).items())
        if table is None or these in self._in_vain:
            return
        anew = self._planned_anew(table, kept, freed, whole, watch)
        if not watch.spent():
            self._most[table] = min(max(len(free) + 1, self._most[table]), MOST)
        elif anew is None:
            self._most[table] = max(len(free) - 1, LEAST)
        if anew is None:
            self._in_vain.add(these)
            return
        boards = Counter(kept) + Counter(dict(anew.boards))
        saved = sum(column.cost for column in cut) - sum(c.cost for c in boards.elements())
        cost = whole.cost - saved / CENT_PARTS
        joined = replace(whole, boards=tuple(boards.items()), cost=cost)
        self.standing.consider(joined)
        self._in_vain.clear()

    def _chosen(self, cut: Sequence[Column]) -> tuple[CuttingTables | None, set[int]]:
        """A lumber, if there are two boards of one, and some of its boards, rather dear ones."""
        lumbers = [
            (table, [i for i, c in enumerate(cut) if c.pattern.supply in table.supplies])
            for table in self.tables
        ]
        lumbers = [(table, those) for table, those in lumbers if len(those) > 1]
        if not lumbers:
            return None, set()
        table, those = lumbers[self.chance.integers(len(lumbers))]
        supplies = self.problem.supplies
        costs = np.array([float(supplies[cut[i].pattern.supply].cost) + 0.1 for i in those])
        most = self._most[table]
        some = int(self.chance.integers(max(most - SPAN, LEAST), most + 1))
        share = costs / costs.sum()
        free = self.chance.choice(those, min(some, len(those)), replace=False, p=share)
        return table, set(free.tolist())

    def _planned_anew(
        self,
        table: CuttingTables,
        kept: Sequence[Column],
        freed: Sequence[Column],
        whole: Whole,
        watch: Watch,
    ) -> Whole | None:
        """The cheapest boards for what the kept ones do not give; None if that is not cheaper."""
        lacking: Counter[int] = Counter()
        for (part, way), count in whole.made.items():
            for kind, n in self.problem.ways[part][way].blanks:
                lacking[kind] += n * count
        for column in kept:
            lacking.subtract(dict(column.counts))
        asked = {kind: lacking[kind] for kind in table.kinds if lacking[kind] > 0}
        if not asked:
            return None
        small = self._small(asked, kept)
        cost = sum(column.cost for column in freed)
        standing = Standing(small, _net, watch)
        standing.whole = Whole(
            boards=tuple((column, 1) for column in freed),
            made={(i, 0): n for i, n in enumerate(asked.values())},
            missing=(0,) * len(asked),
            cost=cost / CENT_PARTS,
        )
        standing.net = _net(standing.whole)
        before = standing.net
        self.close(small, [table], standing, watch)
        return standing.whole if standing.net < before else None

    def _small(self, asked: dict[int, int], kept: Sequence[Column]) -> Problem:
        """The problem of sawing blanks ``asked``, from boards that are not in use."""
        stretches = self.problem.stretches
        cut = [column.pattern.supply for column in kept]
        in_use = Counter(s for each in cut for s in (each, *stretches.get(each, ())))
        supplies = tuple(
            supply
            if supply.limit is None
            else replace(supply, limit=max(supply.limit - in_use[s], 0))
            for s, supply in enumerate(self.problem.supplies)
        )
        part = self.problem.ways[0][0].lay_up.part

        def alone(kind: int) -> tuple[Way, ...]:
            blank = self.problem.kinds[kind]
            thick = blank.lumber.thickness
            lay_up = LayUp(part=part, planed=False, plies=(((blank,),),), thickness=thick)
            return (Way(lay_up=lay_up, blanks=((kind, 1),), cost=Fraction(0)),)

        return replace(
            self.problem,
            supplies=supplies,
            ways=tuple(map(alone, asked)),
            copies=tuple(asked.values()),
        )


def _net(whole: Whole) -> Decimal:
    return to_cent(Fraction(whole.cost) / 100)
