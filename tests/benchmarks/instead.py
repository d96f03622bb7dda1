"""Against what a maker or a programmer would do instead: the same jobs, the same seconds."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from statistics import mean, median

from optimizer.job.parts import Job
from stock.stock_book import StockBook
from tests.benchmarks.by_hand import plan_by_hand
from tests.benchmarks.direct_model import DirectModel
from tests.benchmarks.general_solvers import Model, by_cbc, by_cp_sat
from tests.benchmarks.measure import Run, solved
from tests.benchmarks.printed import Table
from tests.benchmarks.shop_jobs import Family, shop_job
from tests.independent import alone

HEADERS = ("job: ", "way:                   ", "   cost", "  secs", "cost ratio", "time ratio")


@dataclass(frozen=True, slots=True, kw_only=True)
class Other:
    """What another way came to: its cost (None: no plan in time) after so many seconds.

    ``seconds`` is None where a person would need an evening.
    """

    cost: Decimal | None
    seconds: float | None

    def cost_ratio(self, run: Run) -> float | None:
        """Its cost by ours at equal time."""
        ours = run.plan and run.plan.cost.net
        if self.seconds is not None:
            ours = run.best_after(self.seconds) or ours
        return None if self.cost is None or not ours else float(self.cost / ours)

    def time_ratio(self, run: Run) -> float | None:
        """Its seconds by ours at equal cost."""
        if self.cost is None or self.seconds is None:
            return None
        return self.seconds / run.reached(self.cost)


def by_hand(stock: StockBook, job: Job, _seconds: float) -> Other:
    """Longest first."""
    return Other(cost=plan_by_hand(stock, job).cost.net, seconds=None)


def direct(solver: Callable[[Model, float], list[int] | None]) -> Callable[..., Other]:
    """The direct model in a solver; building the model counts."""

    def other(stock: StockBook, job: Job, seconds: float) -> Other:
        begun = time.monotonic()
        model = DirectModel(stock, job)
        values = solver(model.model, seconds)
        taken = time.monotonic() - begun
        return Other(cost=None if values is None else model.plan(values).cost.net, seconds=taken)

    return other


def _cp_sat_alone(model: Model, seconds: float) -> list[int] | None:
    return alone().submit(by_cp_sat, model, seconds).result()


WAYS: dict[str, Callable[[StockBook, Job, float], Other]] = {
    "longest first by hand": by_hand,
    "direct model, CBC": direct(by_cbc),
    "direct model, CP-SAT": direct(_cp_sat_alone),
}


def print_instead(
    family: Family, lines: int, boards: int, seeds: Iterable[int], seconds: float, markdown: bool
) -> None:
    """A row for each job and way as it ends, then one for each way."""
    alone().submit(int).result()  # the other process is there before the clock starts
    table = Table(HEADERS, markdown)
    table.head()
    found: dict[str, list[tuple[Run, Other]]] = {name: [] for name in WAYS}
    for seed in seeds:
        stock, job = shop_job(family, seed, lines=lines, boards=boards)
        run = solved(stock, job, seconds)
        ours = run.plan.cost.net if run.plan else "no plan"
        table.row(run.job, "this program", ours, f"{run.seconds:.2f}", "", "")
        for name, way in WAYS.items():
            other = way(stock, job, seconds)
            found[name].append((run, other))
            table.row(
                run.job,
                name,
                "no plan" if other.cost is None else other.cost,
                _told(other.seconds),
                _told(other.cost_ratio(run)),
                _told(other.time_ratio(run)),
            )
    table.end()
    _print_ways(found, markdown)


def _print_ways(found: dict[str, list[tuple[Run, Other]]], markdown: bool) -> None:
    table = Table(
        ("way:                   ", "jobs", "with a plan", "mean cost ratio", "median time ratio"),
        markdown,
    )
    table.head()
    for name, pairs in found.items():
        costs = _known(other.cost_ratio(run) for run, other in pairs)
        times = _known(other.time_ratio(run) for run, other in pairs)
        table.row(
            name,
            len(pairs),
            len(costs),
            _told(mean(costs) if costs else None),
            _told(median(times) if times else None),
        )


def _known(ratios: Iterable[float | None]) -> Sequence[float]:
    return [ratio for ratio in ratios if ratio is not None]


def _told(ratio: float | None) -> str:
    return "" if ratio is None else f"{ratio:.2f}"
