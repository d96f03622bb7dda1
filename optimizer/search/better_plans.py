"""A good plan and better ones, by what finds them where: in the order of the search.

A good plan comes from a few patterns grown for the linear programme, soon; a second from all of
them and some more. Where only few costs lie between plan and bound, as of boards that all cost the
same, a better plan is all that is wanted: pieces of patterns put together anew, or dives find it.
Where a plan is far from the bound, even out of the patterns nearest to the optimum under rounded
rows, small problems better it before the gap is closed, so that fewer patterns lie below it; where
it stays far, few of many lay-ups do, or pieces put together anew, in turn with small problems. Both
do so near the best plan where the gap stays open.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from decimal import Decimal

from optimizer.search.answers import Linear, Pending
from optimizer.search.bound import lower_bound
from optimizer.search.cutting import CuttingTables
from optimizer.search.diving import Diving
from optimizer.search.few_lay_ups import FewLayUps
from optimizer.search.freeing import Close, Freeing
from optimizer.search.grid import Rounding
from optimizer.search.growing import grow, spare_patterns
from optimizer.search.patterns import distinct, keep_cheapest
from optimizer.search.problem import Problem
from optimizer.search.programme import Programme
from optimizer.search.recombining import MANY_BESIDE, Recombining, ripped
from optimizer.search.standing import FAR, NEAR_ENOUGH, VERY_FAR, Standing
from optimizer.search.watch import Within
from stock.shop import Sawing

NEAREST = 3
"""Patterns for each kind of blank from which the first good plan is made."""

FIRST_NODES = 1
FIRST_WITHIN = 0.01
"""Of the first good plans so near the best over the same patterns will do: more are to come."""

DIVES, FEWER_DIVES = 3, 2
"""Dives before the gap is closed, each with new pieces to put together; and where there are none.
"""

SOON, LONG = 8, 40
"""So many small problems without a better plan, and it is left: before the gap is closed, and where
it stays open, or few costs lie below.
"""

NEAR = (0.018, FAR)
"""Shares of its cost by which a plan is dearer than the optimum under rounded rows, up to which few
lay-ups and branches, and boards freed, are of hardly any use before the gap is closed.
"""

MANY = 3
"""Lay-ups of a part that are worth leaving some out; where no part has so many, pieces of all
patterns are recombined.
"""

ROUNDS = 3
"""Of few lay-ups and boards freed, before the gap is closed, and before it is once more."""

SOME_BRANCHES, MORE_BRANCHES = 10, 100
"""On counts, where a plan stays far after the first round, or very far: they raise the bound in a
second or two, where lists have no hope yet.
"""

WORTH_ANOTHER = Decimal("0.005")
"""Share of its cost that a plan must become cheaper in a round."""


def grown(
    problem: Problem,
    tables: Sequence[CuttingTables],
    bounding: Sequence[CuttingTables],
    standing: Standing,
) -> tuple[Programme, Linear]:
    """The linear optimum with patterns grown for it; its bound, by the ``bounding`` tables, is told
    if all parts can be made, and that they cannot, if not even by these.
    """
    programme, watch = Programme(problem), standing.watch
    root = grow(problem, tables, programme, watch)
    if root.missing:
        least = root if tables is bounding else grow(problem, bounding, Programme(problem), watch)
        standing.lacking = least.missing and not watch.over()
    else:
        standing.announce(lower_bound(problem, bounding, root.blanks, extra=root.extra).cost)
    return programme, root


class BetterPlans:
    """Plans out of patterns of ``programme``, whose linear optimum is ``root``. Where lots are
    bought, only the first: what comes after knows boards one by one.
    """

    def __init__(
        self,
        problem: Problem,
        tables: Sequence[CuttingTables],
        programme: Programme,
        root: Linear,
        standing: Standing,
        close: Close,
        branch: Callable[[int], None],
    ) -> None:
        self.problem, self.tables, self.programme, self.root = problem, tables, programme, root
        self.standing, self._close, self._branch = standing, close, branch
        self._diving = Diving(problem, tables, programme, standing, standing.watch)
        self._freeing = Freeing(problem, tables, standing, standing.watch, close)
        self._recombining = Recombining(problem, tables, standing)
        self._few_lay_ups = FewLayUps(problem, tables, root, standing)

    def first(self, meanwhile: Callable[[], None] = lambda: None) -> Pending | None:
        """A good plan as soon as may be, and other work ``meanwhile``; what looks for better ones,
        and is to be waited for.
        """
        programme, standing = self.programme, self.standing
        if standing.closed:  # by the plan made at once; there may be ties
            keep_cheapest(standing.tried, programme.columns)
            return None
        nearest = programme.nearest(NEAREST * len(self.problem.kinds))
        pending = standing.begin_to_solve(
            nearest, nodes=FIRST_NODES, afresh=True, within=FIRST_WITHIN
        )
        spare = spare_patterns(self.tables, self.root.blanks, standing.watch)
        meanwhile()
        pending.wait()
        programme.add(distinct([*programme.columns, *spare])[len(programme.columns) :])
        for better in (self._ripped_first, self._recombined):
            if self._wanted and standing.few_steps_from(self.root.value):
                better()
        if standing.closed or standing.watch.over():
            return None
        return standing.begin_to_improve(programme.columns, nodes=FIRST_NODES, within=FIRST_WITHIN)

    def _ripped_first(self) -> None:
        """In a free shop: plans of boards that are ripped first. Fewer pieces make them, and often
        as few boards do.
        """
        shop, watch = self.problem.shop, Within(within=self.standing.watch)
        if shop.sawing is not Sawing.FREE or not ripped(self.programme.columns):
            return
        problem = replace(self.problem, shop=replace(shop, sawing=Sawing.RIP_FIRST))
        tables = [CuttingTables(problem, each.lumber, Rounding.FOR_PLANS) for each in self.tables]
        standing = Standing(problem, self.standing.net_of, watch)
        programme, root = grown(problem, tables, tables, standing)
        better = BetterPlans(problem, tables, programme, root, standing, self._close, self._branch)
        if pending := better.first():
            pending.wait()
        self.standing.consider(standing.whole)

    def before_closing(self, raised: float) -> None:
        """Better ones, where the gap is not worth closing yet; fewer where the plan is near the
        optimum ``raised`` by rounded rows (cents).
        """
        if self._wanted and self.standing.few_steps_from(self.root.value):
            for _ in range(DIVES if ripped(self.programme.columns) else FEWER_DIVES):
                self._diving.run(1)
                if self.standing.open:
                    self._recombined()
            self._freeing.run(SOON)
        elif self.many_lay_ups:
            self._by_few_lay_ups(FAR, 1, SOON, raised, NEAR)
            if self._wanted and self._far() and self.standing.far_from(raised, NEAR[0]):
                self._branch(MORE_BRANCHES if self._far(VERY_FAR) else SOME_BRANCHES)
            self._by_few_lay_ups(VERY_FAR, ROUNDS, SOON, raised, NEAR)
        elif self._far():
            self._by_pieces(VERY_FAR, 1, SOON)

    def near_best(self) -> None:
        """Better ones near the best one."""
        if not self.standing.few_steps_from(self.root.value):
            self._nearer(ROUNDS, LONG)
        elif self._wanted:
            self._freeing.run(LONG)

    def while_closing(self, raised: float) -> None:
        """The same for a short while, until one is near the optimum ``raised`` by rounded rows
        (cents): where it is, longer lists are sooner.
        """
        if not self.standing.few_steps_from(self.root.value):
            self._nearer(1, SOON, raised)
        elif self._wanted:
            self._freeing.run(SOON)

    def _nearer(self, rounds: int, most_in_vain: int, raised: float | None = None) -> None:
        if self.many_lay_ups:
            near = (NEAR_ENOUGH, NEAR_ENOUGH)
            self._by_few_lay_ups(0.0, rounds, most_in_vain, raised, near)
        else:
            self._by_pieces(0.0, rounds, most_in_vain)

    def _by_few_lay_ups(
        self,
        share: float,
        rounds: int,
        most_in_vain: int,
        raised: float | None,
        near: tuple[float, float],
    ) -> None:
        """Few lay-ups and boards freed in turn, in so many rounds at the most, while a plan is so
        far from the linear optimum; each only where it is not so ``near`` the ``raised`` one too,
        if that is told. Ends with a round that is not worth it.
        """

        def far_from_raised(by: float) -> bool:
            return raised is None or self.standing.far_from(raised, by)

        worth = True
        while rounds and worth and self._wanted and self._far(share) and far_from_raised(near[0]):
            before, rounds = self.standing.net, rounds - 1
            self._few_lay_ups.run(far=share)
            if self._wanted and far_from_raised(near[1]):
                self._freeing.run(most_in_vain)
            worth = before - self.standing.net >= WORTH_ANOTHER * abs(before)

    def _by_pieces(self, share: float, rounds: int, most_in_vain: int) -> None:
        """Boards freed; then pieces of all patterns recombined and boards freed in turn, in so many
        rounds, while a plan is so far from the linear optimum.
        """
        if self._wanted:
            self._freeing.run(most_in_vain)
        for seed in range(rounds):
            if not (self._wanted and self._far(share)):
                break
            columns, worths = self.programme.columns, self.root.blanks
            self._recombining.run(columns, worths, beside=MANY_BESIDE, seed=seed)
            if self._wanted:
                self._freeing.run(most_in_vain)

    def complete(self) -> None:
        """One that makes all parts, where boards hardly suffice."""
        if self._incomplete:
            self._diving.run(DIVES)

    def again(self) -> bool:
        """Better ones once more, by dives and near the best one; whether any are wanted."""
        if not (self._incomplete or self._wanted):
            return False
        self._diving.run(DIVES)
        if self._wanted:
            self._nearer(ROUNDS, LONG)
        return True

    def _far(self, share: float = FAR) -> bool:
        return self.standing.far_from(self.root.value, share)

    @property
    def many_lay_ups(self) -> bool:
        """Whether a part has so many that some are worth leaving out; then a plan from the patterns
        nearest under rounded rows is worth having before.
        """
        return any(len(ways) >= MANY for ways in self.problem.ways)

    @property
    def _wanted(self) -> bool:
        return self.standing.open and not self.problem.lots

    @property
    def _incomplete(self) -> bool:
        standing = self.standing
        open_ = standing.missing and not (standing.short or standing.watch.over())
        return open_ and not self.problem.lots

    def _recombined(self) -> None:
        self._recombining.run_near_bound(self.programme.columns, self.root.blanks)
