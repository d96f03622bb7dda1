"""Whenever a search is stopped: the plan holds, its bound is one, its status says what is so."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

import pytest

from optimizer.output.words import money, promise
from optimizer.plan.audit import audit
from optimizer.plan.plan import Status
from optimizer.search.watch import StoppedError, Watch
from optimizer.solve import solve
from tests.drawn_jobs import drawn_job, least_cents
from tests.independent import rounding_slack

SEEDS = (0, 3, 11, 15, 16, 17, 21)


@dataclass(slots=True, kw_only=True)
class Impatient(Watch):
    """Stops a search after it has asked so many times whether to go on."""

    patience: int = 0

    def ended(self) -> bool:
        self.patience -= 1
        return self.patience < 0


def test_a_search_stopped_at_any_moment_promises_only_what_is_so() -> None:
    seen = [stopped_early(seed) for seed in SEEDS]
    assert all(Status.PROVEN in statuses for statuses in seen)
    assert sum(Status.OUT_OF_TIME in statuses for statuses in seen) > len(SEEDS) // 2


def stopped_early(seed: int) -> set[Status]:
    """Which statuses a job ends with when it is stopped sooner or later; each is looked at."""
    stock, job = drawn_job(seed)
    least, slack = least_cents(seed) / 100, rounding_slack(stock)
    statuses = set[Status]()
    for patience in (0, 1, 2, 3, 5, 8, 13, 21, 34, 55, 10**9):
        try:
            plan = solve(stock, job, Impatient(seconds=600, patience=patience))
        except StoppedError:
            continue
        audit(plan, stock, job)
        assert Fraction(plan.bound) - slack <= least <= Fraction(plan.cost.net) + slack
        assert (plan.status is Status.PROVEN) is (plan.bound == plan.cost.net)
        if plan.status is not Status.PROVEN:
            assert plan.status is Status.OUT_OF_TIME
            said = f"at most {money(plan.cost.net - plan.bound)} above the least possible; stopped"
            assert promise(plan).startswith(said)
        statuses.add(plan.status)
    return statuses


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize("gap", ["0.5", "5", "40"])
def test_a_wished_gap_is_kept_and_told(seed: int, gap: str) -> None:
    stock, job = drawn_job(seed)
    plan = solve(stock, job, Watch(seconds=600, gap_percent=Decimal(gap)))
    assert plan.above_least <= abs(plan.cost.net) * Decimal(gap) / 100
    proven = plan.bound == plan.cost.net
    assert plan.status is (Status.PROVEN if proven else Status.WITHIN_GAP)
    assert "time" not in promise(plan)
    least, slack = least_cents(seed) / 100, rounding_slack(stock)
    assert Fraction(plan.bound) - slack <= least <= Fraction(plan.cost.net) + slack
