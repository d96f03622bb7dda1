"""Plans by few patterns: those nearest to the linear optimum under rounded rows.

A few hundred patterns of least reduced cost are searched for whole counts, branch by branch: first
for plans in a small part of the gap above the optimum, then in a larger one. A search for plans
that are hardly dearer than the optimum takes little time, whether there is one or not; mostly there
is, and it is better than what the integer solver finds over the same patterns in several times as
long, for that does not know the rows. Only where a search takes many branches the solver looks
beside it, on the second core.
"""

from __future__ import annotations

from collections.abc import Sequence

from optimizer.search.answers import Pending
from optimizer.search.patterns import Column, Key, keep_cheapest
from optimizer.search.raising import Raising
from optimizer.search.standing import Standing

NEAREST = 400
NEW = 0.1
"""So many patterns; with a smaller share of new ones they are not tried again."""

FIRST_PARTS, PARTS = (1 / 16, 1 / 8, 1 / 4), (1 / 4, 1 / 2, 1)
"""Of the gap, in which a plan is looked for one after the other: below the first good plan, and
below those that come next.
"""

SOON, BRANCHES, NODES = 50, 300, 20
"""Branches before the solver looks beside a search, and after that; nodes of the solver."""


class FewPatterns:
    """Those of a ``raising`` linear programme that are nearest, each time they are new ones."""

    def __init__(self, raising: Raising, standing: Standing) -> None:
        self.raising, self.standing = raising, standing
        self._tried = set[Key]()

    @property
    def tried(self) -> bool:
        """Whether any have been."""
        return bool(self._tried)

    def forget(self) -> None:
        """Let those tried be tried again."""
        self._tried = set()

    def columns(self) -> list[Column]:
        """The nearest at the last optimum, if enough are new; from now on they are tried, and ties
        are looked for among them too.
        """
        nearest = self.raising.programme.nearest(NEAREST)
        keys = {column.key for column in nearest}
        if len(keys - self._tried) < NEW * len(keys):
            return []
        self._tried = keys
        keep_cheapest(self.standing.tried, nearest)
        return nearest

    def begin(self, columns: Sequence[Column]) -> Pending:
        """Let the integer solver look for a plan among columns."""
        return self.standing.begin_to_solve(columns, nodes=NODES)

    def search(
        self,
        columns: Sequence[Column],
        parts: Sequence[float] = PARTS,
        pending: Pending | None = None,
    ) -> Pending | None:
        """Look for a plan among columns, in these ``parts`` of the gap, with the solver beside, if
        nothing is ``pending``. What is to be waited for, where neither a plan is found nor the
        whole gap searched.
        """
        standing, raising = self.standing, self.raising
        linear, gap, best = raising.linear.value, raising.gap(), standing.net
        search = standing.search_of(columns, raising.programme.rounded)
        for part in parts:
            below = linear + part * gap
            attempt = search.run(min(below, standing.better), SOON)
            if not attempt.complete:
                pending = pending or self.begin(columns)
                attempt = search.run(min(below, standing.better), BRANCHES)
            if standing.net < best:
                break
            if not attempt.complete:
                return pending
            search.restart()
        if standing.net == best and parts[-1] < 1:
            return pending
        if pending is not None:
            pending.stop()
        return None
