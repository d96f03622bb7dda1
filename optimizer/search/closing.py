"""Closes the gap between the best plan and the bound, from both sides.

Rounded rows raise the linear optimum. At its worths the patterns that a better plan could use are
listed for each lumber; once they are listed, later worths price them one by one, and those that
cost less than they bring join the programme. When none is left, the optimum is a bound for all
plans better than the best, and the smaller gap leaves fewer patterns: these few are searched for
whole counts, branch by branch. Better plans come from the patterns nearest to the optimum, which
are searched the same way: first for plans that are hardly dearer than it, for that takes little
time, and mostly there is one (``few_patterns.py``).

Where a lumber has too many patterns within the gap, those within a part of it are listed. They are
all that plans up to a *level* can use, so what the lists prove holds up to that level.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from optimizer.search.answers import Attempt, Linear, Pending
from optimizer.search.cutting import CuttingTables
from optimizer.search.few_patterns import FIRST_PARTS, FewPatterns
from optimizer.search.levels import MOST_LISTED, Levels
from optimizer.search.patterns import Column
from optimizer.search.problem import Problem
from optimizer.search.programme import Programme
from optimizer.search.raising import WORTH_ANOTHER, Raising
from optimizer.search.solver import NOTHING
from optimizer.search.standing import FAR, NEAR_ENOUGH, Standing
from optimizer.search.watch import Watch

NEAR, NEAR_BY = 1_000, 0.02
"""Patterns of a lumber that are listed first, and of which plans: so little dearer than the linear
optimum, as a share. Most plans soon are; the one at once is not, and plans below it use too many.
"""

TOGETHER, WITHIN_REACH = 10_000, 0.025
"""Patterns of all lumbers that are instead, if better plans use no others; tried where a plan is
dearer than the linear optimum by no larger share.
"""

VERY_FEW, FEWER, FEW = 500, 1_000, 4_000
"""So few patterns are searched before more rows are looked for; and afterwards at first: fewer
where the plan is not near enough, for they soon bring the bound nearer.
"""

IN_VAIN, LONG_IN_VAIN = 1, 3
"""So many optima in a row whose rows gain hardly anything are enough; and where lists are long, for
then their search takes so much longer.
"""

MORE_EACH_TIME, MOST_SEARCHED = 4, 60_000
"""Then so many times as many; and at the most, when rounded rows gain nothing more."""

MOST_NODES, SOME_NODES = 50_000, 1_000
"""Branches of a search; and of one before lists are made longer, or few patterns searched."""

SLOWER = 10
"""Times as long as one of ours a branch of the integer solver takes."""

HOPEFUL = 0.01
"""Within this share of its cost of the linear optimum a plan is worth long lists."""


class Closing:
    """The root of the search. ``root`` is the linear optimum over all patterns, found by a
    ``programme`` that has some of them; ``look_elsewhere`` looks for better plans by other means.
    """

    def __init__(
        self,
        problem: Problem,
        tables: Sequence[CuttingTables],
        standing: Standing,
        watch: Watch,
        programme: Programme,
        root: Linear,
        look_elsewhere: Callable[[float], None] | None = None,
    ) -> None:
        self.standing, self.watch = standing, watch
        self.levels = Levels(tables, standing, watch)
        self.raising = Raising(problem, tables, self.levels, standing, watch, root)
        self._programme, self._root, self._at_root = programme, root, self.raising.prices
        self._look_elsewhere = look_elsewhere
        self._few_patterns = FewPatterns(self.raising, standing)
        self._only_a_plan_lacks = False
        self._listed_at_root = self._begun = self._begun_anew = False
        self._none_below = -NOTHING
        """No plan costs less, in search units: those are searched."""
        self._settled, self._stuck = True, False
        """Whether no pattern joined that was on no list, the last time; and nothing was gained."""

    @property
    def optimum(self) -> float:
        """What the linear optimum costs, raised by rounded rows if it is begun (cents)."""
        return self.raising.linear.value

    def list_at_root(self) -> None:
        """Lists at the root, below any plan that stands, once; not where only a plan lacks."""
        standing = self.standing
        few_steps = standing.few_steps_from(self._root.value)
        if standing.open and not (few_steps or self._listed_at_root):
            self._listed_at_root = True
            self.levels.begin(self._at_root, NEAR, NEAR_BY)

    def begin(self, pending: Pending | None = None) -> None:
        """Lists at the root, rounded rows, and a plan from the patterns nearest to the optimum
        under these; once. What is ``pending`` looks for one meanwhile.
        """
        if self._begun:
            return
        self._begun = True
        self._only_a_plan_lacks = self.standing.few_steps_from(self._root.value)
        if self._only_a_plan_lacks:
            self.levels.begin(self._at_root, MOST_LISTED)
        self.list_at_root()
        if pending is None:
            self._complete_at_root()
        assert self.standing.whole is not None
        of_best = (column for column, _ in self.standing.whole.boards)
        self.raising.add([*self._programme.columns, *of_best])
        self.raising.by_rows()
        if pending is not None:
            if self._planned_soon(pending):
                self._lengthen()
                return
            self._complete_at_root()
        self.levels.shorten(self.raising.prices)
        self._go_on(nearest=True)

    def _complete_at_root(self) -> None:
        """Lists of all that better plans use, if these may be few enough."""
        if not self.standing.far_from(self._root.value, WITHIN_REACH):
            self.levels.complete_at(self._at_root, TOGETHER)

    def _planned_soon(self, pending: Pending) -> bool:
        """Whether the patterns nearest make a plan hardly dearer than the optimum. Only if they do
        not, what is ``pending`` is waited for.
        """
        self.raising.by_rows()
        left = self._few_patterns.search(self._few_patterns.columns(), FIRST_PARTS, pending)
        if left is not None:
            left.wait()
            self._few_patterns.forget()
        return left is None

    def run(self) -> bool:
        """Close the gap as far as it goes; whether nothing better is left."""
        self.begin()
        while not (self.standing.closed or self.watch.over()):
            bound = self.levels.shorten(self.raising.prices)
            if not self.standing.announce(min(bound, self.levels.lowest)):
                break
            stays, best = self._stuck or self._few_listed(), self.standing.net
            searching = stays and not self._helped_otherwise(bound)
            few = FEWER if self._far(NEAR_ENOUGH) else FEW
            if searching and (self._searched(few, MOST_NODES) or self.standing.net == best):
                break  # else fewer patterns are left below the better plan
            if self.standing.open:
                self._go_on(nearest=not stays)
        return self.standing.closed

    def _go_on(self, *, nearest: bool) -> None:
        """Rounded rows and longer lists; before these, if ``nearest``, a plan from the patterns
        nearest to the optimum.
        """
        raising, before, settled = self.raising, self.raising.linear.value, self._settled
        enough = before + WORTH_ANOTHER * raising.gap()
        raising.by_rows()
        pending = None
        if nearest and (columns := self._new_nearest()):
            if self._few_searched():
                return
            look = (
                self._few_patterns.begin if self._only_a_plan_lacks else self._few_patterns.search
            )
            pending = look(columns)
        beside = settled and not (self._far() or self._few_listed())
        if raising.linear.value <= enough and beside:
            raising.by_rows_beside(IN_VAIN if self._short() else LONG_IN_VAIN)
        far = not self._lengthen(pending)
        gained = raising.linear.value > enough or not self._settled
        self._stuck = not gained and (beside or far)

    def _lengthen(self, pending: Pending | None = None) -> bool:
        """Longer lists; those beyond the bound wait for what is ``pending``. Whether the plan is
        near then.
        """

        def near() -> bool:
            if pending is not None:
                pending.wait()
            return not self._far()

        fresh = self.levels.rise(self.raising.prices, beyond=near)
        is_near, self._settled = near(), not fresh
        if fresh:
            self.raising.join(fresh)
        return is_near

    def _new_nearest(self) -> list[Column]:
        """The nearest patterns, if enough are new; again only where the plan is not near enough, or
        lists are too long for their search to find one sooner.
        """
        if self._few_patterns.tried and self.levels.complete and not self._far(NEAR_ENOUGH):
            return []
        return self._few_patterns.columns()

    def _helped_otherwise(self, bound: int) -> bool:
        """Whether lists made anew, a search of those there are, better plans from elsewhere, or
        longer lists promise more.
        """
        hopeful, before = self._stuck and not self._far(), self.standing.net
        if hopeful and self._begin_anew(bound):
            return True
        worth_lists = not (self._only_a_plan_lacks or self._far(HOPEFUL))
        if worth_lists and not self.levels.complete:
            self._searched(FEW, SOME_NODES)
            if self.standing.closed or self.standing.net < before:
                return True
        if hopeful and self._better_elsewhere():
            return True
        fresh = self.levels.rise_on(self.raising.prices) if worth_lists else []
        if fresh:
            self._settled = False
            self.raising.join(fresh)
        return bool(fresh)

    def _begin_anew(self, bound: int) -> bool:
        """Begin lists that lag behind the bound anew at the root, longer, once; whether it did."""
        if self._begun_anew or self.levels.lowest >= bound:
            return False
        self._begun_anew = True
        self.levels.begin(self._at_root, MOST_LISTED)
        return True

    def _better_elsewhere(self) -> bool:
        """Look elsewhere, where not all patterns can be listed, once; whether a better plan is
        found.
        """
        before, look = self.standing.net, self._look_elsewhere
        if look is None or self.levels.complete or not self._far(NEAR_ENOUGH):
            return False
        self._look_elsewhere = None
        look(self.raising.linear.value)
        return self.standing.net < before

    def _far(self, share: float = FAR) -> bool:
        return self.standing.far_from(self.raising.linear.value, share)

    def _few_listed(self) -> bool:
        """Whether all patterns of better plans are listed, and are very few."""
        return self.levels.complete and len(self.levels) <= VERY_FEW

    def _few_searched(self) -> bool:
        """Whether a short search of a short list leaves nothing better."""
        short = self._short() and not self._only_a_plan_lacks
        return short and self._searched(VERY_FEW, SOME_NODES)

    def _short(self) -> bool:
        """Whether all patterns of better plans are listed, and are few."""
        return self.levels.complete and len(self.levels) <= FEW

    def _searched(self, few: int, nodes: int) -> bool:
        """Few patterns are searched, then more; whether that leaves nothing better.

        They are all that plans up to some cost can use. So either the cheapest plan of all is
        among them, or none is below that cost; what is known to have none is not searched again.
        """
        level = self._none_below
        while level < self.levels.lowest and not self.watch.over():
            prices = self.raising.prices
            bound = self.levels.shorten(prices)
            columns, level = self.levels.nearest(prices, bound, few)
            few *= MORE_EACH_TIME
            if len(columns) > MOST_SEARCHED or level <= bound:
                break
            if level <= self._none_below:
                continue
            attempt = self._best_of(columns, level, nodes)
            if not attempt.complete:
                self.standing.announce_below(attempt.bound)
                break
            self._none_below = level
            if not self.standing.announce(level):
                return True
        return False

    def _best_of(self, columns: Sequence[Column], level: int, nodes: int) -> Attempt:
        """The best whole counts of plans below a level. Where nothing has to be proven, only found,
        the integer solver is sooner: it looks for plans before it branches.
        """
        if self._only_a_plan_lacks:
            return self.standing.solve(columns, nodes=nodes // SLOWER, below=level)
        rounded = self.raising.programme.rounded
        return self.standing.choose(columns, rounded, nodes=nodes, below=level)
