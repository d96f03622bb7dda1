"""Made-up shop jobs: what is proven how fast, and what longest first by hand would cost."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from statistics import mean, median

from optimizer.job.parts import Job
from optimizer.plan.plan import Plan
from stock.stock_book import StockBook
from tests.benchmarks.by_hand import plan_by_hand
from tests.benchmarks.measure import Run, solved
from tests.benchmarks.printed import Table
from tests.benchmarks.real_wood import in_real_wood
from tests.benchmarks.shop_jobs import Family, shop_job

HEADERS = (
    "job: ",
    "pieces",
    "    net",
    "  bound",
    " gap %",
    "first s",
    "proven s",
    "  all s",
    "status:    ",
    "by hand",
    "saved %",
)
MARKS = (10, 60)
OVERVIEW = (
    "family: ",
    "lines",
    "boards",
    "jobs",
    *(f"proven in {mark} s" for mark in MARKS),
    "first plan, median s",
    "proven, median s",
    "end, median s",
    "mean gap %",
    "worst gap %",
    "within a board or 2 %",
    "saved against by hand, mean %",
    "least %",
)
SHARE = Decimal("0.02")


@dataclass(frozen=True, slots=True, kw_only=True)
class Done:
    """A job solved, and the plan of a maker without a program."""

    stock: StockBook
    run: Run
    by_hand: Plan

    @property
    def saved(self) -> float:
        """How much cheaper than by hand, in percent."""
        if self.run.plan is None:
            return -100.0
        return float(100 * (1 - self.run.plan.cost.net / self.by_hand.cost.net))

    @property
    def close(self) -> bool:
        """Whether at most one cheapest board, or 2 %, over the bound."""
        plan = self.run.plan
        if plan is None:
            return False
        cheapest = min(offer.price for offer in self.stock.offers)
        return plan.cost.net - plan.bound <= max(cheapest, SHARE * plan.cost.net)


@dataclass(frozen=True, slots=True, kw_only=True)
class Series:
    """Jobs of one family and size, by number; ``all_rules``: in real wood, on real machines."""

    family: Family
    lines: int
    boards: int
    seeds: Sequence[int]
    all_rules: bool = False

    def solved(self, seconds: float, table: Table) -> list[Done]:
        """Solve all, with a row of ``table`` for each as it ends."""
        done = []
        for seed in self.seeds:
            stock, job = self._books(seed)
            run, by_hand = solved(stock, job, seconds), plan_by_hand(stock, job)
            done.append(Done(stock=stock, run=run, by_hand=by_hand))
            table.row(*_row(done[-1], sum(part.copies for part in job.parts)))
        return done

    def _books(self, seed: int) -> tuple[StockBook, Job]:
        stock, job = shop_job(self.family, seed, lines=self.lines, boards=self.boards)
        return in_real_wood(stock, job) if self.all_rules else (stock, job)


def print_jobs(every: Sequence[Series], seconds: float, markdown: bool) -> None:
    """For each series a row for each job as it ends; then what all come to."""
    found = []
    for series in every:
        table = Table(HEADERS, markdown)
        table.head()
        found.append(series.solved(seconds, table))
        table.end()
    overview = Table(OVERVIEW, markdown)
    overview.head()
    for series, done in zip(every, found, strict=True):
        overview.row(series.family.name, series.lines, series.boards, *came_to(done))
    overview.end()


def _row(done: Done, pieces: int) -> Iterator[object]:
    run, plan = done.run, done.run.plan
    yield from (run.job, pieces)
    yield from (plan.cost.net, plan.bound) if plan else ("", "")
    yield from (f"{run.gap:.3f}", f"{run.first:.2f}", f"{run.proved:.2f}", f"{run.seconds:.2f}")
    yield plan.status if plan else "no plan"
    yield from (done.by_hand.cost.net, f"{done.saved:.1f}")


def came_to(done: Sequence[Done]) -> Iterator[object]:
    """The cells of ``OVERVIEW`` from the number of jobs on."""
    runs, saved = [each.run for each in done], [each.saved for each in done]
    yield len(done)
    for mark in MARKS:
        yield sum(run.proved <= mark for run in runs)
    yield f"{median(run.first for run in runs):.2f}"
    yield f"{median(run.proved for run in runs):.2f}"
    yield f"{median(run.seconds for run in runs):.2f}"
    yield f"{mean(run.gap for run in runs):.3f}"
    yield f"{max(run.gap for run in runs):.3f}"
    yield sum(each.close for each in done)
    yield f"{mean(saved):.1f}"
    yield f"{min(saved):.1f}"
