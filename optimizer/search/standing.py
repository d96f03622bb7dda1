"""Where a search stands: the best plan so far, the bound, and what a better plan may cost.

A better plan is cheaper by a *step* at least, a cent or what all costs share. So the search is over
once the bound is above the best net less a step, with what rounding may take off: the *cutoff*. A
bound is never told above a plan that is known.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from decimal import Decimal
from fractions import Fraction
from functools import cache
from math import isfinite

from optimizer.search.answers import Attempt, Pending, Whole
from optimizer.search.branch_and_bound import BranchAndBound
from optimizer.search.counts import Ranges
from optimizer.search.money import ALLOWED, CENT_PARTS, as_money
from optimizer.search.patterns import Cheapest, Column, distinct, keep_cheapest
from optimizer.search.problem import Problem
from optimizer.search.rounded_rows import RoundedRows
from optimizer.search.watch import Watch
from optimizer.search.whole_programme import WholeProgramme
from stock.prices import to_cent

FAR, VERY_FAR = 0.02, 0.05
"""Shares of its cost by which a plan is far from the linear optimum, and so far that its boards
lack pieces that other patterns have.
"""

NEAR_ENOUGH = 0.005
"""Share of its cost by which a plan is dearer than the optimum under rounded rows, up to which the
search of lists is left to find a better one.
"""

LEARNT = 50
"""Branches after which a long search begins anew with what it has learnt, once, and the bound is
told, each time.
"""

FEW_STEPS = 10
"""Steps to a plan where not the bound is poor but the plan."""


class Standing:
    """The best plan so far and its net; ``net_of`` lays counts out and adds them up."""

    def __init__(self, problem: Problem, net_of: Callable[[Whole], Decimal], watch: Watch) -> None:
        self.problem, self.net_of, self.watch = problem, net_of, watch
        self.step = problem.step()
        self.closed = False
        self.lacking = False
        """Whether not even fractions of boards make all parts."""
        self.whole: Whole | None = None
        self.net = Decimal(0)
        self.tried: Cheapest = {}
        """Columns among which ties are looked for: those that an integer programme was solved over,
        the nearest that were searched, and of lists the ones that plans use.
        """

    @property
    def missing(self) -> bool:
        """Whether even the best counts leave parts unmade."""
        return self.whole is not None and any(self.whole.missing)

    @property
    def short(self) -> bool:
        """Whether no plan makes all parts: proven, not only not found."""
        return self.missing and (self.lacking or self.closed)

    @property
    def open(self) -> bool:
        """Whether there is a plan, a gap below it, and time to close it."""
        planned = self.whole is not None and not self.missing
        return planned and not (self.closed or self.watch.over())

    @property
    def gap(self) -> Decimal:
        """Between the best plan and the bound, as far as it is told."""
        return self.net - (self.watch.bound or Decimal(0))

    @property
    def better(self) -> float:
        """Whole counts that come to less (cents) are a better plan."""
        return float(self.net) * 100 - self.step + 0.5

    def consider(self, whole: Whole | None, *, as_good: bool = False) -> None:
        """Keep the counts, if there are any, if they are the best so far, or ``as_good``."""
        if whole is None:
            return
        if any(whole.missing):
            net = to_cent(Fraction(whole.cost) / 100)
        else:
            net = self.net_of(whole)
            self.watch.found(net)
        if self.whole is None or net < self.net or (as_good and net == self.net):
            self.whole, self.net = whole, net
            keep_cheapest(self.tried, (column for column, _ in whole.boards))

    def cutoff(self) -> int | None:
        """The highest exact cost (search units) of a plan that is a step cheaper than the best."""
        if self.whole is None:
            return None
        cents = Fraction(self.net) * 100 - self.step + Fraction(self.problem.rounded_sums, 2)
        return int(cents * CENT_PARTS)

    def hopeful(self, cost: int) -> bool:
        """Whether a plan at this exact cost would be better than the best."""
        cutoff = self.cutoff()
        return cutoff is None or cost <= cutoff

    def far_from(self, linear: float, share: float = FAR) -> bool:
        """Whether the best plan costs so much more than the linear optimum (cents), as a share:
        ``FAR``, if listing all patterns between them has no hope.
        """
        return self.whole is not None and float(self.net) * 100 > (1 + share) * linear

    def few_steps_from(self, linear: float) -> bool:
        """Whether few costs lie between the linear optimum (cents) and the best plan, as where
        boards cost alike: a better plan is mostly at the first of them.
        """
        return self.whole is not None and float(self.net) * 100 - linear < FEW_STEPS * self.step

    def announce(self, cost: int | None) -> bool:
        """Tell the bound; False, and ``closed``, once no better plan is possible. None: all is
        searched.
        """
        if cost is not None and self.hopeful(cost):
            exact = Fraction(cost, CENT_PARTS)
            money = as_money(exact, self.problem.rounded_sums, self.step)
            self.watch.proved(money if self.whole is None else min(money, self.net))
            return True
        if self.whole is not None and not self.missing:
            self.watch.proved(self.net)
        self.closed = True
        return False

    def announce_below(self, bound: float) -> None:
        """Tell a bound that branches have come to (cents), if they have to any."""
        if isfinite(bound):
            self.announce(int(bound * CENT_PARTS) - ALLOWED)

    def solve(
        self,
        columns: Sequence[Column],
        *,
        nodes: int,
        ranges: Ranges | None = None,
        below: int | None = None,
    ) -> Attempt:
        """Try the integer programme over ``columns`` and those of the best plan; keep what is
        better.
        """
        return self.begin_to_solve(columns, nodes=nodes, ranges=ranges, below=below).wait()

    def begin_to_solve(
        self,
        columns: Sequence[Column],
        *,
        nodes: int,
        ranges: Ranges | None = None,
        below: int | None = None,
        afresh: bool = False,
        within: float = 0.0,
    ) -> Pending:
        """Begin to, beside other work; who waits for it keeps the plan.

        ``below``: only plans that cost less than this are looked for (search units, exact).
        ``within``: a share of the least over these columns that may be missed.
        ``afresh``: as if there were no best plan, which is so poor that it would hamper; one as
        good takes its place.
        """
        programme = self._programme(columns, afresh=afresh)
        programme.hold(ranges or {})
        cutoff = None if self.whole is None or afresh else self.better
        if below is not None:
            cutoff = min(float("inf") if cutoff is None else cutoff, below / CENT_PARTS)
        pending = programme.begin_whole(self.watch, below=cutoff, nodes=nodes, within=within)

        @cache
        def kept() -> Attempt:
            attempt = pending.wait()
            self.consider(attempt.whole, as_good=afresh)
            return attempt

        return Pending(wait=kept, stop=pending.stop)

    def choose(
        self,
        columns: Sequence[Column],
        rounded: RoundedRows,
        *,
        nodes: int,
        below: int,
    ) -> Attempt:
        """The best whole counts over ``columns``, of plans that cost less than ``below`` (search
        units, exact); what is better is kept. ``rounded`` rows hold from the start. A long search
        begins anew once.
        """
        search, most = self.search_of(columns, rounded), below / CENT_PARTS
        attempt = search.run(min(self.better, most), min(nodes, LEARNT))
        for done in range(LEARNT, nodes, LEARNT):
            if attempt.complete or self.watch.over():
                break
            self.announce_below(attempt.bound)
            if done == LEARNT:
                search.restart()
            attempt = search.run(min(self.better, most), LEARNT)
        return attempt

    def search_of(self, columns: Sequence[Column], rounded: RoundedRows) -> BranchAndBound:
        """A search over ``columns`` under ``rounded`` rows; plans better than the best are kept."""
        programme = WholeProgramme(self.problem)
        programme.lift(rounded)
        programme.add(self._with_best(columns))

        def found(whole: Whole) -> float:
            self.consider(whole)
            return self.better

        return BranchAndBound(programme, self.watch, found)

    def improve(self, columns: Sequence[Column], *, nodes: int) -> None:
        """The same from the best plan on, so that the solver looks near it too; it proves less."""
        self.begin_to_improve(columns, nodes=nodes).wait()

    def begin_to_improve(
        self, columns: Sequence[Column], *, nodes: int, within: float = 0.0
    ) -> Pending:
        """Begin to, beside other work; who waits for it keeps the plan."""
        if self.whole is None:
            return self.begin_to_solve(columns, nodes=nodes, within=within)
        return self.begin_to_improve_by(self._programme(columns), nodes=nodes, within=within)

    def improve_by(self, programme: WholeProgramme, *, nodes: int) -> None:
        """The same over a programme's columns, by which the best plan can be cut."""
        self.begin_to_improve_by(programme, nodes=nodes).wait()

    def begin_to_improve_by(
        self, programme: WholeProgramme, *, nodes: int, within: float = 0.0, seed: int = 0
    ) -> Pending:
        """Begin to, beside other work; with another ``seed`` the solver looks in another order."""
        assert self.whole is not None
        programme.begin_with(self.whole)
        pending = programme.begin_whole(
            self.watch, nodes=nodes, enough=self._at_bound(), within=within, seed=seed
        )

        @cache
        def kept() -> Attempt:
            attempt = pending.wait()
            if attempt.whole is not None and attempt.whole.cost < self.better:
                self.consider(attempt.whole)
            return attempt

        return Pending(wait=kept, stop=pending.stop)

    def meet_bound(self, programme: WholeProgramme, *, nodes: int, quickly: bool = False) -> None:
        """Look only for a plan as cheap as the bound, over a programme's columns."""
        below = self._at_bound()
        attempt = programme.begin_whole(
            self.watch, nodes=nodes, below=below, enough=below, quickly=quickly
        ).wait()
        self.consider(attempt.whole)

    def _at_bound(self) -> float | None:
        """Whole counts that come to less (cents) are a plan as cheap as the bound."""
        bound = self.watch.bound
        return None if bound is None else float(bound) * 100 + 0.5 * self.step

    def _programme(self, columns: Sequence[Column], *, afresh: bool = False) -> WholeProgramme:
        """The integer programme over columns and, unless ``afresh``, those of the best plan."""
        columns = distinct(columns) if afresh else self._with_best(columns)
        keep_cheapest(self.tried, columns)
        programme = WholeProgramme(self.problem)
        programme.add(columns)
        return programme

    def _with_best(self, columns: Sequence[Column]) -> list[Column]:
        """Columns and those of the best plan, without repeats."""
        best = () if self.whole is None else self.whole.boards
        return distinct([*columns, *(column for column, _ in best)])
