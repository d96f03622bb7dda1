"""Dives to whole numbers: boards of the linear optimum are kept step by step, new ones grown below.

What the linear programme cuts whole boards by is kept, or else the board of which it cuts most; for
what these do not give, new patterns are grown, as far down as it goes. A dive's own plan is poor,
for its last patterns give more than is needed. But these patterns are just what whole numbers lack:
over them, those kept and those near the optimum a short integer programme finds good plans (a
diving heuristic with a restricted master; Sadykov, Vanderbeck, Pessoa, Tahiri and Uchoa, Primal
heuristics for branch and price: the assets of diving methods, INFORMS Journal on Computing 31,
2019; cited from memory).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

import numpy as np

from optimizer.search.cutting import CuttingTables
from optimizer.search.growing import grow
from optimizer.search.problem import Problem
from optimizer.search.programme import Programme
from optimizer.search.standing import Standing
from optimizer.search.watch import Watch

ALMOST = 0.8
"""So much of a board and more is kept as one."""

SPREAD = 0.3
"""How wrong the shares of boards are taken, so that no dive is like another."""

NONE = 1e-6
NEAREST, LAST = 400, 150
"""Patterns near the bottom of a dive, and last ones grown there, out of which plans are made."""

NODES = 20
SEED = 20260104


class Diving:
    """Dives from the linear optimum of ``programme``, which gains patterns by them."""

    def __init__(
        self,
        problem: Problem,
        tables: Sequence[CuttingTables],
        programme: Programme,
        standing: Standing,
        watch: Watch,
    ) -> None:
        self.problem, self.tables, self.programme = problem, tables, programme
        self.standing, self.watch = standing, watch
        self.chance = np.random.default_rng(SEED)

    def run(self, most_in_vain: int) -> None:
        """Until so many dives in a row gave no better plan, or the watch ends it."""
        in_vain = 0
        while in_vain < most_in_vain and not self.watch.over():
            before, kept = self.standing.net, self._kept()
            columns = self.programme.columns
            some = [*(columns[i] for i in kept), *self.programme.nearest(NEAREST), *columns[-LAST:]]
            self.standing.improve(some, nodes=NODES)
            in_vain = 0 if self.standing.net < before else in_vain + 1
        self.programme.keep({})

    def _kept(self) -> Counter[int]:
        """The boards kept on the way down, by column."""
        kept: Counter[int] = Counter()
        self.programme.keep(kept)
        linear = grow(self.problem, self.tables, self.programme, self.watch)
        while not (linear.missing or self.watch.over()):
            more = self._next(kept)
            if not more or not linear.value < float(self.standing.net) * 100:
                break
            kept += more
            self.programme.keep(kept)
            linear = grow(self.problem, self.tables, self.programme, self.watch)
        return kept

    def _next(self, kept: Counter[int]) -> Counter[int]:
        """What to keep besides."""
        left = self.programme.cut()
        left[list(kept)] -= list(kept.values())
        whole = np.floor(left + 1 - ALMOST)
        if not whole.any():
            share = left * self.chance.uniform(1 - SPREAD, 1 + SPREAD, len(left))
            whole[share.argmax()] = left[share.argmax()] > NONE
        return Counter({int(i): int(whole[i]) for i in np.flatnonzero(whole)})
