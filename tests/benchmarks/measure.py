"""One job solved and measured: its plan, audited, and when each better plan and bound stood."""

from __future__ import annotations

import time
from collections.abc import Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from unittest.mock import patch

from optimizer.job.layups import LayUp
from optimizer.job.parts import Job
from optimizer.job.ways import NoPlanError
from optimizer.plan.plan import Plan, Status
from optimizer.search.supplies import supplies_of
from optimizer.search.watch import Watch
from optimizer.solve import solve, ways_of
from stock.stock_book import StockBook

NEVER = float("inf")


@dataclass(frozen=True, slots=True, kw_only=True)
class Moment:
    """After so many seconds the best cost and the bound were these (None: none yet)."""

    seconds: float
    best: Decimal | None
    bound: Decimal | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """One job solved; ``plan`` is None where the time did not suffice for one."""

    job: str
    plan: Plan | None
    seconds: float
    trail: tuple[Moment, ...]

    @property
    def proven(self) -> bool:
        return self.plan is not None and self.plan.status is Status.PROVEN

    @property
    def gap(self) -> float:
        """(net − bound) / net in percent; 100 without a plan."""
        return 100 * self.plan.gap if self.plan is not None else 100.0

    @property
    def first(self) -> float:
        """When the first plan stood."""
        return next((each.seconds for each in self.trail if each.best is not None), NEVER)

    @property
    def proved(self) -> float:
        """When the bound stood at the cost of the plan: what comes after are ties and the audit."""
        met = (each.seconds for each in self.trail if each.best == each.bound is not None)
        return next(met, NEVER)

    def reached(self, cost: Decimal) -> float:
        """When a plan no dearer than ``cost`` stood."""
        return next((m.seconds for m in self.trail if m.best is not None and m.best <= cost), NEVER)

    def best_after(self, seconds: float) -> Decimal | None:
        """The best cost that stood after so many seconds."""
        costs = [m.best for m in self.trail if m.best is not None and m.seconds <= seconds]
        return costs[-1] if costs else None


@dataclass(slots=True)
class _Clock:
    begun: float = field(default_factory=time.monotonic)
    trail: list[Moment] = field(default_factory=list)

    def tell(self, best: Decimal | None, bound: Decimal | None) -> None:
        seconds = time.monotonic() - self.begun
        self.trail.append(Moment(seconds=seconds, best=best, bound=bound))


def solved(
    stock: StockBook,
    job: Job,
    seconds: float,
    lay_ups: Sequence[Sequence[LayUp]] | None = None,
) -> Run:
    """Solve a job as ``rackfirst plan`` does; where ``lay_ups`` are given, with just these."""
    clock = _Clock()
    watch = Watch(seconds=seconds, tell=clock.tell)
    ways = (supplies_of(stock, job.parts, job.name), lay_ups) if lay_ups else ways_of(stock, job)
    plan: Plan | None = None
    with patch("optimizer.solve.ways_of", return_value=ways):
        try:
            plan = solve(stock, job, watch)
        except NoPlanError:
            if not watch.over():
                raise
    return Run(
        job=job.name,
        plan=plan,
        seconds=time.monotonic() - clock.begun,
        trail=tuple(clock.trail),
    )
