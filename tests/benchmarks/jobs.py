"""Made-up shop jobs: what is proven how fast, and what longest first by hand would cost."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from statistics import mean

from optimizer.plan.plan import Plan
from stock.stock_book import StockBook
from tests.benchmarks.by_hand import plan_by_hand
from tests.benchmarks.measure import Run, solved
from tests.benchmarks.printed import Table, summary
from tests.benchmarks.shop_jobs import FAMILY_A, FAMILY_B, Family, shop_job

HEADERS = (
    "job: ",
    "pieces",
    "    net",
    "  bound",
    " gap %",
    "first s",
    "  all s",
    "status:    ",
    "by hand",
    "saved %",
)
FAMILIES = {family.name: family for family in (FAMILY_A, FAMILY_B)}
MARKS = (10, 60)
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


def print_jobs(
    family: Family, lines: int, boards: int, seeds: Iterable[int], seconds: float, markdown: bool
) -> None:
    """A row for each job as it ends, then what all come to."""
    table = Table(HEADERS, markdown)
    table.head()
    done = []
    for seed in seeds:
        stock, job = shop_job(family, seed, lines=lines, boards=boards)
        each = Done(stock=stock, run=solved(stock, job, seconds), by_hand=plan_by_hand(stock, job))
        done.append(each)
        run, plan = each.run, each.run.plan
        table.row(
            run.job,
            sum(part.copies for part in job.parts),
            plan.cost.net if plan else "",
            plan.bound if plan else "",
            f"{run.gap:.3f}",
            f"{run.first:.2f}",
            f"{run.seconds:.2f}",
            plan.status if plan else "no plan",
            each.by_hand.cost.net,
            f"{each.saved:.1f}",
        )
    print()
    print(summary([each.run for each in done], MARKS))
    print(closeness(done))


def closeness(done: Sequence[Done]) -> str:
    """How near to the bound, and how far below a plan by hand."""
    saved = [each.saved for each in done]
    near = sum(each.close for each in done)
    dearer = sum(each < 0 for each in saved)
    return (
        f"within one cheapest board or 2 % of the bound: {near} of {len(done)}\n"
        f"dearer than by hand: {dearer} of {len(done)}; "
        f"saved against by hand: mean {mean(saved):.1f} %, least {min(saved):.1f} %"
    )
